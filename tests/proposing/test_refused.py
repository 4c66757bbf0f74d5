"""What the checker refuses is left out, told of, and no bound is claimed beyond it."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.errors import Fault
from optimizer.proposing import propose, run
from tests.model.rooms import brief_of

NEEDS = {"long_hang": 20, "shelf_length": 60}
OPTIONS: dict[str, Any] = {"alternatives": 2, "gap": 0.005, "time_limit_s": 20.0}


def test_bays_that_the_checker_refuses_are_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The next best comes instead; its bound is the one proved before anything was left out."""
    brief = brief_of([96.0], NEEDS, options=OPTIONS)
    best = propose(brief, repairs=False).layouts[0]
    unwanted = best.bays[0].pattern

    def strict(brief: Brief, layout: Layout) -> tuple[Fault, ...]:
        bad = [i for i, bay in enumerate(layout.bays) if bay.pattern == unwanted]
        own = [Fault(f"/bays/{i}/pattern", "nobody wants this one", "unwanted") for i in bad]
        return (*own, *check_layout(brief, layout))

    monkeypatch.setattr(run, "check_layout", strict)
    study = propose(brief, repairs=False)
    assert study.layouts
    assert all(bay.pattern != unwanted for layout in study.layouts for bay in layout.bays)
    assert study.layouts[0].score <= best.bound + 1e-6
    assert study.layouts[0].bound >= best.score - 1e-6
    told = [warned for warned in study.warnings if warned.code == "layouts_refused"]
    assert len(told) == 1
    assert "nobody wants this one" in told[0].detail


def test_a_switch_in_a_corner_keeps_room_for_a_hand() -> None:
    """A switch 2 in wide at a wall's very end: the nearest upright stands 4 in from the corner."""
    raw: dict[str, Any] = {
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "A", "length": 81.5}, {"id": "B", "length": 80.5}],
            "obstructions": [
                {"wall": "B", "start": 0, "width": 2, "bottom": 0, "height": 2, "kind": "switch"}
            ],
        },
        "needs": {"shelf_length": 40},
        "construction": {"wall_ends": "uprights"},
        "options": OPTIONS,
    }
    brief = read_brief(raw)[0]
    study = propose(brief, repairs=False)
    assert study.layouts
    assert [w for w in study.warnings if w.code == "layouts_refused"] == []
    starts = [bay.start for layout in study.layouts for bay in layout.bays if bay.wall == "B"]
    assert starts
    assert min(starts) >= 4.0 + brief.construction.panel_thickness - 1e-6


def test_a_pinned_bay_stays_where_what_is_built_beside_it_is_at_fault() -> None:
    """Shelves left of the first pinned bay would wall a switch off: the checker blames an upright
    of the pinned one, and the shelves go."""
    names = ("left", "back", "right", "front")
    walls = [{"id": w, "length": n} for w, n in zip(names, (27.75, 62, 27.75, 62), strict=True)]
    switch = {"wall": "back", "start": 13.5, "width": 3, "bottom": 45.5, "height": 5}
    opening = {"wall": "front", "start": 0.5, "width": 61, "height": 80, "kind": "cased"}
    long = {"start": 17.25, "width": 20, "pattern": "long@74+shelfx14@77.75"}
    medium = {"start": 38, "width": 24, "pattern": "floor:23+medium@74+shelfx14@77.75"}
    raw: dict[str, Any] = {
        "room": {
            "ceiling_height": 85.75,
            "walls": walls,
            "openings": [opening],
            "obstructions": [{**switch, "kind": "switch"}],
        },
        "needs": {
            "shelf_spacing": 14,
            "shelf_depth": 14,
            "users": [{"stature": 71}],
            "long_hang": 20,
            "medium_hang": 19,
        },
        "options": OPTIONS,
        "pins": [{"wall": "back", **long}, {"wall": "back", **medium, "right": "wall"}],
    }
    study = propose(read_brief(raw)[0], repairs=False)
    assert [bay.pattern for bay in study.layouts[0].bays] == [long["pattern"], medium["pattern"]]
    told = [warned.detail for warned in study.warnings if warned.code == "layouts_refused"]
    assert len(told) == 1
    assert "walled off" in told[0]
