"""Callers that would hurt the service, and accidents that must not hurt a study."""

from __future__ import annotations

import asyncio
import re
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from typing import Any

import httpx
import jsonschema_rs
import pytest

from api.app import create_app
from api.http.clients import identify
from api.http.errors import ServiceError
from api.http.threads import READERS, read_in_turn
from api.metrics import ServiceMetrics
from api.settings import Settings
from api.store.database import Database
from api.store.migrate import migrate
from api.store.tables import StudyRow
from api.studies import calculations, lifecycle, repository
from api.studies.flights import Flights
from api.studies.lifecycle import ClaimTerm
from api.worker.calculators import WAITING_PER_CALCULATOR, Calculators
from api.worker.recorder import Recorder
from api.worker.upkeep import Upkeep
from optimizer.domain.brief import Brief
from optimizer.domain.progress import Progress
from tests.service.fakes import fake_layout
from tests.service.harness import NO_TLS, Server, brief, eventually
from tests.service.test_api_queue import add, take


@pytest.fixture
def database(tmp_path: Any) -> Iterator[Database]:
    """A store with its tables."""
    made = Database(f"sqlite:///{tmp_path}/hard.sqlite3", timeout_s=3.0)
    migrate(made)
    yield made
    made.close()


def test_masses_of_keys_are_refused_before_each_is_looked_at(shared_server: Server) -> None:
    """60,000 unknown keys: one fault, with the limit."""
    data = brief() | {f"k{number}": 0 for number in range(60_000)}
    answer = shared_server.post(data)
    assert (answer.status_code, answer.json()["code"]) == (422, "invalid_body")
    assert answer.json()["limit"] == 1000
    assert [fault["code"] for fault in answer.json()["errors"]] == ["too_many_members"]
    inner = shared_server.post(brief(needs={f"k{number}": 0 for number in range(1001)}))
    assert [fault["pointer"] for fault in inner.json()["errors"]] == ["/needs"]


def test_few_threads_read_what_is_sent() -> None:
    """However many bodies are read at once, no more threads than that are busy with it."""
    busy, most = [0], [0]

    def read() -> None:
        busy[0] += 1
        most[0] = max(most[0], busy[0])
        time.sleep(0.02)
        busy[0] -= 1

    async def crowd() -> None:
        await asyncio.gather(*(read_in_turn(read) for _ in range(20)))

    asyncio.run(crowd())
    assert most[0] <= READERS


def test_the_stream_of_an_ended_study_is_not_asked_for_again(shared_server: Server) -> None:
    """A browser comes back after `end`: 204 tells it to stay away (HTML standard, server-sent
    events); from an earlier event it gets the rest."""
    made = shared_server.accept(brief("plain stream"), Prefer="wait=10")
    here = f"/v1/studies/{made['id']}/events"
    last = shared_server.events(made["id"])[-1]["id"]
    again = shared_server.client.get(here, headers={"Last-Event-ID": str(last)})
    assert (again.status_code, again.content) == (204, b"")
    assert [one["event"] for one in shared_server.events(made["id"], last - 1)] == ["end"]


@pytest.mark.parametrize("number", [str(2**63), "9" * 20, "9" * 400, "-1", "last"])
def test_an_event_number_that_is_none_is_refused(shared_server: Server, number: str) -> None:
    """400 with a code of its own, whatever the database can count up to."""
    made = shared_server.accept(brief("plain number"), Prefer="wait=10")
    answer = shared_server.client.get(
        f"/v1/studies/{made['id']}/events", headers={"Last-Event-ID": number}
    )
    assert (answer.status_code, answer.json()["code"]) == (400, "invalid_event_id")


def test_streams_leave_room_for_the_rest(make_server: Callable[..., Server]) -> None:
    """With every place taken by streams, health checks and reads are answered at once."""
    server = make_server(max_requests=6, max_streams_per_client=50).start()
    study = server.accept(brief("slow 40"))
    here = f"{server.url}/v1/studies/{study['id']}/events"
    with ExitStack() as stack:
        client = stack.enter_context(httpx.Client(timeout=20, verify=NO_TLS))
        codes = []
        for _ in range(8):
            got = stack.enter_context(client.stream("GET", here))
            codes.append(got.status_code)
        assert codes[0] == 200 and set(codes) == {200, 503}
        assert server.client.get("/healthz").status_code == 200
        assert server.client.get("/readyz").json()["reasons"] == []
        assert server.client.get(f"/v1/studies/{study['id']}").status_code == 200


