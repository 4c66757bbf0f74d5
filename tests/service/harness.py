"""Real server processes over real HTTP, for tests."""

from __future__ import annotations

import contextlib
import json
import os
import re
import secrets
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx

from tests.service.forked import ServerProcess, fork_server

HERE = Path(__file__).resolve().parent
FAKE_RUNNER = "tests.service.fakes:FakeRunner"
START_S = 180.0
NO_TLS = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
"""For clients of servers here, which speak plain HTTP: to read the certificates of all authorities,
as a client does by itself, takes longer than most requests."""

USUAL_START_S = {True: 4.0, False: 0.5}
"""What a start takes on a quiet machine of two cores, by whether the interpreter is fresh."""


class _Machine:
    """How much slower than usual this machine is just now; twice as slow is nothing unusual, with
    other tests beside these."""

    least = 2.0
    factor = least


def patient(seconds: float) -> float:
    """A time limit that is fair on this machine."""
    return seconds * _Machine.factor


QUICK = {
    "CLOSET_RUNNER": FAKE_RUNNER,
    "CLOSET_WORKERS": "2",
    "CLOSET_CALCULATORS": "1",
    "CLOSET_LEASE_S": "2",
    "CLOSET_HEARTBEAT_S": "0.5",
    "CLOSET_REAP_S": "0.25",
    "CLOSET_STOP_GRACE_S": "0.6",
    "CLOSET_SHUTDOWN_GRACE_S": "3",
    "CLOSET_STREAM_KEEPALIVE_S": "0.5",
}
"""Settings that make failures show within a moment."""


def brief(name: str = "plain", **changes: Any) -> dict[str, Any]:
    """A short valid brief of that name."""
    return {
        "name": name,
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 96}]},
        "needs": {"short_hang": 40},
        "options": {"alternatives": 3, "time_limit_s": 10},
        **changes,
    }


def free_port() -> int:
    """A port that is free now, drawn below those that clients are given (from 32768 on).

    The server takes it seconds later: meanwhile neither a connection nor another process of the
    tests is likely to.
    """
    while True:
        port = secrets.choice(range(20_000, 32_000))
        with socket.socket() as probe, contextlib.suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port


def children_of(process: int) -> list[int]:
    """Process ids of the children of a process."""
    found: list[int] = []
    for task in Path(f"/proc/{process}/task").iterdir():
        found += map(int, (task / "children").read_text().split())
    return found


