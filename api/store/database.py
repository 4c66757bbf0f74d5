"""Opening the database, SQLite or PostgreSQL, and saying plainly when it cannot serve."""

from __future__ import annotations

import shutil
import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from procrastinate.exceptions import ConnectorException
from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.exc import DBAPIError, InterfaceError, OperationalError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError
from sqlalchemy.orm import Session

from api.http.errors import ServiceError

WRITING = "closet_writing"
_SINCE_START = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)
_BUSY_STATES = {"55P03", "57014", "40001", "40P01"}
"""PostgreSQL: lock not available, canceled by a time limit, serialization, deadlock."""
_FULL_STATE = "53100"
BUSY_RETRY_S = 1.0
FULL_RETRY_S = 30.0
LEAST_ROOM_BYTES = 1_000_000
"""Free space below which an SQLite store counts as full."""


class Database:
    """One database with short transactions for reading and for writing.

    A writing transaction takes the write lock at its start, so that what it read cannot
    change before it writes; writers of one process queue up for it.
    """

    def __init__(self, url: str, *, timeout_s: float = 5.0, synced: bool = True) -> None:
        """Open `url`; without `synced` the latest writes to SQLite may be lost with the power,
        though not with a process, until a synced one follows."""
        self.url = url
        self.timeout_s = timeout_s
        self.is_sqlite = url.startswith("sqlite")
        self._write_turn = threading.Lock()
        if self.is_sqlite:
            self.engine = _sqlite_engine(url, timeout_s, synced=synced)
        else:
            self.engine = _server_engine(url, timeout_s)
        # The same pool: only the way in which a transaction begins differs.
        self._writing_engine = self.engine.execution_options(**{WRITING: True})

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session on one consistent view; nothing it does is kept."""
        with _translated(), Session(self.engine, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session whose work is committed at the end of the block, or not at all."""
        with (
            _translated(),
            self._turn(),
            Session(self._writing_engine, expire_on_commit=False) as session,
            session.begin(),
        ):
            yield session

    @contextmanager
    def _turn(self) -> Iterator[None]:
        """This process's turn to write; only SQLite needs one."""
        if not self.is_sqlite:
            yield
            return
        if not self._write_turn.acquire(timeout=self.timeout_s):
            raise store_busy()
        try:
            yield
        finally:
            self._write_turn.release()

    @property
    def server_address(self) -> str:
        """The address of a PostgreSQL database as libpq takes it."""
        url = self.engine.url.set(drivername="postgresql")
        return url.render_as_string(hide_password=False)

    @property
    def server_limits(self) -> dict[str, Any]:
        """Arguments of every connection to a PostgreSQL database: time limits."""
        return _server_limits(self.timeout_s)

    def now(self, session: Session) -> float:
        """Time by the clock all servers share: the database's, or this machine's."""
        if self.is_sqlite:
            return time.time()
        return float(
            session.execute(text("SELECT extract(epoch FROM clock_timestamp())")).scalar_one()
        )

    def probe(self) -> None:
        """Write a page and take it back; ServiceError where that cannot be done now.

        A disk without room is told by its free space: what a transaction takes back may never
        have come to the disk.
        """
        with _translated(), self._turn(), Session(self._writing_engine) as session:
            # No owner has an empty name: it writes without changing anything.
            session.execute(text("DELETE FROM answers WHERE owner = '' AND key = ''"))
            session.rollback()
        if self.is_sqlite:
            place = Path(str(self.engine.url.database)).resolve().parent
            if shutil.disk_usage(place).free < LEAST_ROOM_BYTES:
                raise _explained("disk is full", None)

    def lease_now(self, session: Session) -> float:
        """Time by the clock of leases: no change of the wall clock moves this machine's, which
        all processes on an SQLite file share; on PostgreSQL the database's clock."""
        if self.is_sqlite:
            return time.clock_gettime(_SINCE_START)
        return self.now(session)

    def lease_end(self, session: Session, lease_s: float) -> float:
        """When a lease given now runs out."""
        return self.lease_now(session) + lease_s

    def serialise(self, session: Session, name: int) -> None:
        """Let one transaction at a time past this point; SQLite's write lock does already."""
        if not self.is_sqlite:
            session.execute(text("SELECT pg_advisory_xact_lock(:name)"), {"name": name})

    def close(self) -> None:
        """Give back every connection."""
        self.engine.dispose()


