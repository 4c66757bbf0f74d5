"""A store that is full, locked or away: honest answers meanwhile, nothing lost after."""

from __future__ import annotations

import resource
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import psycopg
import pytest
from procrastinate.schema import SchemaManager
from sqlalchemy import event

from api.http.errors import ServiceError
from api.store.database import Database
from api.store.engine_schema import bring_up
from api.store.migrate import migrate
from api.store.tables import Base, StudyRow
from tests.service.harness import Server, brief, patient
from tests.service.postgres import Cluster

MakeServer = Callable[..., Server]


@contextmanager
def no_room(server: Server) -> Iterator[None]:
    """No file of the server may grow while the block runs, as on a full disk."""
    assert server.process is not None
    processes = [server.process.pid, *server.children()]
    sizes = [path.stat().st_size for path in server.folder.glob("store.sqlite3*")]
    for pid in processes:
        resource.prlimit(pid, resource.RLIMIT_FSIZE, (max(sizes), resource.RLIM_INFINITY))
    try:
        yield
    finally:
        for pid in processes:
            unlimited = (resource.RLIM_INFINITY, resource.RLIM_INFINITY)
            resource.prlimit(pid, resource.RLIMIT_FSIZE, unlimited)


def until_refused(server: Server) -> dict[str, Any]:
    """Post until the store takes no more; gives the problem."""
    for number in range(100):
        answer = server.post(brief(f"plain full {number}", needs={"short_hang": 20 + number / 4}))
        if answer.status_code == 503:
            assert int(answer.headers["Retry-After"]) >= 1
            document: dict[str, Any] = answer.json()
            return document
        assert answer.status_code in {201, 202}
    raise AssertionError("the store was never full")


@pytest.fixture(scope="module")
def troubled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that waits only a moment for its store."""
    folder = tmp_path_factory.mktemp("troubled")
    server = Server(folder, workers=1, store_timeout_s=1, max_active_per_client=500)
    try:
        yield server.start()
    finally:
        server.close()


def test_a_full_disk_refuses_and_recovers(troubled: Server) -> None:
    """503 for what would write, reading goes on, and what runs ends once there is room."""
    server = troubled
    first = server.accept(brief("plain"), Prefer="wait=10")
    running = server.accept(brief("slow 2"))
    server.wait_for(running["id"], "running")
    with no_room(server):
        assert until_refused(server)["code"] == "store_full"
        assert server.get(first["id"])["status"] == "optimal"
        assert server.client.get("/v1/limits").status_code == 200
        assert server.client.post("/v1/validations", json=brief()).status_code == 200
        time.sleep(2.5)
        assert server.get(running["id"])["state"] != "done"
    ended = server.wait_for(running["id"], timeout_s=30)
    assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
    assert [e["event"] for e in server.events(running["id"])].count("end") == 1
    everything = server.client.get("/v1/studies?limit=100&state=queued").json()["items"]
    for study in everything:
        server.wait_for(study["id"], timeout_s=30)
    assert server.accept(brief("plain after"), Prefer="wait=10")["status"] == "optimal"


def test_a_locked_database_refuses_and_recovers(troubled: Server) -> None:
    """503 after a moment while others hold the lock; a run under way is not lost by it."""
    server = troubled
    study = server.accept(brief("slow 2 locked"))
    server.wait_for(study["id"], "running")
    lock = sqlite3.connect(server.folder / "store.sqlite3", isolation_level=None)
    lock.execute("BEGIN IMMEDIATE")
    began = time.monotonic()
    refused = server.post(brief("plain locked out"))
    assert (refused.status_code, refused.json()["code"]) == (503, "store_busy")
    assert time.monotonic() - began < patient(5)
    assert server.client.get("/readyz").json()["reasons"] == ["store"]
    assert server.client.get(f"/v1/studies/{study['id']}").status_code == 200
    time.sleep(3)
    lock.execute("ROLLBACK")
    lock.close()
    ended = server.wait_for(study["id"], timeout_s=20)
    assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
    assert [e["event"] for e in server.events(study["id"])].count("end") == 1


def test_a_database_server_that_goes_away_and_comes_back(
    make_server: MakeServer, cluster: Cluster
) -> None:
    """503 while PostgreSQL is down; the study accepted before ends after."""
    own = Cluster().start()
    try:
        server = make_server(own.new_database(), store_timeout_s=1).start()
        study = server.accept(brief("slow 1"))
        own.halt()
        refused = server.post(brief("plain"))
        assert (refused.status_code, refused.json()["code"]) == (503, "store_down")
        assert server.client.get("/readyz").status_code == 503
        assert server.client.get("/healthz").status_code == 200
        own.resume()
        ended = server.wait_for(study["id"], timeout_s=30)
        assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
        assert server.accept(brief("plain"), Prefer="wait=10")["status"] == "optimal"
    finally:
        own.stop()


def test_a_store_at_its_size_limit_says_full(tmp_path: Path) -> None:
    """SQLite's own limit on pages is told as a full store, and the transaction is undone."""
    database = Database(f"sqlite:///{tmp_path}/small.sqlite3")
    migrate(database)

    @event.listens_for(database.engine, "connect")
    def _limit(connection: Any, _record: Any) -> None:
        connection.execute("PRAGMA max_page_count=60")

    database.engine.dispose()
    with pytest.raises(ServiceError) as refused, database.writing() as session:
        for number in range(1000):
            session.add(filler(number))
            session.flush()
    assert refused.value.code == "store_full"
    with database.reading() as session:
        assert session.query(StudyRow).count() == 0
    database.close()