def test_a_killed_server_costs_a_study_no_attempt(make_server: Callable[..., Server]) -> None:
    """Killed more often than attempts are allowed, the study still runs to its end."""
    server = make_server(workers=1, max_attempts=1).start()
    study = server.accept(brief("slow 3"))
    for _ in range(2):
        server.wait_for(study["id"], "running")
        server.kill()
        server.start()
    ended = server.wait_for(study["id"], timeout_s=40)
    assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
    assert ended["attempts"] == 1


def test_an_answer_without_layouts_is_not_given_again(database: Database) -> None:
    """Out of time with nothing found is no answer to an equal brief."""
    nothing, something = add(database, 2, fingerprint="f")
    for study_id, found in ((nothing, 0), (something, 2)):
        with database.writing() as session:
            ending = lifecycle.Ending("time_limit", '{"layouts": []}')
            lifecycle.finish(
                session, study_id, ending, token=None, now=2.0, retention_s=9, layouts_found=found
            )
        with database.reading() as session:
            source = repository.answer_in_store(session, "o", "f")
        assert (source and source.id) == (something if found else None)


def test_a_clock_that_jumps_loses_no_lease(
    database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A day forward or back; a lease of an earlier start of the machine is lost all the same."""
    add(database)
    with database.writing() as session:
        until = database.lease_end(session, 10.0)
        held = lifecycle.claim_next(session, ClaimTerm("w", database.now(session), until, 60.0))
    assert held is not None
    real = time.time
    for jump in (86400.0, -86400.0):
        monkeypatch.setattr(time, "time", lambda jump=jump: real() + jump)
        with database.reading() as session:
            assert lifecycle.lost(session, database.lease_now(session)) == []
    with database.reading() as session:
        assert len(lifecycle.lost(session, database.lease_now(session) + 11.0)) == 1
        assert len(lifecycle.lost(session, database.lease_now(session) - 1e6)) == 1


def test_expiry_keeps_up(database: Database) -> None:
    """However many studies are past their time, one clearing takes them all."""
    add(database, 900, state="done", status="optimal", expires_at=5.0)
    keep = add(database, 1, state="done", status="optimal", expires_at=1e12)
    settings = Settings(database_url=database.url)
    Upkeep(settings, database).clear()
    with database.reading() as session:
        assert [row.id for row in session.query(StudyRow)] == keep


def test_a_client_stores_so_many_studies(narrow_server: Server) -> None:
    """Beyond the quota: 429, until one is deleted."""
    server = narrow_server
    made = []
    for number in range(9):
        made.append(server.accept(brief(f"plain {number}"))["id"])
        server.client.post(f"/v1/studies/{made[-1]}/cancellation")
    refused = server.post(brief("plain 10"))
    assert (refused.status_code, refused.json()["code"]) == (429, "too_many_stored")
    assert refused.json()["limit"] == 9
    assert server.client.delete(f"/v1/studies/{made[0]}").status_code == 204
    assert server.post(brief("plain 10")).status_code == 202


def test_long_names_of_keys_are_told_apart() -> None:
    """Two names that begin alike own different studies; what is stored has room for them."""
    names = ["n" * 70 + end for end in ("a", "b")]
    settings = Settings(api_keys=",".join(f"{n}={n[-1] * 20}" for n in names))
    clients = [identify(settings, {"x-api-key": n[-1] * 20}, "::1") for n in names]
    assert len({client.owner for client in clients}) == 2
    assert len({client.name for client in clients}) == 2
    assert all(len(client.owner) <= 64 and len(client.name) <= 80 for client in clients)


def test_the_host_that_is_asked_for_is_checked(
    shared_server: Server, narrow_server: Server
) -> None:
    """A server on this machine alone answers to its own names: a page elsewhere that makes its
    name lead here (DNS rebinding) gets 421."""
    wrong = shared_server.client.get("/v1/limits", headers={"Host": "evil.example"})
    assert (wrong.status_code, wrong.json()["code"]) == (421, "wrong_host")
    for name in ("localhost", "127.0.0.1:1", "[::1]:8000"):
        got = shared_server.client.get("/v1/limits", headers={"Host": name})
        assert got.status_code == 200
    for name, status in (("closets.example", 200), ("CLOSETS.example:443", 200), ("x", 421)):
        answer = narrow_server.client.get("/v1/limits", headers={"Host": name})
        assert answer.status_code == status


def test_waiting_and_not_waiting_for_ever(shared_server: Server) -> None:
    """`respond-async, wait=10` waits for up to 10 s (RFC 7240, section 4.3)."""
    answer = shared_server.post(brief("slow 1"), Prefer="respond-async, wait=10")
    assert (answer.status_code, answer.headers["Preference-Applied"]) == (201, "wait=10")


def test_retry_after_grows_with_the_queue(narrow_server: Server) -> None:
    """The further back in the queue, the later to ask again."""
    server = narrow_server
    told = [int(server.post(brief(f"slow {n}")).headers["Retry-After"]) for n in range(7)]
    assert told == sorted(told) and told[0] < told[-1] <= 60


def test_an_infeasible_study_says_why(shared_server: Server) -> None:
    """A study that proves that nothing can be built has a problem that says so."""
    ended = shared_server.accept(brief("infeasible"), Prefer="wait=10")
    assert (ended["status"], ended["problem"]["code"]) == ("infeasible", "nothing_buildable")


def test_encoded_bodies_are_refused_by_name(shared_server: Server) -> None:
    """415 with what is taken instead (RFC 9110, section 15.5.16)."""
    answer = shared_server.client.post(
        "/v1/validations",
        content=b"\x1f\x8b",
        headers={"Content-Type": "application/json", "Content-Encoding": "gzip"},
    )
    assert (answer.status_code, answer.json()["code"]) == (415, "unsupported_media_type")
    assert answer.headers["Accept-Encoding"] == "identity"


def test_notes_of_progress_never_stall_a_run(database: Database) -> None:
    """With the database held by another, a report is taken at once and kept later."""
    (study_id,) = add(database)
    held = take(database)
    assert held is not None
    layout = fake_layout(Brief.model_validate(brief()), 1)
    recorder = Recorder(database, held)
    with database.writing():
        began = time.monotonic()
        recorder.note(Progress("searching", 1, 50.0, 60.0, 1.0, layout))
        took = time.monotonic() - began
    recorder.close(10.0)
    assert took < 1.0  # a busy database keeps a writer waiting for 3 s
    with database.reading() as session:
        assert len(repository.found_layouts(session, study_id)) == 1


def packs_at_once(server: Server, study: dict[str, Any], number: int) -> list[httpx.Response]:
    """That many equal build packs asked for at once."""
    here = f"{server.url}/v1/studies/{study['id']}/layouts/1/build-pack"
    with (
        ThreadPoolExecutor(number) as pool,
        httpx.Client(timeout=60, verify=NO_TLS) as client,
    ):
        return list(pool.map(lambda _: client.get(here), range(number)))


def builds(server: Server) -> float:
    """How many build packs the server has made."""
    figures = server.client.get("/metrics").text
    found = re.search(r'closet_calculations_total\{name="build"\} (\S+)', figures)
    return float(found[1]) if found else 0.0


def test_equal_packs_asked_for_at_once_are_made_once(real_server: Server) -> None:
    """Eight callers, one calculation, eight equal answers."""
    made = real_server.accept(brief("Pack"), Prefer="wait=20")
    study = made if made["state"] == "done" else real_server.wait_for(made["id"], timeout_s=60)
    before = builds(real_server)
    answers = packs_at_once(real_server, study, 8)
    assert {answer.status_code for answer in answers} == {200}
    assert len({answer.content for answer in answers}) == 1
    assert builds(real_server) == before + 1


def test_a_client_has_its_share_of_calculations(real_server: Server) -> None:
    """Of 100 checks sent at once by one client some are told to wait for the others, with the
    limit and a time; what is under way is answered."""
    made = real_server.accept(brief("Share"), Prefer="wait=20")
    study = made if made["state"] == "done" else real_server.wait_for(made["id"], timeout_s=60)
    sent = {"layout": study["layouts"][0], "study": study["id"]}
    address = f"{real_server.url}/v1/layout-checks"
    with ThreadPoolExecutor(100) as pool, httpx.Client(timeout=60, verify=NO_TLS) as client:
        answers = list(pool.map(lambda _: client.post(address, json=sent), range(100)))
    told = {answer.status_code for answer in answers}
    assert told == {200, 429}
    refused = next(answer for answer in answers if answer.status_code == 429)
    assert (refused.json()["code"], refused.json()["limit"]) == ("too_many_calculations", 16)
    assert int(refused.headers["Retry-After"]) >= 1


def test_packs_and_short_work_have_lanes_of_their_own() -> None:
    """With as many packs waiting as may, a check is still taken."""
    calculators = Calculators(Settings(calculators=1), ServiceMetrics())
    for _ in range(WAITING_PER_CALCULATOR):
        calculators.submit("build")
    with pytest.raises(ServiceError, match="waiting already"):
        calculators.submit("build")
    assert not calculators.submit("appraise").done()


class Caller:
    """A caller that goes away when told to."""

    gone = False

    async def is_disconnected(self) -> bool:
        """Whether it has gone."""
        return self.gone


def test_what_nobody_waits_for_is_dropped(monkeypatch: pytest.MonkeyPatch) -> None:
    """A calculation that two callers share goes on without the first, and not without both."""
    monkeypatch.setattr(calculations, "GLANCE_S", 0.01)

    async def journey() -> None:
        flights, task = Flights(), asyncio.get_running_loop().create_future()

        async def make() -> bytes:
            made: bytes = await task
            return made

        callers = [Caller(), Caller()]
        waiting = [
            asyncio.ensure_future(
                calculations.while_there(one, asyncio.ensure_future(flights.share("pack", make)))
            )
            for one in callers
        ]
        for one, wait in zip(callers, waiting, strict=True):
            await asyncio.sleep(0.03)
            assert not task.cancelled()
            one.gone = True
            with pytest.raises(ServiceError):
                await wait
        await asyncio.sleep(0.03)
        assert task.cancelled()

    asyncio.run(journey())


def test_answers_are_compressed_for_who_asks(shared_server: Server) -> None:
    """A fifth of the size or less; the version in If-None-Match still counts."""
    client = shared_server.client
    plain = client.get("/v1/scenarios", headers={"Accept-Encoding": "identity"})
    packed = client.get("/v1/scenarios", headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert packed.json() == plain.json()
    assert int(packed.headers["Content-Length"]) < len(plain.content) / 3
    again = client.get("/v1/scenarios", headers={"If-None-Match": packed.headers["ETag"]})
    assert again.status_code == 304


def test_what_is_left_of_the_limit_is_told(shared_server: Server) -> None:
    """`RateLimit` and its policy, as the draft standard has them."""
    answer = shared_server.post(brief("slow 1 limit"))
    assert answer.headers["RateLimit-Policy"] == '"studies-under-way";q=200'
    assert 0 < int(answer.headers["RateLimit"].rpartition("r=")[2]) < 200


def test_a_server_that_only_serves_is_ready_with_a_worker_elsewhere(
    narrow_server: Server, make_server: Callable[..., Server]
) -> None:
    """`python -m api worker` beside a server without workers: studies run there."""
    server = narrow_server
    answer = server.client.get("/readyz")
    assert (answer.status_code, answer.json()["reasons"]) == (503, ["no_workers"])
    worker = make_server(server.database_url, workers=1)
    worker.command = ["-m", "api", "worker"]
    worker.start(ready=False)
    eventually(lambda: server.client.get("/readyz").json()["reasons"] == [], 60)
    made = server.accept(brief("plain elsewhere"))
    assert server.wait_for(made["id"])["status"] == "optimal"
    assert worker.stop() == 0
    assert server.client.get("/readyz").json()["reasons"] == ["no_workers"]


def test_events_are_of_the_form_that_is_described(shared_server: Server) -> None:
    """The data of every event of a run fits the schema named after its kind."""
    described = create_app(Settings()).openapi()
    made = shared_server.accept(brief("slow 1 form"), Prefer="wait=10")
    events = shared_server.events(made["id"])
    assert {one["event"] for one in events} == {"state", "progress", "layout", "end"}
    for one in events:
        schema = {
            "$ref": f"#/components/schemas/{one['event'].title()}Event",
            "components": described["components"],
        }
        jsonschema_rs.validate(schema, one["data"])
