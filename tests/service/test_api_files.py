"""Drawings and build packs of real layouts over real HTTP."""

from __future__ import annotations

import csv
import io
import re
import time
import zipfile
from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree

import ezdxf
import pypdf
import pytest

from optimizer.domain.pack import BuildPack
from tests.service.harness import Server, patient

ROOM: dict[str, Any] = {
    "name": "Files closet",
    "room": {
        "ceiling_height": 96,
        "walls": [{"id": "A", "length": 24}, {"id": "back wall", "length": 64}],
    },
    "needs": {"short_hang": 30, "shelf_length": 60},
    "options": {"alternatives": 2, "time_limit_s": 10},
}


@pytest.fixture(scope="module")
def study(real_server: Server) -> dict[str, Any]:
    """An ended study with real layouts."""
    made = real_server.accept(ROOM, Prefer="wait=30")
    assert made["layouts"], made
    return made


def entries(server: Server, study: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The drawings of the first layout."""
    listed = server.client.get(f"/v1/studies/{study['id']}/layouts/1/drawings").json()
    yield from listed["items"]


def test_every_wall_with_storage_has_its_elevation(
    real_server: Server, study: dict[str, Any]
) -> None:
    """Plan, elevations in the room's order, isometric view."""
    used = {bay["wall"] for bay in study["layouts"][0]["bays"]}
    walls = [wall["id"] for wall in study["brief"]["room"]["walls"] if wall["id"] in used]
    listed = [(entry["view"], entry["wall"]) for entry in entries(real_server, study)]
    assert listed == [
        ("plan", None),
        *(("elevation", wall) for wall in walls),
        ("isometric", None),
    ]


def test_drawings_read_back_in_every_form(real_server: Server, study: dict[str, Any]) -> None:
    """SVG is XML of a drawing, DXF is read by its library, PDF has one page; ETags hold."""
    for entry in entries(real_server, study):
        svg = real_server.client.get(entry["svg"])
        assert svg.headers["Content-Type"] == "image/svg+xml"
        assert ElementTree.fromstring(svg.text).tag.endswith("svg")  # noqa: S314 - our own
        again = real_server.client.get(entry["svg"], headers={"If-None-Match": svg.headers["ETag"]})
        assert (again.status_code, again.content) == (304, b"")
        dxf = real_server.client.get(entry["dxf"])
        document = ezdxf.read(io.StringIO(dxf.content.decode()))
        assert len(list(document.modelspace())) > 10
        pdf = real_server.client.get(entry["pdf"])
        assert len(pypdf.PdfReader(io.BytesIO(pdf.content)).pages) == 1


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("1/drawings/elevation.svg", 422),
        ("1/drawings/elevation.svg?wall=nowhere", 422),
        ("1/drawings/elevation.svg?wall=A&widest=75", 422),
        ("1/drawings/plan.svg?wall=A", 422),
        ("1/drawings/front.svg", 422),
        ("1/drawings/plan.png", 404),
        ("99/drawings/plan.svg", 404),
        ("99/build-pack", 404),
        ("1/build-pack/files/nothing.csv", 404),
        ("1/build-pack/files/..%2f..%2fsettings.py", 404),
        ("1/build-pack/files/service%2Fbuild-pack.json", 404),
    ],
)
def test_what_is_not_there_is_refused(
    real_server: Server, study: dict[str, Any], address: str, status: int
) -> None:
    """A problem, never half a file."""
    answer = real_server.client.get(f"/v1/studies/{study['id']}/layouts/{address}")
    assert answer.status_code == status, answer.text
    assert answer.headers["Content-Type"] == "application/problem+json"


def test_the_build_pack_in_all_its_forms(real_server: Server, study: dict[str, Any]) -> None:
    """JSON reads back as the optimizer's own record; document, table and archive agree with it."""
    here = f"/v1/studies/{study['id']}/layouts/1/build-pack"
    view = real_server.client.get(here).json()
    pack = BuildPack.model_validate(view["pack"])
    assert pack.parts
    assert view["sheets"]["sheets"]
    document = real_server.client.get(f"{here}.pdf")
    text = "".join(
        page.extract_text() for page in pypdf.PdfReader(io.BytesIO(document.content)).pages
    )
    assert "Files closet" in text
    assert pack.parts[0].id in text
    table = real_server.client.get(f"{here}.csv")
    assert table.headers["Content-Disposition"] == 'inline; filename="cut-list.csv"'
    rows = list(csv.reader(io.StringIO(table.text)))
    assert len(rows) == len(pack.cut_list) + 1
    archive = real_server.client.get(view["archive"])
    with zipfile.ZipFile(io.BytesIO(archive.content)) as files:
        assert files.testzip() is None
        assert set(files.namelist()) == {entry["name"] for entry in view["files"]}
        assert files.read("build-pack.pdf") == document.content