def filler(number: int) -> StudyRow:
    """A row that takes room."""
    return StudyRow(
        id=f"{number:026d}",
        owner="o",
        client="c",
        name="x" * 200,
        kind="propose",
        root_id="r",
        fingerprint="f" * 64,
        state="queued",
        created_at=0.0,
        deadline_at=0.0,
        time_limit_s=1.0,
    )


def test_migrations_make_the_tables_of_the_code(database_url: str) -> None:
    """After every migration the database has exactly the tables that the code expects; those of
    the job engine are its own."""
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    database = Database(database_url)
    migrate(database)
    migrate(database)
    with database.engine.connect() as connection:
        context = MigrationContext.configure(
            connection,
            opts={"include_name": lambda name, *_: not str(name).startswith("procrastinate_")},
        )
        assert compare_metadata(context, Base.metadata) == []
    database.close()


def test_the_engine_is_brought_up_from_any_version(cluster: Cluster) -> None:
    """From its first schema by its own migrations, and by ours to this one at once: the same
    columns, functions and triggers. A second time nothing is done, nor to what another program
    put there."""
    stepwise, at_once = cluster.new_database(), cluster.new_database()
    first = sorted(Path(SchemaManager.get_migrations_path()).glob("*.sql"))[0]
    with psycopg.connect(stepwise, autocommit=True) as connection:
        connection.execute(first.read_bytes())
        assert bring_up(connection) == [], "no mark of ours"
        connection.execute(f"COMMENT ON TABLE procrastinate_jobs IS 'brought up to {first.stem}'")
        assert len(bring_up(connection)) > 30
        assert bring_up(connection) == []
        grown = shape(connection)
    with psycopg.connect(at_once, autocommit=True) as connection:
        bring_up(connection)
        assert bring_up(connection) == []
        assert shape(connection) == grown


def shape(connection: psycopg.Connection[Any]) -> list[set[Any]]:
    """Columns, functions and triggers of a database."""
    queries = (
        "SELECT table_name, column_name, data_type, is_nullable, column_default"
        " FROM information_schema.columns WHERE table_schema = 'public'",
        "SELECT p.oid::regprocedure::text FROM pg_proc p"
        " WHERE p.pronamespace = 'public'::regnamespace",
        "SELECT pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal",
    )
    return [set(connection.execute(query).fetchall()) for query in queries]
