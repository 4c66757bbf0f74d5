"""R17: one line a room, lower only where something keeps a board down."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from tests.checking.parts import Data, bay, levels, shelf, stack
from tests.checking.samples import parse


def codes(bays: list[Data], top_line: str = "level", **room: Any) -> set[str]:
    """Codes for bays on one wall 100 in long."""
    walls = [{"id": "A", "length": 100, **room.pop("wall", {})}]
    brief = {
        "room": {"ceiling_height": 96, "walls": walls, **room},
        "needs": {"shelf_length": 10},
        "construction": {"top_line": top_line},
    }
    return {
        fault.code for fault in check_layout(*parse({"brief": brief, "layout": {"bays": bays}}))
    }


def stepping(top: float = 96.0) -> list[Data]:
    """Two bays of shelves, one to 84 in and one to 75-1/2 in."""
    return [
        bay("A1", "A", 0.75, 24.0, levels(96.0, 12.0)),
        bay("A2", "A", 25.5, 24.0, stack(top, 12.0)),
    ]


def test_stepping_lines_are_a_choice() -> None:
    """84 and 75-1/2 in side by side: refused on a level line, nobody's business on free ones."""
    assert codes(stepping()) == {"line"}
    assert codes(stepping(), "free") == set()


@pytest.mark.parametrize(("ceiling", "allowed"), [(91.9, True), (92, False), (96, False)])
def test_low_ceiling_lowers_a_line(ceiling: float, allowed: bool) -> None:
    """Where a board at 84 in with 8 in over it does not go under the ceiling, it is lower."""
    # It falls from 110 in at the left end of the wall to the right end of A2, 50.25 in along.
    fall = (110.0 - ceiling) / 50.25
    low = {"wall": {"height": {"left": 110.0, "right": 110.0 - 100.0 * fall}}}
    assert codes(stepping(top=ceiling), **low) == (set() if allowed else {"line"})


def window(bottom: float, top: float) -> Data:
    """A window over the second bay and nothing else."""
    return {
        "wall": "A", "start": 25.5, "width": 24, "bottom": bottom, "height": top - bottom,
        "kind": "window",
    }  # fmt: skip


def under(bottom: float) -> list[Data]:
    """The second bay ends under a window."""
    low = [shelf(12.0, 23.25, 12.0), shelf(24.0, bottom, 12.0)]
    return [stepping()[0], bay("A2", "A", 25.5, 24.0, low)]


@pytest.mark.parametrize(("top", "allowed"), [(90, True), (83.5, True), (83, False), (76, False)])
def test_window_lowers_a_line_where_it_takes_its_place(top: float, allowed: bool) -> None:
    """Over a window that ends below the line, the top board runs on."""
    found = codes(under(36.0), obstructions=[window(36, top)])
    assert found == (set() if allowed else {"line"})


def test_upright_that_cannot_reach_the_line_lowers_it() -> None:
    """A window that runs on past the bay stands behind its upright."""
    wide = {**window(36, 76), "width": 40}
    assert codes(under(36.0), obstructions=[wide]) == set()


def test_light_and_kept_box_lower_a_line() -> None:
    """What keeps boards away keeps the line away; a lower line keeps away from them itself."""
    light = {
        "wall": "A", "start": 35, "width": 6, "bottom": 92, "height": 4, "setback": 10,
        "projection": 16, "kind": "light",
    }  # fmt: skip
    assert codes(under(36.0), obstructions=[light]) == {"light"}  # too near to the first bay
    kept = {"wall": "A", "start": 30, "width": 10, "bottom": 80, "height": 10, "depth": 30}
    assert codes(under(36.0), keep_clear=[kept]) == set()
    assert codes(under(36.0), keep_clear=[{**kept, "start": 60}]) == {"line"}


def test_line_says_by_how_much() -> None:
    """The sentence a builder reads."""
    data = {
        "brief": {
            "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 100}]},
            "needs": {"shelf_length": 10},
        },
        "layout": {"bays": stepping()},
    }
    assert [(fault.pointer, fault.detail) for fault in check_layout(*parse(data))] == [
        (
            "/bays/1/height",
            "the top board of bay A2 lies at 75.5 in; the room's line is 84 in, and a board could "
            "lie there over this bay",
        )
    ]