def test_every_file_of_the_pack_is_there_by_its_address(
    real_server: Server, study: dict[str, Any]
) -> None:
    """Each listed file and drawing is served under its type."""
    here = f"/v1/studies/{study['id']}/layouts/1/build-pack"
    view = real_server.client.get(here).json()
    for entry in view["files"]:
        got = real_server.client.get(entry["href"])
        assert got.status_code == 200
        assert got.headers["Content-Type"].split(";")[0] == entry["media_type"]
        assert got.content
    for drawing in view["drawings"]:
        assert "<svg" in real_server.client.get(drawing["svg"]).text
        assert real_server.client.get(drawing["dxf"]).status_code == 200


def test_a_pack_is_made_once(real_server: Server, study: dict[str, Any]) -> None:
    """The second reader gets the stored one, byte for byte and at once."""
    here = f"/v1/studies/{study['id']}/layouts/2/build-pack.pdf"
    first, second = real_server.client.get(here), real_server.client.get(here)
    assert first.content == second.content
    assert second.elapsed.total_seconds() < max(0.5, first.elapsed.total_seconds())


def test_the_layouts_pass_the_services_own_check(
    real_server: Server, study: dict[str, Any]
) -> None:
    """What was proposed passes; moved into its neighbour or out of the wall it does not."""
    check = {"brief": ROOM, "layout": study["layouts"][0]}
    good = real_server.client.post("/v1/layout-checks", json=check)
    assert (good.status_code, good.json()["passed"]) == (200, True), good.text
    bays = [dict(bay) for bay in study["layouts"][0]["bays"]]
    bays[0]["start"] = 60.0
    bad = real_server.client.post(
        "/v1/layout-checks", json={"brief": ROOM, "layout": {"bays": bays}}
    ).json()
    assert bad["passed"] is False
    assert all(re.match(r"^/bays/\d+|^/bays$|^/|^$", f["pointer"]) for f in bad["findings"])
    assert {finding["code"] for finding in bad["findings"]}


@pytest.mark.parametrize(
    ("body", "code", "pointer"),
    [
        ({"brief": ROOM}, "invalid_body", "/layout"),
        ([], "invalid_body", ""),
        ({"brief": ROOM, "layout": {}, "more": 1}, "invalid_body", ""),
        ({"brief": {}, "layout": {}}, "invalid_brief", "/brief/room"),
        ({"brief": ROOM, "layout": {"bays": [{}]}}, "invalid_layout", "/layout/bays/0/id"),
        ({"brief": ROOM, "layout": {"score": "9"}}, "invalid_layout", "/layout/score"),
    ],
)
def test_checks_that_cannot_be_read(
    real_server: Server, body: Any, code: str, pointer: str
) -> None:
    """Faults of the brief and of the layout lead into the body that was sent."""
    answer = real_server.client.post("/v1/layout-checks", json=body)
    assert (answer.status_code, answer.json()["code"]) == (422, code)
    assert pointer in [entry["pointer"] for entry in answer.json()["errors"]]


def test_priorities_are_explained(real_server: Server, study: dict[str, Any]) -> None:
    """Ranges hold the weights in force; the preferred layout's weights come first with them."""
    here = f"/v1/studies/{study['id']}"
    ranges = real_server.client.get(f"{here}/sensitivity").json()["ranges"]
    assert {entry["name"]: entry["weight"] for entry in ranges} == study["brief"]["priorities"]
    wish = real_server.client.get(f"{here}/preference?layout=2").json()
    assert wish["answer"] in {"possible", "impossible"}
    if wish["answer"] == "possible":
        again = real_server.client.post(
            f"{here}/reruns", json={"patch": {"priorities": wish["priorities"]}}
        ).json()
        best = again["layouts"][0]["bays"]
        assert best == study["layouts"][1]["bays"]
    missing = real_server.client.get(f"{here}/preference?layout=9")
    assert (missing.status_code, missing.json()["code"]) == (404, "layout_not_found")


def test_a_real_run_heeds_a_cancel(real_server: Server) -> None:
    """The optimizer stops by itself, well before it would be killed, with what it has."""
    brief = real_server.client.get("/v1/scenarios/two-households").json()["brief"]
    brief["options"] = {"alternatives": 10, "gap": 0, "time_limit_s": 120}
    running = real_server.accept(brief)
    until = time.monotonic() + patient(30)
    while real_server.get(running["id"])["progress"]["bound"] is None:
        assert time.monotonic() < until
        time.sleep(0.1)
    real_server.client.post(f"/v1/studies/{running['id']}/cancellation")
    ended = real_server.wait_for(running["id"], timeout_s=8)
    assert (ended["status"], ended["attempts"], ended["problem"]) == ("cancelled", 1, None)
    closed = [e for e in real_server.log_entries() if e["message"] == "run closed"]
    assert running["id"] not in [entry["study_id"] for entry in closed]
