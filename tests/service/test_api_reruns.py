"""Reruns: patched, pinned, answered at once, improved, and remembered in a lineage."""

from __future__ import annotations

from typing import Any

import httpx
import pytest

from optimizer.explaining.repairs import merge
from tests.service.harness import Server, brief


def rerun(server: Server, study: dict[str, Any], body: dict[str, Any], **headers: str) -> Any:
    """POST a rerun of a study."""
    return server.client.post(
        f"/v1/studies/{study['id']}/reruns",
        json=body,
        headers={name.replace("_", "-"): value for name, value in headers.items()},
    )


@pytest.fixture
def earlier(shared_server: Server, request: pytest.FixtureRequest) -> dict[str, Any]:
    """An ended study of the test's own."""
    return shared_server.accept(brief(f"plain {request.node.name[:60]}"), Prefer="wait=10")


@pytest.mark.parametrize(
    ("target", "patch", "result"),
    [
        ({"a": "b"}, {"a": "c"}, {"a": "c"}),
        ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
        ({"a": "b"}, {"a": None}, {}),
        ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
        ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
        ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
        ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
        ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
        (["a", "b"], ["c", "d"], ["c", "d"]),
        ({"a": "b"}, ["c"], ["c"]),
        ({"a": "foo"}, None, None),
        ({"a": "foo"}, "bar", "bar"),
        ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
        ([1, 2], {"a": "b", "c": None}, {"a": "b"}),
        ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
    ],
)
def test_merge_patch_does_what_its_standard_says(target: Any, patch: Any, result: Any) -> None:
    """Every test case of RFC 7396, appendix A."""
    assert merge(target, patch) == result


def test_a_rerun_answers_at_once_and_then_improves(
    shared_server: Server, earlier: dict[str, Any]
) -> None:
    """202 with the earlier layouts ranked anew and a bound; the new solve follows."""
    body = {"patch": {"name": "slow 2 rerun", "priorities": {"simple_build": 9, "hanging": 0}}}
    answer = rerun(shared_server, earlier, body)
    assert answer.status_code == 202
    study = answer.json()
    assert study["parent"] == earlier["id"]
    assert study["patch"] == body["patch"]
    assert study["brief"]["priorities"] == {
        **earlier["brief"]["priorities"],
        "simple_build": 9,
        "hanging": 0,
    }
    assert [layout["status"] for layout in study["layouts"]] == ["rescored"] * 3
    scores = [layout["score"] for layout in study["layouts"]]
    assert scores == sorted(scores, reverse=True)
    assert study["instant"] == {
        "possible": True,
        "reason": None,
        "score": scores[0],
        "bound": 99.0,
        "gain": pytest.approx(99.0 - scores[0]),
    }
    ended = shared_server.wait_for(study["id"])
    assert {layout["status"] for layout in ended["layouts"]} == {"optimal"}
    assert ended["moved"] == ["3 layouts before, 0 bays kept"]
    assert ended["instant"] == study["instant"], "what was said at once stays on record"


def test_bays_are_kept_by_layout_and_id_or_as_pins(
    shared_server: Server, earlier: dict[str, Any]
) -> None:
    """A bay named by its layout becomes a pin of the new brief, beside the pins given."""
    bay = earlier["layouts"][1]["bays"][0]
    own = {"wall": "A", "start": 40, "width": 20, "pattern": "short 1", "left": "wall"}
    body = {"pins": [{"layout": 2, "bay": bay["id"]}, own]}
    study = rerun(shared_server, earlier, body, Prefer="wait=10").json()
    assert study["brief"]["pins"] == [
        pin_of(bay),
        {**own, "right": "upright", "stored": []},
    ]
    assert study["moved"] == ["3 layouts before, 2 bays kept"]
    missing = rerun(shared_server, earlier, {"pins": [{"layout": 9, "bay": "A1"}]})
    assert missing.status_code == 422
    assert missing.json()["errors"][0]["pointer"] == "/pins/0"


def test_stability_reaches_the_run_and_is_no_pin(
    shared_server: Server, earlier: dict[str, Any]
) -> None:
    """The share is the run's to heed; the brief is as asked; another share is another study."""
    free = rerun(shared_server, earlier, {"stability": 0, "patch": {"name": "plain s"}})
    steady = rerun(
        shared_server, earlier, {"stability": 0.5, "patch": {"name": "plain s"}}, Prefer="wait=10"
    ).json()
    assert steady["answered_from"] is None
    assert steady["brief"]["pins"] == []
    assert steady["moved"] == ["3 layouts before, 0 bays kept, stability 0.5"]
    ended = shared_server.wait_for(free.json()["id"])
    assert ended["moved"] == ["3 layouts before, 0 bays kept"]


