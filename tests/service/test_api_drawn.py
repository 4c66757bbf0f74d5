"""A layout changed by hand and sent to be checked against the study that it came from."""

from __future__ import annotations

import csv
import io
import zipfile
from typing import Any

import pytest

from tests.service.harness import Server

ROOM: dict[str, Any] = {
    "name": "Drawn",
    "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 96}]},
    "needs": {"short_hang": 40, "shelf_length": 60},
    "options": {"alternatives": 2, "time_limit_s": 10},
}


@pytest.fixture(scope="module")
def study(real_server: Server) -> dict[str, Any]:
    """An ended study with layouts."""
    made = real_server.accept(ROOM, Prefer="wait=30")
    return made if made["state"] == "done" else real_server.wait_for(made["id"], timeout_s=60)


def check(server: Server, body: dict[str, Any]) -> dict[str, Any]:
    """The answer to a check."""
    answer = server.client.post("/v1/layout-checks", json=body)
    assert answer.status_code == 200, answer.text
    checked: dict[str, Any] = answer.json()
    return checked


def test_a_layout_is_held_against_its_study(real_server: Server, study: dict[str, Any]) -> None:
    """Sent back as it is: sound, as good as itself, under the bound that the study proved."""
    found = check(real_server, {"study": study["id"], "layout": study["layouts"][0]})
    assert (found["passed"], found["findings"], found["snapped"]) == (True, [], [])
    assert found["layout"]["bays"] == study["layouts"][0]["bays"]
    assert found["score"] == pytest.approx(study["layouts"][0]["score"])
    assert found["terms"] == study["layouts"][0]["terms"]
    assert found["metrics"] == study["layouts"][0]["metrics"]
    assert found["bound"] == pytest.approx(max(one["bound"] for one in study["layouts"]))
    assert found["against"]["study"] == study["id"]
    assert found["against"]["summary"] == "as good as layout 1; nothing else changed"


def test_a_dragged_edge_snaps_and_costs_points(real_server: Server, study: dict[str, Any]) -> None:
    """An edge pulled in by 6 in and a hair: on the grid again, and told what it costs."""
    bays = [dict(bay) for bay in study["layouts"][0]["bays"]]
    bays[-1]["width"] = bays[-1]["width"] - 6.01
    body = {"study": study["id"], "layout": {"bays": bays}, "against": 1}
    found = check(real_server, body)
    assert found["snapped"] == [bays[-1]["id"]]
    assert found["layout"]["bays"][-1]["width"] == pytest.approx(bays[-1]["width"] + 0.01)
    assert found["against"]["difference"] < 0
    assert found["score"] == pytest.approx(
        found["against"]["score"] + found["against"]["difference"]
    )
    assert found["against"]["summary"].startswith(f"{-found['against']['difference']:.1f} points")
    assert found["against"]["changed"]


def test_what_a_check_refuses(real_server: Server, study: dict[str, Any]) -> None:
    """No such study, rank or brief; each is named."""
    layout = study["layouts"][0]
    nobody = "0" * 26
    cases: list[tuple[dict[str, Any], int, str, str]] = [
        ({"layout": layout}, 422, "invalid_body", "/brief"),
        ({"layout": layout, "study": "x"}, 422, "invalid_body", "/study"),
        ({"layout": layout, "study": study["id"], "against": 0}, 422, "invalid_body", "/against"),
        ({"layout": layout, "study": nobody}, 404, "study_not_found", ""),
        ({"layout": layout, "study": study["id"], "against": 9}, 404, "layout_not_found", ""),
        (
            {"layout": layout, "study": study["id"], "brief": {**ROOM, "needs": {}}},
            422,
            "invalid_brief",
            "/brief",
        ),
    ]
    for body, status, code, pointer in cases:
        answer = real_server.client.post("/v1/layout-checks", json=body)
        assert (answer.status_code, answer.json()["code"]) == (status, code), answer.text
        if pointer:
            assert any(e["pointer"].startswith(pointer) for e in answer.json()["errors"])


def test_a_drawn_layout_is_built(real_server: Server, study: dict[str, Any]) -> None:
    """Its pack has a document and a cut list of the drawn widths; what breaks a rule has none."""
    bays = [dict(bay) for bay in study["layouts"][0]["bays"]]
    bays[-1]["width"] = bays[-1]["width"] - 6
    body = {"study": study["id"], "layout": {"bays": bays}}
    built = real_server.client.post("/v1/layout-packs", json=body)
    assert (built.status_code, built.headers["content-type"]) == (200, "application/zip")
    archive = zipfile.ZipFile(io.BytesIO(built.content))
    rows = list(csv.DictReader(io.StringIO(archive.read("cut-list.csv").decode())))
    assert archive.read("build-pack.pdf").startswith(b"%PDF")
    as_proposed = real_server.client.get(
        f"/v1/studies/{study['id']}/layouts/1/build-pack/files/cut-list.csv"
    ).text
    assert rows
    assert rows != list(csv.DictReader(io.StringIO(as_proposed)))
    bays[-1]["width"] = 1000
    refused = real_server.client.post("/v1/layout-packs", json=body)
    assert refused.status_code == 422
    assert refused.json()["code"] == "cannot_build"
    assert any(fault["pointer"].startswith("/bays/") for fault in refused.json()["errors"])
