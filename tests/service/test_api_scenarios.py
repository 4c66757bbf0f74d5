"""Ready briefs through the wire, as a front end takes them: from the list to the build pack."""

from __future__ import annotations

import csv
import io
import time
from typing import Any
from xml.etree import ElementTree

import ezdxf
import httpx
import pypdf
import pytest

from tests.service.harness import Server, patient

FEW = ("linen-closet", "hall-reach-in", "sliding-doors-mm", "under-the-stairs")
"""A room of shelves, a reach-in with items, a metric one, one under a slope."""
LONG = ("sliding-doors-mm", "under-the-stairs")
"""Those of them whose first layout is soon found, and not the others: they are asked for one."""
ASKED = {"Prefer": "wait=15", "Cache-Control": "no-cache"}
"""Wait a little, and do not take the answer of another test's study."""


@pytest.fixture(scope="module")
def scenarios(real_server: Server) -> dict[str, Any]:
    """Every ready brief by name, as the service lists them."""
    items = got(real_server, "/v1/scenarios").json()["items"]
    return {item["name"]: item["brief"] for item in items}


def got(server: Server, address: str) -> httpx.Response:
    """What is at an address, which must be there."""
    answer = server.client.get(address)
    assert answer.status_code == 200, f"{address}: {answer.text[:500]}"
    return answer


def followed(server: Server, answer: httpx.Response) -> dict[str, Any]:
    """The study once it has ended, asked for as the answers say: Location, Retry-After."""
    until = time.monotonic() + patient(60)
    address = answer.headers["Location"]
    while answer.status_code == 202 or answer.json()["state"] != "done":
        assert time.monotonic() < until, answer.text[:500]
        time.sleep(float(answer.headers.get("Retry-After", 1)))
        answer = got(server, address)
    study: dict[str, Any] = answer.json()
    return study


def test_every_ready_brief_is_a_sound_one(real_server: Server, scenarios: dict[str, Any]) -> None:
    """All that are listed pass the validation and come back resolved."""
    assert len(scenarios) == 25
    for name, brief in scenarios.items():
        answer = real_server.client.post("/v1/validations", json=brief)
        assert answer.status_code == 200, f"{name}: {answer.text}"
        assert answer.json()["brief"]["name"] == brief["name"]


@pytest.mark.parametrize("name", FEW)
def test_a_ready_brief_from_the_list_to_the_build_pack(
    real_server: Server, scenarios: dict[str, Any], name: str
) -> None:
    """Posted as it stands it ends with layouts; all that belongs to them can be had."""
    brief = scenarios[name]
    if name in LONG:
        brief = {**brief, "options": {**brief.get("options", {}), "alternatives": 1}}
    answer = real_server.client.post("/v1/studies", json=brief, headers=ASKED)
    assert answer.status_code in {201, 202}, answer.text
    study = followed(real_server, answer)
    assert (study["problem"], study["attempts"]) == (None, 1)
    assert study["status"] in {"optimal", "within_gap", "time_limit"}
    here = f"/v1/studies/{study['id']}"
    layouts = got(real_server, f"{here}/layouts").json()["layouts"]
    assert (len(layouts) == 1) == (name in LONG)
    for layout in layouts:
        links = layout.pop("links")
        assert got(real_server, links["self"]).json()["rank"] == layout["rank"]
    assert layouts == study["layouts"]
    comparison = got(real_server, f"{here}/comparison").json()
    assert comparison["differences"] == study["differences"]
    for layout in layouts:
        check = {"brief": brief, "layout": layout}
        checked = real_server.client.post("/v1/layout-checks", json=check).json()
        assert (checked["passed"], checked["findings"]) == (True, [])
    take_away(real_server, f"{here}/layouts/1")


def take_away(server: Server, here: str) -> None:
    """A drawing in two forms and the build pack in three, each read by its own library."""
    drawing = got(server, f"{here}/drawings").json()["items"][0]
    assert ElementTree.fromstring(got(server, drawing["svg"]).text).tag.endswith("svg")  # noqa: S314
    document = ezdxf.read(io.StringIO(got(server, drawing["dxf"]).text))
    assert len(list(document.modelspace())) > 10
    pack = got(server, f"{here}/build-pack").json()["pack"]
    rows = list(csv.reader(io.StringIO(got(server, f"{here}/build-pack.csv").text)))
    assert len(rows) == len(pack["cut_list"]) + 1
    pages = pypdf.PdfReader(io.BytesIO(got(server, f"{here}/build-pack.pdf").content)).pages
    assert len(pages) >= 3