def store_busy() -> ServiceError:
    """The answer while others hold the database."""
    return ServiceError(
        "store_busy", "the database is locked by others; try again", retry_after=BUSY_RETRY_S
    )


def _sqlite_engine(url: str, timeout_s: float, *, synced: bool) -> Engine:
    """SQLite in WAL mode, with transactions begun by us."""
    engine = create_engine(
        url,
        pool_size=16,
        max_overflow=32,
        pool_timeout=timeout_s,
        connect_args={"timeout": timeout_s, "check_same_thread": False},
    )

    @event.listens_for(engine, "connect")
    def _prepare(connection: Any, _record: Any) -> None:
        """Set up a new SQLite connection: no transactions of the driver's own, WAL."""
        # The driver would begin transactions by itself, later than we need them.
        connection.isolation_level = None
        cursor = connection.cursor()
        # In WAL mode NORMAL syncs at checkpoints alone: a power cut takes the last commits.
        durability = "synchronous=FULL" if synced else "synchronous=NORMAL"
        for pragma in ("journal_mode=WAL", durability, "foreign_keys=ON"):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        """Begin a transaction: one that will write takes the write lock at once."""
        writing = connection.get_execution_options().get(WRITING, False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine


def _server_engine(url: str, timeout_s: float) -> Engine:
    """PostgreSQL through psycopg, with time limits on locks and statements."""
    if url.startswith("postgresql://"):
        url = url.replace("postgresql://", "postgresql+psycopg://", 1)
    return create_engine(
        url,
        pool_size=10,
        max_overflow=20,
        pool_timeout=timeout_s,
        # A connection may have died with a restart of the database: it is tried before it is handed
        # out.
        pool_pre_ping=True,
        connect_args=_server_limits(timeout_s),
    )


def _server_limits(timeout_s: float) -> dict[str, Any]:
    """How long connecting, locks, statements and idle transactions may take."""
    limit_ms = round(timeout_s * 1000)
    # Limits in the server, not here: what waits in the database is not ended by our giving up.
    options = (
        f"-c lock_timeout={limit_ms} -c statement_timeout={4 * limit_ms} "
        f"-c idle_in_transaction_session_timeout={12 * limit_ms}"
    )
    return {"options": options, "connect_timeout": max(2, round(timeout_s))}


@contextmanager
def _translated() -> Iterator[None]:
    """Failures of the database as problems a client can act on."""
    try:
        yield
    except PoolTimeoutError as error:
        raise store_busy() from error
    except sqlite3.OperationalError as error:
        # From the statements that prepare a new connection: SQLAlchemy does not wrap those.
        raise _explained(str(error), None) from error
    except ConnectorException as error:
        # From the statements of the job engine, which share our transactions.
        raise _explained(
            str(error.__cause__), getattr(error.__cause__, "sqlstate", None)
        ) from error
    except SQLAlchemyError as error:
        known = translate(error)
        if known is None:
            raise
        raise known from error


def translate(error: SQLAlchemyError) -> ServiceError | None:
    """The problem behind a database error: busy, full or down; None for our own mistakes."""
    if not isinstance(error, DBAPIError):
        return None
    known = _explained(str(error.orig), getattr(error.orig, "sqlstate", None))
    if known.code != "store_down" or isinstance(error, OperationalError | InterfaceError):
        return known
    return known if "readonly" in str(error.orig).lower() else None


def _explained(message: str, state: str | None) -> ServiceError:
    """The problem that a database's message and SQLSTATE speak of."""
    text = message.lower()
    # SQLite tells by its text, PostgreSQL by its SQLSTATE.
    if "locked" in text or "busy" in text or state in _BUSY_STATES:
        return store_busy()
    if "disk is full" in text or "disk i/o" in text or state == _FULL_STATE:
        return ServiceError(
            "store_full", "the database has no room left; try later", retry_after=FULL_RETRY_S
        )
    return ServiceError(
        "store_down", "the database cannot be reached; try later", retry_after=FULL_RETRY_S
    )
