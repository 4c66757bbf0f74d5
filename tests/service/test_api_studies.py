"""Studies over real HTTP: made, waited for, listed, read, cancelled, deleted."""

from __future__ import annotations

import time
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest

from optimizer.domain.study import Study
from tests.service.harness import Server, brief, patient

CONTRACT = {
    "brief", "status", "layouts", "differences", "repairs", "warnings", "versions", "seconds",
}  # fmt: skip
"""Members that a study has on the wire whatever else it has."""


def test_a_waited_for_study_is_created_with_its_result(shared_server: Server) -> None:
    """`Prefer: wait` gives 201 and the whole study when it is ready in time."""
    answer = shared_server.post(brief("waited for"), Prefer="wait=10")
    assert answer.status_code == 201
    assert answer.headers["Preference-Applied"] == "wait=10"
    study = answer.json()
    assert answer.headers["Location"] == f"/v1/studies/{study['id']}"
    assert set(study) >= CONTRACT
    assert (study["state"], study["status"], len(study["layouts"])) == ("done", "optimal", 3)
    read = shared_server.client.get(answer.headers["Location"])
    assert read.json() == study


def test_the_result_is_the_optimizers_study(shared_server: Server) -> None:
    """What the wire carries reads back as the optimizer's own record, nothing lost."""
    wire = shared_server.accept(brief("read back"), Prefer="wait=10")
    fields = {name: wire[name] for name in Study.model_fields}
    study = Study.model_validate(fields)
    assert study.model_dump(mode="json") == fields


def test_without_a_wish_to_wait_the_answer_is_at_once(shared_server: Server) -> None:
    """202 with the study so far, its address, and when to ask again."""
    began = time.monotonic()
    answer = shared_server.post(brief("slow 4 at once"))
    assert time.monotonic() - began < patient(1)
    assert answer.status_code == 202
    assert answer.headers["Retry-After"] == "1"
    study = answer.json()
    assert study["state"] in {"queued", "running"}
    assert (study["status"], study["layouts"]) == (None, [])
    assert study["brief"]["needs"]["short_hang"] == 40
    shared_server.client.delete(answer.headers["Location"])


def test_a_wait_that_is_too_short_gives_what_there_is(shared_server: Server) -> None:
    """202 after the wait, with the layouts found by then."""
    wait = min(20, round(patient(0.5)))  # 1 s on a quiet machine, three layouts in twice that
    began = time.monotonic()
    answer = shared_server.post(brief(f"slow {2 * wait} waits"), Prefer=f"wait={wait}")
    waited = time.monotonic() - began
    assert answer.status_code == 202
    assert 0.9 * wait < waited < wait + patient(1.5)
    assert len(answer.json()["layouts"]) in {1, 2}
    shared_server.client.delete(answer.headers["Location"])


@pytest.mark.parametrize(
    ("prefer", "applied"),
    [
        ("wait=999", "wait=30"),
        ("respond-async, wait=5", "wait=5"),
        ("handling=lenient; wait=0", "wait=0"),
        ("wait=soon", None),
    ],
)
def test_preferences_are_capped_applied_or_ignored(
    shared_server: Server, prefer: str, applied: str | None
) -> None:
    """RFC 7240: what was applied is said; what makes no sense is passed over."""
    answer = shared_server.post(brief(f"plain {prefer[:8]}"), Prefer=prefer)
    assert answer.headers.get("Preference-Applied") == applied


def test_the_same_brief_is_answered_from_the_store(shared_server: Server) -> None:
    """An equal brief, however it is written, costs no second solve; `no-cache` does."""
    first = shared_server.accept(brief("again"), Prefer="wait=10")
    written_otherwise = brief("again", units="in", needs={"short_hang": "3' 4\""})
    second = shared_server.post(written_otherwise)
    assert second.status_code == 201, "no wait was needed"
    assert second.json()["answered_from"] == first["id"]
    assert second.json()["id"] != first["id"]
    assert second.json()["layouts"] == first["layouts"]
    fresh = shared_server.post(brief("again"), Cache_Control="no-cache", Prefer="wait=10").json()
    assert (fresh["answered_from"], fresh["attempts"]) == (None, 1)


