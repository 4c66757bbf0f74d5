"""A disk that is truly full: the store on a small file system of its own."""

from __future__ import annotations

import errno
import shutil
import sqlite3
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.service.harness import Server, brief, patient

SIZE_KB = 4096


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A folder on a file system of 4 MiB; skips, saying why, where none may be mounted."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount, umount = shutil.which("mount"), shutil.which("umount")
    if mount is None or umount is None:
        pytest.skip("no mount command here")
    command = [mount, "-t", "tmpfs", "-o", f"size={SIZE_KB}k", "closet-test", str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        pytest.skip(f"no file system may be mounted here: {done.stderr.strip()}")
    try:
        yield folder
    finally:
        # Lazily: a process of a failed test may still have a file open there.
        subprocess.run([umount, "-l", str(folder)], check=True)


def fill(folder: Path) -> Path:
    """A file that takes all the room there is left."""
    ballast = folder / "ballast"
    with ballast.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(b"\0" * 4096)
        except OSError as error:
            assert error.errno == errno.ENOSPC
    return ballast


def refused(server: Server) -> dict[str, object]:
    """The refusal of a brief, once the store has used up what pages it had."""
    until = time.monotonic() + patient(30)
    number = 0
    while time.monotonic() < until:
        answer = server.post(brief(f"waits {number}"))
        number += 1
        if answer.status_code == 503:
            document: dict[str, object] = answer.json()
            return document
        assert answer.status_code == 202, answer.text
    raise AssertionError("nothing was refused")


def test_a_disk_without_room_refuses_and_loses_nothing(small_disk: Path, tmp_path: Path) -> None:
    """503 for what would write, reading goes on; killed and started again with room, all ends."""
    store = small_disk / "store.sqlite3"
    server = Server(
        tmp_path, f"sqlite:///{store}", workers=1, store_timeout_s=1, max_active_per_client=500
    )
    try:
        server.start()
        first = server.accept(brief("plain"), Prefer="wait=10")
        running = server.accept(brief("slow 4"))
        server.wait_for(running["id"], "running")
        ballast = fill(small_disk)
        problem = refused(server)
        assert (problem["status"], problem["code"]) == (503, "store_full")
        assert shutil.disk_usage(small_disk).free < 64 * 1024
        assert server.client.get("/readyz").json()["reasons"] == ["store"]
        assert server.get(first["id"])["status"] == "optimal"
        assert server.client.post("/v1/validations", json=brief()).status_code == 200
        assert server.get(running["id"])["state"] == "running"
        server.kill()
        ballast.unlink()
        server.start()
        accepted = server.client.get("/v1/studies?limit=100").json()["items"]
        assert {first["id"], running["id"]} <= {study["id"] for study in accepted}
        for study in accepted:
            ended = server.wait_for(study["id"], timeout_s=40)
            assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
            assert [entry["event"] for entry in server.events(study["id"])].count("end") == 1
        assert server.get(first["id"]) == first
    finally:
        server.close()
    with sqlite3.connect(store) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()
