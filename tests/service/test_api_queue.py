"""The queue by itself, on both kinds of database: claims, leases, one end."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import text

from api.store import jobs
from api.store.database import Database
from api.store.ids import is_identifier, new_identifier
from api.store.migrate import migrate
from api.store.tables import DocumentRow, StudyRow
from api.studies import lifecycle, repository
from api.studies.events import events_after
from api.studies.lifecycle import Claim, ClaimTerm, Ending, RetryRules, close

NOW = 1000.0
ENDING = Ending("optimal", '{"layouts": []}')
RULES = RetryRules(max_attempts=3, retention_s=100.0)


@pytest.fixture
def database(database_url: str) -> Iterator[Database]:
    """A store with its tables."""
    made = Database(database_url)
    migrate(made)
    yield made
    made.close()


def add(database: Database, number: int = 1, **changes: object) -> list[str]:
    """Queue that many studies, the first the oldest."""
    ids = []
    with database.writing() as session:
        for count in range(number):
            study_id = new_identifier()
            row = {
                "id": study_id,
                "owner": "o",
                "client": "c",
                "name": "n",
                "kind": "propose",
                "root_id": study_id,
                "fingerprint": study_id,
                "state": "queued",
                "created_at": NOW + count,
                "deadline_at": 1e12,
                "time_limit_s": 10.0,
            }
            session.add(StudyRow(**{**row, **changes}))
            session.flush()
            session.add(DocumentRow(study_id=study_id, brief="{}", warnings="[]"))
            jobs.defer(session, session.get_one(StudyRow, study_id))
            ids.append(study_id)
    return ids


def take(database: Database, now: float = NOW) -> Claim | None:
    """Claim the next study: by looking for it, or as a job of the engine names it."""
    term = ClaimTerm("w", now, now + 10, 30.0)
    with database.writing() as session:
        if database.is_sqlite:
            return lifecycle.claim_next(session, term)
    while (study_id := next_job(database)) is not None:
        with database.writing() as session:
            if held := lifecycle.claim(session, study_id, term):
                return held
    return None


def next_job(database: Database) -> str | None:
    """The study of the job that the engine would give a worker now; the job is taken off."""
    fetch = text("SELECT * FROM procrastinate_fetch_job_v2(CAST(:queues AS varchar[]), NULL)")
    drop = text("DELETE FROM procrastinate_jobs WHERE id = :id")
    with database.writing() as session:
        job = session.execute(fetch, {"queues": [jobs.STUDIES]}).mappings().one()
        session.execute(drop, {"id": job["id"]})
    return None if job["id"] is None else str(job["args"]["study_id"])


def end(database: Database, study_id: str, token: str | None) -> bool:
    """End a study."""
    with database.writing() as session:
        return lifecycle.finish(session, study_id, ENDING, token=token, now=NOW, retention_s=100)


def test_the_oldest_is_taken_first_and_each_once(database: Database) -> None:
    """First come, first served; an empty queue gives nothing."""
    ids = add(database, 3)
    claims = [take(database) for _ in range(4)]
    assert [claim and claim.study_id for claim in claims] == [*ids, None]
    assert claims[0] is not None
    assert claims[0].run_until == NOW + 10 + 30


def test_short_briefs_are_not_stuck_behind_long_ones(database: Database) -> None:
    """Of two that came within a minute the shorter goes first; after a while the longer does."""
    (long,) = add(database, 1, time_limit_s=300.0, created_at=0.0)
    (short,) = add(database, 1, time_limit_s=10.0, created_at=60.0)
    (late,) = add(database, 1, time_limit_s=10.0, created_at=400.0)
    claims = [take(database) for _ in range(3)]
    assert [claim and claim.study_id for claim in claims] == [short, long, late]


def test_many_workers_never_take_the_same_study(database: Database) -> None:
    """Sixteen at once on sixty studies: every study once."""
    ids = add(database, 60)
    gate = threading.Barrier(16)

    def work(_: int) -> list[str]:
        gate.wait()
        taken = []
        while claim := take(database):
            taken.append(claim.study_id)
        return taken

    with ThreadPoolExecutor(16) as pool:
        taken = [study_id for found in pool.map(work, range(16)) for study_id in found]
    assert sorted(taken) == sorted(ids)


def test_an_old_token_changes_nothing(database: Database) -> None:
    """After the lease is lost and the study taken again, the first worker is powerless."""
    add(database)
    first = take(database)
    assert first is not None
    assert close(database, first, "crash", RULES) == "queued"
    second = take(database)
    assert second is not None
    assert (second.study_id, second.attempt) == (first.study_id, 2)
    with database.writing() as session:
        assert not lifecycle.keep(session, first, lease_until=NOW + 10).held
        assert not lifecycle.note_progress(session, first, score=99.0)
        assert not lifecycle.hand_back(session, first, now=NOW, uncounted=False)
    assert not end(database, first.study_id, first.token)
    assert close(database, first, "crash", RULES) == "nothing"
    with database.reading() as session:
        row = session.get_one(StudyRow, first.study_id)
        assert (row.state, row.score) == ("running", None)
    assert end(database, second.study_id, second.token)


def test_a_study_ends_once(database: Database) -> None:
    """The second end is refused, and there is one end event."""
    add(database)
    claim = take(database)
    assert claim is not None
    assert [end(database, claim.study_id, claim.token) for _ in range(3)] == [True, False, False]
    assert not end(database, claim.study_id, None)
    with database.reading() as session:
        kinds = [event.kind for event in events_after(session, claim.study_id, 0)]
    assert kinds == ["state", "end"]


def test_racing_ends_leave_one(database: Database) -> None:
    """A worker, a canceller and a reaper at the same moment: one of them ends it."""
    (study_id,) = add(database)
    claim = take(database)
    assert claim is not None
    gate = threading.Barrier(8)

    def race(_: int) -> bool:
        gate.wait()
        return end(database, study_id, claim.token)

    with ThreadPoolExecutor(8) as pool:
        assert sum(pool.map(race, range(8))) == 1


def test_attempts_are_capped_and_a_stop_does_not_count(database: Database) -> None:
    """Three deaths end a study; handing back at a clean stop takes the attempt off."""
    add(database)
    outcomes = []
    for death in ("shutdown", "crash", "shutdown", "crash", "crash"):
        claim = take(database)
        assert claim is not None
        outcomes.append((claim.attempt, close(database, claim, death, RULES)))
    assert outcomes == [(1, "queued"), (1, "queued"), (2, "queued"), (2, "queued"), (3, "done")]
    with database.reading() as session:
        row = session.query(StudyRow).one()
        assert (row.status, "worker_lost" in (row.problem or "")) == ("error", True)


def test_lost_and_overdue_are_told_by_the_clock(database: Database) -> None:
    """A lease is lost after its time, a queued study overdue after its deadline."""
    add(database, 2, deadline_at=NOW + 100)
    take(database)
    with database.writing() as session:
        assert [len(lifecycle.lost(session, NOW + s)) for s in (0, 9.9, 10.1)] == [0, 0, 1]
        assert [len(lifecycle.overdue(session, NOW + s)) for s in (99, 101)] == [0, 1]


def test_events_are_numbered_without_gaps(database: Database) -> None:
    """Whoever writes them, in whatever order."""
    (study_id,) = add(database)

    def write(number: int) -> None:
        with database.writing() as session:
            lifecycle.append_event(session, study_id, "progress", {"n": number}, NOW)

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(write, range(40)))
    with database.reading() as session:
        found = events_after(session, study_id, 0, limit=100)
    assert [event.seq for event in found] == list(range(1, 41))


def test_the_best_attempt_is_shown(database: Database) -> None:
    """Layouts of the attempt that got furthest, not merely of the last."""
    add(database)
    first = take(database)
    assert first is not None
    with database.writing() as session:
        for rank, score in ((1, 80.0), (2, 70.0)):
            lifecycle.note_layout(session, first, rank=rank, score=score, body=f'"first {rank}"')
    close(database, first, "crash", RULES)
    second = take(database)
    assert second is not None
    with database.writing() as session:
        lifecycle.note_layout(session, second, rank=1, score=79.0, body='"second 1"')
    with database.reading() as session:
        assert repository.found_layouts(session, first.study_id) == ['"first 1"', '"first 2"']


def test_identifiers_are_sortable_and_distinct() -> None:
    """In the order of their making by the millisecond; nothing else passes for one."""
    made = [new_identifier() for _ in range(1000)]
    assert len(set(made)) == 1000
    assert all(is_identifier(text) for text in made)
    assert [text[:9] for text in made] == sorted(text[:9] for text in made)
    assert not any(
        is_identifier(text) for text in ("", "0" * 25, "0" * 27, "I" * 26, "0" * 25 + "\n")
    )
