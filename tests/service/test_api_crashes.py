"""Whatever dies, every accepted study reaches exactly one end, with the best so far kept."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from api.store.database import Database
from api.store.tables import StudyRow
from api.worker.template import Forked
from tests.service.harness import Server, brief, children_of, patient

LEASE_S = 2.0
TAKE_UP_S = 12.0
"""Generous on a busy machine; the lease is 2 s and the reaper looks four times a second."""

MakeServer = Callable[..., Server]


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def sturdy(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Server]:
    """A server on each kind of database, for tests that leave it whole."""
    url = None
    if request.param == "postgresql":
        url = request.getfixturevalue("cluster").new_database()
    server = Server(tmp_path_factory.mktemp("sturdy"), url, max_active_per_client=200)
    try:
        yield server.start()
    finally:
        server.close()


def ends(server: Server, study_id: str) -> list[dict[str, Any]]:
    """The end events of a study."""
    return [event for event in server.events(study_id) if event["event"] == "end"]


def test_a_killed_worker_is_replaced_and_its_study_run_again(sturdy: Server) -> None:
    """SIGKILL of a worker mid-solve: the study is taken up at once and ends once, whole."""
    server = sturdy
    study = server.accept(brief("slow 4"))
    server.wait_for_layout(study["id"])
    os.kill(server.worker_of(study), signal.SIGKILL)
    ended = server.wait_for(study["id"], timeout_s=TAKE_UP_S)
    assert (ended["status"], ended["attempts"], len(ended["layouts"])) == ("optimal", 2, 3)
    assert len(ends(server, study["id"])) == 1


def test_a_killed_template_costs_no_study(make_server: MakeServer) -> None:
    """What workers are forked from is killed, and they die with it: a fresh interpreter
    takes the place of each, and every study ends once, whole."""
    server = make_server(workers=1).start()
    assert server.process is not None
    (template,) = children_of(server.process.pid)
    assert len(children_of(template)) >= 2, "workers are forked from it"
    study = server.accept(brief("slow 4"))
    server.wait_for_layout(study["id"])
    os.kill(template, signal.SIGKILL)
    ended = server.wait_for(study["id"], timeout_s=TAKE_UP_S)
    assert (ended["status"], ended["attempts"], len(ended["layouts"])) == ("optimal", 2, 3)
    assert len(ends(server, study["id"])) == 1
    assert server.worker_of(study) in children_of(server.process.pid)


def test_a_child_that_has_just_ended_may_be_killed_and_waited_for_by_any_thread() -> None:
    """It is gone already, and nothing is raised; a child that runs is ended."""
    for seconds in (0.0, 60.0):
        pid = os.fork()
        if not pid:
            time.sleep(seconds)
            os._exit(0)
        forked = Forked(pid, os.pidfd_open(pid))
        if not seconds:
            os.waitpid(pid, 0)
            forked.kill()
        else:
            assert forked.poll() is None
        with ThreadPoolExecutor(4) as pool:
            waiting = [pool.submit(forked.wait) for _ in range(4)]
            forked.kill()
            assert [one.result(timeout=10) for one in waiting] == [0] * 4
        assert forked.poll() == 0
        forked.kill()
        if seconds:
            assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == -signal.SIGKILL


def test_a_study_that_kills_its_workers_ends_with_the_best_it_found(sturdy: Server) -> None:
    """A run that dies each time is tried three times, then ends as an error, layouts kept."""
    server = sturdy
    study = server.accept(brief("crash"))
    ended = server.wait_for(study["id"], timeout_s=4 * TAKE_UP_S)
    assert (ended["status"], ended["attempts"]) == ("error", 3)
    assert ended["problem"]["code"] == "worker_lost"
    assert [layout["rank"] for layout in ended["layouts"]] == [1, 2]
    assert len(ends(server, study["id"])) == 1
    after = server.accept(brief("plain after"), Prefer="wait=10")
    assert after["status"] == "optimal", "the service works on"


def test_a_killed_server_loses_nothing(make_server: MakeServer, database_url: str) -> None:
    """SIGKILL of the whole server mid-queue: started again, every study reaches one end.

    Layouts found before the crash are there after it, and a cancel then keeps them.
    """
    # Once as people start it.
    fresh = database_url.startswith("sqlite")
    server = make_server(database_url, fresh=fresh, workers=2).start()
    stuck = server.accept(brief("stuck"))
    accepted = [server.accept(brief(f"slow 1 {number}")) for number in range(5)]
    server.wait_for_layout(accepted[0]["id"])
    server.wait_for_layout(stuck["id"], 2)
    children = server.children()
    server.kill()
    until = time.monotonic() + patient(TAKE_UP_S)
    while [pid for pid in children if alive(pid)]:
        assert time.monotonic() < until, "children die with their server"
        time.sleep(0.05)
    again = make_server(database_url).start()
    assert len(again.get(stuck["id"])["layouts"]) == 2
    again.client.post(f"/v1/studies/{stuck['id']}/cancellation")
    cancelled = again.wait_for(stuck["id"], timeout_s=TAKE_UP_S)
    assert (cancelled["status"], len(cancelled["layouts"])) == ("cancelled", 2)
    for study in accepted:
        ended = again.wait_for(study["id"], timeout_s=TAKE_UP_S + 5)
        assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
        assert len(ends(again, study["id"])) == 1


def test_a_clean_stop_finishes_or_hands_back(make_server: MakeServer, database_url: str) -> None:
    """SIGTERM: a short run finishes, a long one goes back into the queue uncounted."""
    server = make_server(database_url, shutdown_grace_s=2).start()
    short = server.accept(brief("slow 1"))
    long = server.accept(brief("slow 60"))
    queued = server.accept(brief("plain"))
    server.wait_for(long["id"], "running")
    assert server.stop() == 0
    database = Database(database_url)
    with database.reading() as session:
        rows = {row.id: row for row in session.query(StudyRow)}
    database.close()
    assert (rows[short["id"]].state, rows[short["id"]].status) == ("done", "optimal")
    assert (rows[long["id"]].state, rows[long["id"]].attempts) == ("queued", 0)
    assert rows[queued["id"]].state in {"queued", "done"}


def test_a_run_that_does_not_stop_is_killed(sturdy: Server) -> None:
    """Cancelling a run that ignores the wish: killed after the grace, best so far kept."""
    server = sturdy
    study = server.accept(brief("stuck"))
    server.wait_for_layout(study["id"], 2)
    asked = time.monotonic()
    answer = server.client.post(f"/v1/studies/{study['id']}/cancellation")
    assert answer.status_code == 202
    ended = server.wait_for(study["id"])
    assert time.monotonic() - asked < patient(5)
    assert (ended["status"], len(ended["layouts"])) == ("cancelled", 2)


def test_a_cancel_keeps_the_best_so_far(sturdy: Server) -> None:
    """A run that heeds the wish stops by itself with what it has."""
    server = sturdy
    study = server.accept(brief("slow 8", options={"alternatives": 9, "time_limit_s": 60}))
    server.wait_for_layout(study["id"])
    server.client.post(f"/v1/studies/{study['id']}/cancellation")
    ended = server.wait_for(study["id"])
    assert ended["status"] == "cancelled"
    assert 1 <= len(ended["layouts"]) < 9
    again = server.client.post(f"/v1/studies/{study['id']}/cancellation")
    assert (again.status_code, again.json()["status"]) == (200, "cancelled")


def test_deadlines_hold_from_acceptance_on(sturdy: Server) -> None:
    """Waiting counts: a study whose deadline passes in the queue or in the run is ended."""
    server = sturdy
    post = server.client.post
    # Long enough for both runs to have begun; on a quiet machine 4 s.
    late = round(patient(2))
    one, other = (
        post(f"/v1/studies?deadline_s={late}", json=brief(f"stuck {number}")).json()
        for number in (1, 2)
    )
    server.wait_for(one["id"], "running")
    server.wait_for(other["id"], "running")
    waiting = post("/v1/studies?deadline_s=1", json=brief("plain deadline")).json()
    ended = server.wait_for(waiting["id"], timeout_s=6)
    assert (ended["status"], ended["problem"]["code"]) == ("error", "deadline_passed")
    assert ended["attempts"] == 0
    ended = server.wait_for(one["id"], timeout_s=10)
    assert (ended["status"], ended["problem"]["code"]) == ("time_limit", "deadline_passed")
    assert len(ended["layouts"]) == 2


def test_a_run_past_its_time_limit_and_allowance_is_killed(make_server: MakeServer) -> None:
    """The brief's time limit and the allowance bound a run, whatever its deadline."""
    server = make_server(workers=1, run_allowance_s=1).start()
    data = brief("stuck", options={"alternatives": 3, "time_limit_s": 1})
    ended = server.wait_for(server.accept(data)["id"], timeout_s=10)
    assert (ended["status"], ended["problem"]["code"]) == ("time_limit", "run_killed")
    assert len(ended["layouts"]) == 2


