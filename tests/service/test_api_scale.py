"""Many processes on one PostgreSQL: whatever dies, every study ends exactly once."""

from __future__ import annotations

import random
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import Any

import httpx
import psycopg
import pytest

from api.settings import Settings
from api.store import jobs
from api.store.database import Database
from api.store.migrate import migrate
from api.store.tables import StudyRow
from api.studies import lifecycle
from api.worker.upkeep import Upkeep
from tests.service.harness import NO_TLS, Server, brief, eventually, patient
from tests.service.postgres import Cluster
from tests.service.test_api_queue import NOW, RULES, add, next_job, take

MakeServer = Callable[..., Server]
Store = psycopg.Connection[tuple[Any, ...]]

POSTED = 90
AWAY_S = 10.0
PAUSE_S = 1.5
ROOMY = {"max_active_per_client": 1000, "max_queue": 1000, "store_timeout_s": 1}


@pytest.fixture
def own_cluster(cluster: Cluster) -> Iterator[Cluster]:
    """A database server that a test may halt."""
    started = Cluster().start()
    try:
        yield started
    finally:
        started.stop()


@pytest.fixture
def database(cluster: Cluster) -> Iterator[Database]:
    """A store on PostgreSQL with its tables."""
    made = Database(cluster.new_database())
    migrate(made)
    yield made
    made.close()


def test_whatever_dies_every_study_ends_once(make_server: MakeServer, own_cluster: Cluster) -> None:
    """Two servers and three workers on one database, killed at any moment, the database away
    for ten seconds: 120 studies and two that were left over each have one end, whole. One that
    was past its time is deleted."""
    url = own_cluster.new_database()
    store = Database(url)
    migrate(store)
    add(store, state="done", status="optimal", expires_at=5.0)
    store.close()
    servers = [make_server(url, workers=0, **ROOMY) for _ in range(2)]
    workers = [make_server(url, workers=1, **ROOMY) for _ in range(3)]
    for worker in workers:
        worker.command = ["-m", "api", "worker"]
    for server in servers:
        server.start(ready=False)
    for server in servers:
        server.wait_ready()
    accepted = leave_over(url, servers)
    until = time.monotonic() + patient(120)
    addresses = [server.url for server in servers]
    with (
        kept_up([*servers, *workers]),
        ThreadPoolExecutor(8) as pool,
        httpx.Client(verify=NO_TLS) as client,
    ):
        trouble = pool.submit(harm, own_cluster, [*servers, *workers])
        posted = [pool.submit(post, client, addresses, n, until) for n in range(POSTED)]
        accepted += [one.result() for one in posted]
        trouble.result()
        with psycopg.connect(url, autocommit=True) as asking:
            eventually(lambda: not under_way(asking), 60)
            assert servers[0].get(accepted[-1])["status"] == "optimal"
            left = "SELECT id FROM procrastinate_jobs WHERE queue_name = %s"
            eventually(lambda: not ask(asking, left, jobs.STUDIES))
            check_ends(asking, accepted)
    assert len(set(accepted)) == POSTED + 2
    logs = ["run begins" in worker.log() for worker in workers]
    assert all(logs), f"every worker worked: {logs}"


def leave_over(url: str, servers: list[Server]) -> list[str]:
    """Two studies that wait: one that the engine knows nothing of, as one accepted before there
    was an engine, and one whose job was taken by a worker that died before it claimed it."""
    forgotten, stalled = (servers[0].accept(brief(f"plain {n}"))["id"] for n in ("old", "held"))
    with psycopg.connect(url) as connection:
        connection.execute(
            "DELETE FROM procrastinate_jobs WHERE args ->> 'study_id' = %s", [forgotten]
        )
        connection.execute(
            "WITH dead AS (INSERT INTO procrastinate_workers (last_heartbeat)"
            " VALUES (now() - interval '1 hour') RETURNING id)"
            " UPDATE procrastinate_jobs SET status = 'doing', worker_id = dead.id FROM dead"
            " WHERE args ->> 'study_id' = %s",
            [stalled],
        )
    return [forgotten, stalled]


@contextmanager
def kept_up(processes: list[Server]) -> Iterator[None]:
    """Whatever is down is started again while the block runs, as a service manager does."""
    over = threading.Event()

    def keep_up() -> None:
        while not over.wait(2.0):
            for process in processes:
                if process.process is None or process.process.poll() is not None:
                    process.start(ready=False)

    keeper = threading.Thread(target=keep_up)
    keeper.start()
    try:
        yield
    finally:
        over.set()
        keeper.join()


