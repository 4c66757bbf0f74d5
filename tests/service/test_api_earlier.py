"""Studies that an earlier version stored, before layouts told what carries their bays."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from optimizer.domain.layout import Carried, Layout
from tests.service.harness import Server, brief

NEW_OF_A_LAYOUT = {"lines", "structure", "margins"}
NEW_OF_A_BAY = {"left", "right", "mid_supports"}
NEW_OF_A_ROOM = {"keep_clear", "measuring_tolerance"}
NEW_OF_CONSTRUCTION = {
    "top_line", "wall_ends", "min_hang_width", "max_plain_span", "rod_support_spacing",
    "mid_support", "safety_factor", "rod_cleat_height", "upright_hold",
}  # fmt: skip


def without(data: dict[str, Any], names: set[str]) -> dict[str, Any]:
    """An object without some of its members, all of which it had."""
    assert names <= set(data)
    return {name: value for name, value in data.items() if name not in names}


def aged(result: dict[str, Any]) -> dict[str, Any]:
    """A stored result as it was written before."""
    layouts = [without(layout, NEW_OF_A_LAYOUT) for layout in result["layouts"]]
    for layout in layouts:
        layout["bays"] = [without(bay, NEW_OF_A_BAY) for bay in layout["bays"]]
    old = result["brief"]
    rules = without(old["construction"], NEW_OF_CONSTRUCTION)
    old["construction"] = {**rules, "creep_factor": 2.0, "max_bay_width": 48.0}
    old["room"] = without(old["room"], NEW_OF_A_ROOM)
    return {**result, "layouts": layouts}


def store_aged(path: Path, study_id: str) -> str:
    """A copy of a stored study as it was written before, under an id of its own."""
    earlier = study_id[:-1] + ("1" if study_id.endswith("0") else "0")
    with closing(sqlite3.connect(path, timeout=30)) as store, store:
        for table, key in (("studies", "id"), ("documents", "study_id")):
            one = f"select * from {table} where {key} = ?"  # noqa: S608
            store.execute(f"create temp table t as {one}", [study_id])
            store.execute(f"update t set {key} = ?", [earlier])  # noqa: S608
            if table == "documents":
                (text,) = store.execute("select result from t").fetchone()
                store.execute("update t set result = ?", [json.dumps(aged(json.loads(text)))])
            store.execute(f"insert into {table} select * from t")  # noqa: S608
            store.execute("drop table t")
    return earlier


def test_a_study_stored_before_reads_and_draws(shared_server: Server) -> None:
    """It comes back as it was stored, its bays stand between uprights, its drawings are made."""
    server = shared_server
    study = server.wait_for(server.accept(brief("plain earlier"))["id"])
    earlier = store_aged(server.folder / "store.sqlite3", study["id"])
    here = f"/v1/studies/{earlier}"
    again = server.get(earlier)
    assert again["brief"]["construction"]["max_bay_width"] == 48.0
    first = again["layouts"][0]
    assert "lines" not in first
    assert {bay.left for bay in Layout.model_validate(first).bays} == {Carried.UPRIGHT}
    for entry in server.client.get(f"{here}/layouts/1/drawings").json()["items"]:
        drawn = server.client.get(entry["svg"])
        assert (drawn.status_code, drawn.text[:4]) == (200, "<svg"), drawn.text[:300]
    compared = server.client.get(f"{here}/comparison?layouts=1,2")
    assert compared.status_code == 200, compared.text