LONG_ROOM = {
    "name": "Steady closet",
    "room": {
        "ceiling_height": 96,
        "walls": [{"id": "A", "length": 24}, {"id": "B", "length": 100}],
    },
    "needs": {"short_hang": 50, "long_hang": 24, "shelf_length": 60},
    "options": {"alternatives": 2, "time_limit_s": 10},
}
PIPE = {"wall": "B", "width": 6, "bottom": 0, "height": 96, "projection": 12, "kind": "pipe"}


PIN = ("wall", "start", "width", "pattern", "left", "right")
"""Members of a pin."""


def pin_of(bay: dict[str, Any]) -> dict[str, Any]:
    """A bay as a pin; nothing that is counted stands in those here."""
    return {name: bay[name] for name in PIN} | {"stored": []}


@pytest.fixture(scope="module")
def measured(real_server: Server) -> dict[str, Any]:
    """A real study, and a pipe measured later, in the middle of its first bay."""
    study = real_server.accept(LONG_ROOM, Prefer="wait=25")
    bays = study["layouts"][0]["bays"]
    assert len(bays) >= 2
    pipe = {**PIPE, "start": bays[0]["start"] + bays[0]["width"] / 2 - 3}
    return {"study": study, "bays": bays, "patch": {"room": {"obstructions": [pipe]}}}


def test_stability_lets_go_what_the_new_brief_cannot_keep(
    real_server: Server, measured: dict[str, Any]
) -> None:
    """The bay behind the pipe goes, and it is said why; the others stay in every layout."""
    body = {"patch": measured["patch"], "stability": 1}
    study = rerun(real_server, measured["study"], body, Prefer="wait=25").json()
    assert study["layouts"], study["problem"]
    gone, *stay = measured["bays"]
    told = study["stability"]
    assert told["share"] == 1
    assert [wish["bay"] for wish in told["let_go"]] == [gone["id"]]
    assert told["let_go"][0]["pin"] == pin_of(gone)
    assert "cannot stand there" in told["let_go"][0]["reason"]
    assert sorted(wish["bay"] for wish in told["kept"]) == sorted(bay["id"] for bay in stay)
    warned = [entry for entry in study["warnings"] if entry["code"] == "let_go"]
    assert [entry["pointer"] for entry in warned] == ["/room/walls/1"]
    for layout in study["layouts"]:
        pins = [pin_of(bay) for bay in layout["bays"]]
        assert pin_of(gone) not in pins
        assert all(pin_of(bay) in pins for bay in stay)
    assert study["brief"]["pins"] == [], "what was a wish once is no condition of later reruns"


def test_pins_stay_strict_beside_stability(real_server: Server, measured: dict[str, Any]) -> None:
    """The same bay as an explicit pin is not let go: the rerun is refused, the pin named."""
    pins = [{"layout": 1, "bay": measured["bays"][0]["id"]}]
    body = {"patch": measured["patch"], "pins": pins, "stability": 1}
    answer = rerun(real_server, measured["study"], body)
    assert (answer.status_code, answer.json()["code"]) == (422, "invalid_brief")
    faults = [(fault["pointer"], fault["code"]) for fault in answer.json()["errors"]]
    assert faults == [("/pins/0", "pin_refused")]


def test_pins_that_cannot_stand_are_refused_wherever_they_are_sent(
    real_server: Server, measured: dict[str, Any]
) -> None:
    """A study, a validation and a rerun refuse the same pins; with those that can they go on."""
    unknown = {"wall": "B", "start": 1, "width": 20, "pattern": "a secret door"}
    sound = pin_of(measured["bays"][-1])
    for pins, pointers in (([sound, unknown], ["/pins/1"]), ([sound], [])):
        brief = {**LONG_ROOM, "pins": pins}
        answers = [
            real_server.client.post("/v1/validations", json=brief),
            real_server.client.post("/v1/studies", json=brief),
            rerun(real_server, measured["study"], {"pins": pins}),
        ]
        for answer in answers:
            assert (answer.status_code == 422) == bool(pointers), answer.text
            found = [fault["pointer"] for fault in answer.json().get("errors", ())]
            assert found == pointers