def test_equal_briefs_in_the_queue_are_solved_once(shared_server: Server) -> None:
    """Of equal studies that wait together, those claimed later take the first one's result."""
    accepted = [shared_server.accept(brief("slow 2 together")) for _ in range(5)]
    ended = [shared_server.wait_for(study["id"]) for study in accepted]
    solved = [study for study in ended if study["answered_from"] is None]
    assert len(solved) <= 2, "at most one for each worker"
    assert {study["answered_from"] for study in ended} - {None} <= {s["id"] for s in solved}


def test_an_idempotency_key_replays_the_first_answer(shared_server: Server) -> None:
    """The same request again makes no second study and answers the same, word for word."""
    key = "order-4711"
    first = shared_server.post(brief("slow 1 keyed"), Idempotency_Key=key)
    shared_server.wait_for(first.json()["id"])
    again = shared_server.post(brief("slow 1 keyed"), Idempotency_Key=key)
    assert (again.status_code, again.content) == (first.status_code, first.content)
    assert again.headers["Idempotency-Replayed"] == "true"
    assert again.headers["Location"] == first.headers["Location"]


def test_a_key_refuses_another_request(shared_server: Server) -> None:
    """The same key with another body or another query is a mistake, and said to be one."""
    key = "order-4712"
    shared_server.post(brief("plain keyed"), Idempotency_Key=key)
    other_body = shared_server.post(brief("plain other"), Idempotency_Key=key)
    other_query = shared_server.client.post(
        "/v1/studies?deadline_s=60", json=brief("plain keyed"), headers={"Idempotency-Key": key}
    )
    for answer in (other_body, other_query):
        assert (answer.status_code, answer.json()["code"]) == (422, "idempotency_mismatch")


def test_an_ended_study_is_revalidated_by_its_etag(shared_server: Server) -> None:
    """If-None-Match with the version at hand gives 304 and no body."""
    study = shared_server.accept(brief("plain etag"), Prefer="wait=10")
    here = f"/v1/studies/{study['id']}"
    for address in (here, f"{here}/layouts", f"{here}/layouts/1", f"{here}/comparison"):
        first = shared_server.client.get(address)
        again = shared_server.client.get(address, headers={"If-None-Match": first.headers["ETag"]})
        assert (first.status_code, again.status_code, again.content) == (200, 304, b""), address
        other = shared_server.client.get(address, headers={"If-None-Match": '"other"'})
        assert (other.status_code, other.content) == (200, first.content)


def test_a_running_study_changes_its_etag(shared_server: Server) -> None:
    """Each new layout makes a new version."""
    study = shared_server.accept(brief("slow 3 etag"))
    tags = set()
    while shared_server.get(study["id"])["state"] != "done":
        tags.add(shared_server.client.get(f"/v1/studies/{study['id']}").headers["ETag"])
        time.sleep(0.1)
    assert len(tags) >= 3


def test_lists_come_in_pages_without_gaps_or_repeats(shared_server: Server) -> None:
    """Following `next` shows every study of the filter once, latest first."""
    made = [shared_server.accept(brief("plain in pages", needs={"short_hang": n}))["id"]
            for n in range(20, 27)]  # fmt: skip
    seen: list[str] = []
    address: str | None = "/v1/studies?limit=3&name=plain%20in%20pages"
    pages = 0
    while address:
        answer = shared_server.client.get(address)
        assert answer.status_code == 200
        seen += [entry["id"] for entry in answer.json()["items"]]
        address = answer.json()["next"]
        assert ("next" in answer.links) == bool(address)
        pages += 1
    assert seen == list(reversed(made))
    assert pages == 3


def test_lists_are_narrowed_by_filters(shared_server: Server) -> None:
    """State, status, time and parent narrow a list; filters stay on in `next`."""
    study = shared_server.accept(brief("plain filters"), Prefer="wait=10")

    def ids(**query: Any) -> list[str]:
        found = shared_server.client.get("/v1/studies", params={"name": "plain filters", **query})
        return [entry["id"] for entry in found.json()["items"]]

    assert ids(state="done", status="optimal") == [study["id"]]
    assert ids(state="queued") == []
    assert ids(status="cancelled") == []
    assert ids(created_after=study["created_at"]) == [study["id"]]
    assert ids(created_before=study["created_at"]) == []
    assert ids(parent=study["id"]) == []
    page = shared_server.client.get("/v1/studies?limit=1&state=done").json()
    assert parse_qs(urlsplit(page["next"]).query)["state"] == ["done"]


