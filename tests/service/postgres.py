"""A private PostgreSQL on the loopback for tests, where Debian's package is installed."""

from __future__ import annotations

import os
import pwd
import secrets
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

import psycopg

from tests.service.harness import free_port

_ROOTS = (Path("/usr/lib/postgresql"), Path("/opt/homebrew/opt/postgresql"))
_START_S = 30.0


class UnavailableError(Exception):
    """Why no PostgreSQL server can be started here."""


class Cluster:
    """One server with a data folder of its own; gone with everything in it after `stop`."""

    def __init__(self) -> None:
        self._binaries = _find_binaries()
        self._user = _unprivileged_user()
        self.folder = Path(tempfile.mkdtemp(prefix="closet-pg-"))
        self.port = free_port()
        if self._user:
            shutil.chown(self.folder, self._user)
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> Cluster:
        """Make the data folder and start the server."""
        data = self.folder / "data"
        self._run("initdb", "-D", data, "-U", "postgres", "-A", "trust", "--no-sync", "-E", "UTF8")
        self.resume()
        return self

    def resume(self) -> None:
        """Start the server on its data folder."""
        settings = {
            "listen_addresses": "127.0.0.1",
            "unix_socket_directories": "",
            "fsync": "off",
            # A stop waits for whoever connected and said nothing, killed meanwhile: for 60 s as a
            # rule.
            "authentication_timeout": "10s",
            "max_connections": "200",
        }
        options = [text for name, value in settings.items() for text in ("-c", f"{name}={value}")]
        with (self.folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                [
                    str(self._binaries / "postgres"),
                    "-D",
                    str(self.folder / "data"),
                    "-p",
                    str(self.port),
                    *options,
                ],
                stdout=log,
                stderr=log,
                user=self._user,
                cwd=self.folder,
            )
        until = time.monotonic() + _START_S
        while time.monotonic() < until:
            try:
                psycopg.connect(self.url("postgres"), connect_timeout=2).close()
            except psycopg.OperationalError:
                time.sleep(0.1)
            else:
                return
        raise UnavailableError((self.folder / "log").read_text()[-2000:])

    def halt(self) -> None:
        """Stop the server at once, clients or not; its data stays."""
        if self._process is None:
            return
        self._process.send_signal(signal.SIGINT)
        try:
            self._process.wait(20)
        except subprocess.TimeoutExpired:
            # As in a crash: what was committed is recovered at the next start.
            self._process.send_signal(signal.SIGQUIT)
            self._process.wait(20)

    def url(self, name: str) -> str:
        """Address of a database of this server."""
        return f"postgresql://postgres@127.0.0.1:{self.port}/{name}"

    def new_database(self) -> str:
        """Make an empty database and give its address."""
        name = f"closet_{secrets.token_hex(6)}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        return self.url(name)

    def stop(self) -> None:
        """End the server and remove its folder."""
        if self._process is not None:
            # Fast: a plain SIGTERM waits for every client to go.
            self._process.send_signal(signal.SIGINT)
            try:
                self._process.wait(10)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self._process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, name: str, *arguments: object) -> None:
        done = subprocess.run(
            [str(self._binaries / name), *map(str, arguments)],
            user=self._user,
            cwd=self.folder,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            raise UnavailableError(f"{name}: {done.stderr[-2000:]}")


def _find_binaries() -> Path:
    for root in _ROOTS:
        for folder in sorted(root.glob("*/bin"), reverse=True):
            if (folder / "initdb").exists():
                return folder
    found = shutil.which("initdb")
    if found:
        return Path(found).parent
    raise UnavailableError("no initdb: install Debian's package postgresql")


def _unprivileged_user() -> str | None:
    """PostgreSQL does not run as root: the account of its package does it then."""
    if os.geteuid() != 0:
        return None
    try:
        pwd.getpwnam("postgres")
    except KeyError:
        raise UnavailableError("running as root, and there is no account postgres") from None
    return "postgres"
