"""Servers for tests of the service: one shared by quiet tests, others made to order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from service_harness import Server


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that tests may not harm: quick settings, fake runner, SQLite."""
    server = Server(tmp_path_factory.mktemp("shared"), max_active_per_client=200)
    try:
        yield server.start()
    finally:
        server.close()


@pytest.fixture
def make_server(tmp_path: Path) -> Iterator[Callable[..., Server]]:
    """A maker of servers of a test's own; all of them are ended after it."""
    made: list[Server] = []

    def make(database_url: str | None = None, **settings: Any) -> Server:
        server = Server(tmp_path, database_url, **settings)
        made.append(server)
        return server

    yield make
    for server in made:
        server.close()