def test_a_deleted_study_is_gone_with_all_its_parts(shared_server: Server) -> None:
    """404 for the study and everything under it; the second deletion says so too."""
    study = shared_server.accept(brief("plain deleted"), Prefer="wait=10")
    here = f"/v1/studies/{study['id']}"
    assert shared_server.client.delete(here).status_code == 204
    for part in ("", "/layouts", "/layouts/1", "/events", "/comparison", "/lineage"):
        answer = shared_server.client.get(here + part)
        assert (answer.status_code, answer.json()["code"]) == (404, "study_not_found")
    assert shared_server.client.delete(here).status_code == 404


def test_a_layout_is_read_by_its_rank(shared_server: Server) -> None:
    """The single layout is the one in the list, each the study's own with links that lead
    somewhere; a rank that is not there is 404."""
    study = shared_server.accept(brief("plain ranks"), Prefer="wait=10")
    here = f"/v1/studies/{study['id']}/layouts"
    listed = shared_server.client.get(here).json()["layouts"]
    second = shared_server.client.get(f"{here}/2").json()
    assert second == listed[1]
    links = second.pop("links")
    assert second == study["layouts"][1]
    assert (links["study"], links["self"]) == (f"/v1/studies/{study['id']}", f"{here}/2")
    for name in ("self", "study", "drawings", "build_pack", "preference"):
        answer = shared_server.client.get(links[name])
        # What the invented runner draws has no parts.
        assert answer.status_code == 200 or answer.json()["code"] == "cannot_build", name
    sent = {"layout": listed[1], "study": study["id"], "against": 2}
    assert shared_server.client.post(links["check"], json=sent).status_code == 200
    missing = shared_server.client.get(f"{here}/4")
    assert (missing.status_code, missing.json()["code"]) == (404, "layout_not_found")


def test_head_answers_as_get_without_the_body(shared_server: Server) -> None:
    """HEAD gives the same headers, also for an event stream, which it does not open."""
    study = shared_server.accept(brief("plain head"), Prefer="wait=10")
    here = f"/v1/studies/{study['id']}"
    got, head = shared_server.client.get(here), shared_server.client.head(here)
    assert (head.status_code, head.content) == (200, b"")
    for name in ("ETag", "Content-Length", "Content-Type"):
        assert head.headers[name] == got.headers[name]
    stream = shared_server.client.head(f"{here}/events")
    assert stream.headers["Content-Type"].startswith("text/event-stream")


def test_validations_cost_nothing_and_say_the_same(shared_server: Server) -> None:
    """A brief that would be taken comes back resolved; one that would not gets its problem."""
    count = len(shared_server.client.get("/v1/studies?limit=100").json()["items"])
    good = shared_server.client.post("/v1/validations", json=brief("validated"))
    assert good.status_code == 200
    assert good.json()["brief"]["construction"]["panel_thickness"] == 0.75
    for bad in (
        brief("bad", room={"ceiling_height": 96, "walls": []}),
        brief("bad", options={"alternatives": 11}),
        brief("bad", colour="red"),
        {**brief("bad"), "pins": [{"wall": "Z", "start": 1, "width": 20, "pattern": "p"}]},
        [],
    ):
        checked = shared_server.client.post("/v1/validations", json=bad)
        posted = shared_server.client.post("/v1/studies", json=bad)
        assert checked.status_code == posted.status_code == 422
        for name in ("code", "errors", "detail"):
            assert checked.json()[name] == posted.json()[name]
    after = shared_server.client.get("/v1/studies?limit=100").json()["items"]
    assert len(after) == count


def test_scenarios_are_ready_to_be_sent(shared_server: Server) -> None:
    """Every ready brief is taken as it stands."""
    items = shared_server.client.get("/v1/scenarios").json()["items"]
    assert len(items) >= 5
    for entry in items:
        answer = shared_server.client.post("/v1/validations", json=entry["brief"])
        assert answer.status_code == 200, entry["name"]
        assert shared_server.client.get(f"/v1/scenarios/{entry['name']}").json() == entry


def test_limits_are_the_settings_in_force(shared_server: Server) -> None:
    """The limits that a client reads are those that it will meet."""
    limits = shared_server.client.get("/v1/limits").json()
    assert limits["max_active_per_client"] == 200
    assert limits["max_alternatives"] == 10
    assert limits["lost_run_s"] == 2.5