def test_a_failing_run_is_an_error_not_an_accident(sturdy: Server) -> None:
    """A fault or a want of memory ends the study with a problem; the worker lives on."""
    server = sturdy
    for kind in ("fault", "memory"):
        ended = server.accept(brief(kind), Prefer="wait=10")
        assert (ended["status"], ended["problem"]["code"]) == ("error", "run_failed")
        assert (ended["attempts"], len(ended["layouts"])) == (1, 2)
    nothing = server.accept(brief("nothing"), Prefer="wait=10")
    assert (nothing["status"], nothing["problem"]["code"]) == ("infeasible", "nothing_buildable")


def test_a_deleted_study_stops_its_run(sturdy: Server) -> None:
    """Deleting a running study kills the run and frees the worker."""
    server = sturdy
    study = server.accept(brief("stuck"))
    server.wait_for_layout(study["id"], 2)
    assert server.client.delete(f"/v1/studies/{study['id']}").status_code == 204
    assert server.client.get(f"/v1/studies/{study['id']}").status_code == 404
    after = server.accept(brief("plain after"), Prefer="wait=10")
    assert after["status"] == "optimal"


def alive(pid: int) -> bool:
    """Whether a process is there and is no zombie."""
    try:
        with Path(f"/proc/{pid}/stat").open() as stat:
            return stat.read().rsplit(")", 1)[1].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False