class Server:
    """One server process, started on a database, with an HTTP client to it.

    It is forked from one that has loaded the service, where that can be, since loading takes most
    of a start; `fresh` asks for an interpreter of its own, as people start it.
    """

    def __init__(
        self,
        folder: Path,
        database_url: str | None = None,
        *,
        fresh: bool = False,
        **settings: Any,
    ) -> None:
        self.folder = folder
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.database_url = database_url or f"sqlite:///{folder}/store.sqlite3"
        self.log_path = folder / f"server-{self.port}.log"
        given = {f"CLOSET_{name.upper()}": str(value) for name, value in settings.items()}
        plain = {k: v for k, v in os.environ.items() if not k.startswith("CLOSET_")}
        paths = [str(HERE.parent.parent), os.environ.get("PYTHONPATH", "")]
        self.environment = {
            **plain,
            **QUICK,
            "CLOSET_PORT": str(self.port),
            "CLOSET_DATABASE_URL": self.database_url,
            "PYTHONPATH": os.pathsep.join(filter(None, paths)),
            **given,
        }
        self.command = ["-m", "api"]
        self.loads = self.fresh = fresh
        self.process: subprocess.Popen[bytes] | ServerProcess | None = None
        self.began = 0.0
        self.client = httpx.Client(base_url=self.url, timeout=60, verify=NO_TLS)

    def start(self, *, ready: bool = True) -> Server:
        """Start the process; return once it is ready."""
        if self.process is not None:
            self.process.wait()
        self.began = time.monotonic()
        with self.log_path.open("ab") as log:
            self.process = None
            if not self.fresh and self.command[:2] == ["-m", "api"]:
                given = (self.command[2:], self.environment, self.folder, log.fileno())
                self.process = fork_server(*given)
            self.loads = self.process is None
            self.process = self.process or subprocess.Popen(
                [sys.executable, *self.command],
                env=self.environment,
                cwd=self.folder,
                stdout=log,
                stderr=log,
            )
        if ready:
            self.wait_ready()
        return self

    def wait_ready(self) -> None:
        """Wait until workers are loaded."""
        while time.monotonic() < self.began + START_S:
            assert self.process is not None
            if self.process.poll() is not None:
                raise AssertionError(f"the server ended:\n{self.log()}")
            try:
                answer = self.client.get("/readyz")
                # A server that was to have no workers is as ready as it will be.
                idle = self.environment["CLOSET_WORKERS"] == "0"
                lacks = answer.json().get("reasons")
                if answer.status_code == 200 or (idle and lacks == ["no_workers"]):
                    took = time.monotonic() - self.began
                    _Machine.factor = max(_Machine.least, took / USUAL_START_S[self.loads])
                    return
            except httpx.TransportError:
                pass
            time.sleep(0.05)
        raise AssertionError(f"not ready within {START_S} s:\n{self.log()}")

    def kill(self) -> None:
        """SIGKILL the server process, as a crash would."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()

    def stop(self, timeout_s: float = 60.0) -> int:
        """Ask for a clean stop and give the exit status."""
        assert self.process is not None
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(timeout_s)

    def close(self) -> None:
        """End whatever still runs."""
        self.client.close()
        if self.process is not None:
            self.kill()

    def log(self) -> str:
        """Everything the server has logged."""
        return self.log_path.read_text() if self.log_path.exists() else ""

    def log_entries(self) -> list[dict[str, Any]]:
        """The log, line by line."""
        return [json.loads(line) for line in self.log().splitlines() if line.startswith("{")]

    def children(self) -> list[int]:
        """Process ids of the server's child processes, and of theirs."""
        assert self.process is not None
        found = [self.process.pid]
        for parent in found:
            found += children_of(parent)
        return found[1:]

    def worker_of(self, study: dict[str, Any]) -> int:
        """Process id of the child that runs a study, from the log of its claim."""
        for entry in reversed(self.log_entries()):
            if entry.get("message") == "run begins" and entry.get("study_id") == study["id"]:
                return int(entry["process"])
        raise AssertionError(f"no run of {study['id']} in the log:\n{self.log()}")

    # --- the journey of a study ------------------------------------------------------------

    def post(self, data: dict[str, Any], **headers: str) -> httpx.Response:
        """POST a brief."""
        return self.client.post(
            "/v1/studies", json=data, headers={k.replace("_", "-"): v for k, v in headers.items()}
        )

    def accept(self, data: dict[str, Any], **headers: str) -> dict[str, Any]:
        """POST a brief that must be accepted, and give the study.

        With `Prefer: wait` it has ended, on a busy machine later than the service waits.
        """
        answer = self.post(data, **headers)
        assert answer.status_code in {201, 202}, answer.text
        study: dict[str, Any] = answer.json()
        if answer.status_code == 202 and "Prefer" in headers:
            return self.wait_for(study["id"], timeout_s=60)
        return study

    def ids(self) -> set[str]:
        """Every study in the store."""
        found: set[str] = set()
        address: str | None = "/v1/studies?limit=100"
        while address:
            page = self.client.get(address).json()
            found |= {entry["id"] for entry in page["items"]}
            address = page["next"]
        return found

    def empty(self) -> None:
        """Delete every study."""
        for study_id in self.ids():
            assert self.client.delete(f"/v1/studies/{study_id}").status_code == 204

    def get(self, study_id: str) -> dict[str, Any]:
        """The study now."""
        answer = self.client.get(f"/v1/studies/{study_id}")
        assert answer.status_code == 200, answer.text
        study: dict[str, Any] = answer.json()
        return study

    def wait_for(
        self, study_id: str, state: str = "done", timeout_s: float = 20.0
    ) -> dict[str, Any]:
        """The study once it is in that state."""
        until = time.monotonic() + patient(timeout_s)
        while time.monotonic() < until:
            study = self.get(study_id)
            if study["state"] == state:
                return study
            time.sleep(0.05)
        raise AssertionError(f"{study_id} is not {state}: {study['state']}\n{self.log()[-4000:]}")

    def wait_for_layout(self, study_id: str, number: int = 1) -> dict[str, Any]:
        """The study once it shows that many layouts."""
        until = time.monotonic() + patient(20)
        while time.monotonic() < until:
            study = self.get(study_id)
            if len(study["layouts"]) >= number:
                return study
            time.sleep(0.05)
        raise AssertionError(f"{study_id} shows no layout\n{self.log()[-4000:]}")

    def events(self, study_id: str, after: int | None = None) -> list[dict[str, Any]]:
        """Every event of a study up to its end."""
        headers = {} if after is None else {"Last-Event-ID": str(after)}
        with self.client.stream("GET", f"/v1/studies/{study_id}/events", headers=headers) as got:
            assert got.status_code == 200
            text = "".join(got.iter_text())
        return parse_events(text)


def parse_events(text: str) -> list[dict[str, Any]]:
    """Events of a stream: id, event and data."""
    events = []
    for block in text.split("\n\n"):
        fields = dict(re.findall(r"^(id|event|data): (.*)$", block, re.MULTILINE))
        if "event" in fields:
            events.append(
                {
                    "id": int(fields["id"]),
                    "event": fields["event"],
                    "data": json.loads(fields["data"]),
                }
            )
    return events


def eventually(holds: Callable[[], bool], seconds: float = 10.0) -> None:
    """Wait until it holds; an assertion fails where it does not in time."""
    until = time.monotonic() + patient(seconds)
    while not holds():
        assert time.monotonic() < until, f"not so after {seconds:g} s"
        time.sleep(0.05)
