"""Servers and databases for tests of the service."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.service.harness import Server
from tests.service.postgres import Cluster, UnavailableError


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that tests may not harm: quick settings, fake runner, SQLite."""
    server = Server(tmp_path_factory.mktemp("shared"), max_active_per_client=200)
    try:
        yield server.start()
    finally:
        server.close()


@pytest.fixture(scope="session")
def real_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that runs the optimizer itself; few price books for one study."""
    folder = tmp_path_factory.mktemp("real")
    server = Server(
        folder,
        runner="api.worker.optimizer_runner:OptimizerRunner",
        max_active_per_client=200,
        max_pricings=3,
        # A loaded machine must not pass for a dead worker.
        lease_s=20,
        heartbeat_s=1,
        stop_grace_s=10,
    )
    try:
        yield server.start()
    finally:
        server.close()


@pytest.fixture(scope="session")
def _narrow_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    server = Server(
        tmp_path_factory.mktemp("narrow"),
        workers=0,
        max_active_per_client=7,
        max_stored_per_client=9,
        max_streams_per_client=2,
        hosts="closets.example,127.0.0.1",
    )
    try:
        yield server.start()
    finally:
        server.close()


@pytest.fixture
def narrow_server(_narrow_server: Server) -> Server:
    """A server with narrow limits that runs nothing: what is queued there stays so; emptied."""
    _narrow_server.empty()
    return _narrow_server


@pytest.fixture
def make_server(tmp_path: Path) -> Iterator[Callable[..., Server]]:
    """A maker of servers of a test's own; all of them are ended after it."""
    made: list[Server] = []

    def make(database_url: str | None = None, *, fresh: bool = False, **settings: Any) -> Server:
        server = Server(tmp_path, database_url, fresh=fresh, **settings)
        made.append(server)
        return server

    yield make
    for server in made:
        server.close()


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """A private PostgreSQL server; skips, saying why, where none can be had."""
    started = None
    try:
        started = Cluster().start()
    except UnavailableError as error:
        pytest.skip(f"no PostgreSQL here: {error}")
    try:
        yield started
    finally:
        started.stop()


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """An empty database of each kind."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path}/store.sqlite3"
    url: str = request.getfixturevalue("cluster").new_database()
    return url