@pytest.mark.parametrize(
    ("body", "code", "pointer"),
    [
        ({"patch": {"units": "mm"}}, "invalid_body", "/patch/units"),
        ({"patch": []}, "invalid_body", "/patch"),
        ({"stability": 2}, "invalid_body", "/stability"),
        ({"stability": "1"}, "invalid_body", "/stability"),
        ({"pathc": {}}, "invalid_body", "/pathc"),
        ({"patch": {"room": None}}, "invalid_brief", "/room"),
        ({"patch": {"needs": {"short_hang": -1}}}, "invalid_brief", "/needs/short_hang"),
        ({"patch": {"colour": "red"}}, "invalid_brief", "/colour"),
        ({"patch": {"options": {"alternatives": 99}}}, "invalid_brief", "/options/alternatives"),
    ],
)
def test_reruns_that_break_rules(
    shared_server: Server, body: dict[str, Any], code: str, pointer: str
) -> None:
    """Faults of the request lead into it, faults of the patched brief into that."""
    study = shared_server.accept(brief("plain rules"), Prefer="wait=10")
    answer = rerun(shared_server, study, body)
    assert (answer.status_code, answer.json()["code"]) == (422, code)
    assert answer.json()["errors"][0]["pointer"] == pointer


def test_only_ended_studies_are_run_again(shared_server: Server) -> None:
    """409 while the earlier one runs; a cancelled one may be gone on from."""
    study = shared_server.accept(brief("slow 9 not ended"))
    answer = rerun(shared_server, study, {})
    assert (answer.status_code, answer.json()["code"]) == (409, "study_not_ended")
    shared_server.client.post(f"/v1/studies/{study['id']}/cancellation")
    shared_server.wait_for(study["id"])
    answer = rerun(shared_server, study, {"patch": {"name": "plain"}}, Prefer="wait=10")
    assert answer.json()["status"] == "optimal"


def test_a_rerun_of_a_study_without_layouts(shared_server: Server) -> None:
    """There is nothing to rank anew, which is said; the new solve goes its way."""
    study = shared_server.accept(brief("nothing"), Prefer="wait=10")
    answer = rerun(shared_server, study, {"patch": {"name": "plain"}}, Prefer="wait=10").json()
    assert answer["instant"]["possible"] is False
    assert answer["instant"]["reason"] == "the earlier study has no layouts"
    assert answer["status"] == "optimal"


def test_equal_reruns_are_answered_from_the_store_and_by_key(
    shared_server: Server, earlier: dict[str, Any]
) -> None:
    """The same change to the same study costs one solve."""
    body = {"patch": {"priorities": {"shelving": 7}}}
    first = rerun(shared_server, earlier, body, Prefer="wait=10", Idempotency_Key="rr-1").json()
    again = rerun(shared_server, earlier, body, Idempotency_Key="rr-1")
    assert again.json()["id"] == first["id"]
    other = rerun(shared_server, earlier, body).json()
    assert other["answered_from"] == first["id"]


def test_lineage_shows_where_studies_come_from(
    shared_server: Server, earlier: dict[str, Any]
) -> None:
    """Ancestors from the parent back, and the whole descent with what was changed."""
    change = {"patch": {"priorities": {"low_cost": 4}}}
    child = rerun(shared_server, earlier, change, Prefer="wait=10").json()
    grandchild = rerun(
        shared_server, child, {"patch": {"name": "plain g"}}, Prefer="wait=10"
    ).json()
    sibling = rerun(shared_server, earlier, {"patch": {"name": "plain s"}}, Prefer="wait=10").json()

    def lineage(study: dict[str, Any]) -> dict[str, Any]:
        got: httpx.Response = shared_server.client.get(f"/v1/studies/{study['id']}/lineage")
        found: dict[str, Any] = got.json()
        return found

    assert lineage(grandchild)["ancestors"] == [child["id"], earlier["id"]]
    family = {entry["id"]: entry for entry in lineage(sibling)["family"]}
    assert set(family) == {s["id"] for s in (earlier, child, grandchild, sibling)}
    assert family[child["id"]]["patch"] == change["patch"]
    assert family[earlier["id"]]["patch"] is None
    reruns = shared_server.client.get(f"/v1/studies?parent={earlier['id']}").json()["items"]
    assert {entry["id"] for entry in reruns} == {child["id"], sibling["id"]}
    shared_server.client.delete(f"/v1/studies/{child['id']}")
    assert lineage(grandchild)["ancestors"] == []
