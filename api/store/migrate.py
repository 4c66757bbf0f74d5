"""Bringing the tables up to date at start, one server at a time."""

from __future__ import annotations

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, text

from api.store.database import Database
from api.store.engine_schema import bring_up

MIGRATIONS = Path(__file__).parent / "migrations"
_LOCK_NAME = 7_262_001


def migrate(database: Database, revision: str = "head") -> None:
    """Run every migration up to `revision` that the database has not had.

    Servers that start together wait for one another: by an advisory lock on PostgreSQL,
    by a lock file beside an SQLite database. On PostgreSQL the job engine's tables follow.
    """
    with _alone(database):
        with database.engine.connect() as connection:
            _run(connection, revision)
        if not database.is_sqlite:
            with psycopg.connect(database.server_address, autocommit=True) as raw:
                bring_up(raw)


def _run(connection: Connection, revision: str) -> None:
    """Have Alembic run the migrations on an open connection."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    command.upgrade(config, revision)


@contextmanager
def _alone(database: Database) -> Iterator[None]:
    """While the block runs no other server migrates this database."""
    if database.is_sqlite:
        path = Path(f"{database.engine.url.database}.lock")
        with path.open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            yield
        return
    with database.engine.connect() as connection:
        # Another server may migrate for longer than a statement may take otherwise.
        connection.execute(text("SET lock_timeout = 0"))
        connection.execute(text("SET statement_timeout = 0"))
        connection.execute(text("SELECT pg_advisory_lock(:name)"), {"name": _LOCK_NAME})
        try:
            yield
        finally:
            connection.execute(text("SELECT pg_advisory_unlock(:name)"), {"name": _LOCK_NAME})
            # Its time limits are off: it must not go back to the pool.
            connection.invalidate()