def harm(cluster: Cluster, processes: list[Server]) -> None:
    """Kill every process, one after the other; in between the database goes away for a while,
    with one of the kills meanwhile."""
    dice = random.Random(7)
    first, second, third, *others = dice.sample(processes, len(processes))

    def kill(victim: Server) -> None:
        time.sleep(PAUSE_S * dice.uniform(0.5, 1.5))
        if victim.process is not None:
            victim.kill()

    kill(first)
    kill(second)
    cluster.halt()
    gone = time.monotonic()
    kill(third)
    time.sleep(max(0.0, gone + AWAY_S - time.monotonic()))
    cluster.resume()
    for victim in others:
        kill(victim)


def post(client: httpx.Client, addresses: list[str], number: int, until: float) -> str:
    """Post a study at one server or the other until it is taken in, and give its id."""
    attempt = number
    while time.monotonic() < until:
        attempt += 1
        try:
            answer = client.post(
                f"{addresses[attempt % 2]}/v1/studies",
                json=brief(f"slow 0.1 {number}"),
                headers={"Idempotency-Key": f"number-{number}"},
                timeout=10,
            )
        except httpx.TransportError:
            time.sleep(0.2)
            continue
        if answer.status_code in {201, 202}:
            return str(answer.json()["id"])
        assert answer.status_code == 503, answer.text
        time.sleep(0.2)
    raise AssertionError(f"study {number} was never taken in")


def ask(store: Store, query: str, *values: Any) -> list[tuple[Any, ...]]:
    """Rows of a query."""
    return store.execute(query, values).fetchall()


def under_way(store: Store) -> list[tuple[Any, ...]]:
    """Studies that have not ended."""
    return ask(store, "SELECT id, state, attempts FROM studies WHERE state <> %s", "done")


def check_ends(store: Store, accepted: list[str]) -> None:
    """One end each, whole, and events without gaps."""
    rows = ask(
        store,
        "SELECT s.id, s.status, s.layouts_found, s.seq, count(*), max(e.seq),"
        " count(*) FILTER (WHERE e.kind = %s)"
        " FROM studies s JOIN events e ON e.study_id = s.id GROUP BY s.id",
        "end",
    )
    assert {row[0] for row in rows} == set(accepted)
    for study_id, status, layouts, seq, events, last, ends in rows:
        assert (status, layouts, ends) == ("optimal", 3, 1), study_id
        assert seq == events == last, study_id


def test_a_job_is_there_if_and_only_if_its_study_waits(database: Database) -> None:
    """Both come with one transaction or not at all; a run that is handed back has a new job."""
    with pytest.raises(RuntimeError), database.writing() as session:
        session.add(StudyRow(**WAITING))
        jobs.defer(session, session.get_one(StudyRow, WAITING["id"]))
        raise RuntimeError("no room after all")
    assert next_job(database) is None
    (study_id,) = add(database)
    held = take(database)
    assert held is not None and next_job(database) is None
    assert lifecycle.close(database, held, "crash", RULES) == "queued"
    assert [next_job(database), next_job(database)] == [study_id, None]


WAITING: dict[str, Any] = {
    "id": "0" * 26,
    "owner": "o",
    "client": "c",
    "name": "n",
    "kind": "propose",
    "root_id": "0" * 26,
    "fingerprint": "f",
    "state": "queued",
    "created_at": NOW,
    "deadline_at": 1e12,
    "time_limit_s": 10.0,
}


def test_workers_are_told_of_a_study_when_it_is_stored(database: Database) -> None:
    """A listener on the engine's channel hears of it with the commit, not before."""
    with psycopg.connect(database.server_address, autocommit=True) as listener:
        listener.execute(f'LISTEN "procrastinate_queue_v1#{jobs.STUDIES}"')
        with database.writing() as session:
            session.add(StudyRow(**WAITING))
            session.flush()
            jobs.defer(session, session.get_one(StudyRow, WAITING["id"]))
            assert list(listener.notifies(timeout=0.2)) == []
        assert len(list(listener.notifies(timeout=10, stop_after=1))) == 1


def test_a_study_without_a_job_gets_one(database: Database) -> None:
    """Once, however often it is looked for; none where there is one already."""
    with database.writing() as session:
        session.add(StudyRow(**WAITING))
    (other,) = add(database)
    upkeep = Upkeep(Settings(database_url=database.url), database)
    upkeep.find_forgotten()
    upkeep.find_forgotten()
    assert {next_job(database), next_job(database)} == {WAITING["id"], other}
    assert next_job(database) is None
