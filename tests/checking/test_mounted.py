"""R20: hooks and mirrors, on each side of what their wall and the floor before it allow."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.checking import check_layout
from optimizer.domain.layout import Layout
from tests.checking.parts import bay, levels, metrics, unmet

Raw = dict[str, Any]
OUTLET = {"wall": "A", "start": 20, "width": 3, "bottom": 12, "height": 4, "kind": "outlet"}
LIGHT = {"wall": "A", "start": 30, "width": 8, "bottom": 78, "height": 6, "kind": "light"}


def _mirror(start: float, **more: Any) -> Raw:
    return {
        "id": "glass", "kind": "mirror", "wall": "A", "start": start, "width": 18.0,
        "bottom": 14.0, "top": 64.0, "depth": 1.0, **more,
    }  # fmt: skip


def _coats(start: float, **more: Any) -> Raw:
    """Three hooks 8 in apart, 60 in up, clothes down to 9 in, on a board 3-1/2 in high."""
    return {
        "id": "coats", "kind": "hooks", "wall": "A", "start": start, "width": 24.0, "bottom": 9.0,
        "top": 61.75, "depth": 10.0, "hook_height": 60.0,
        "hooks": [start + 4.0, start + 12.0, start + 20.0], **more,
    }  # fmt: skip


def _codes(mounts: list[Raw], *, bays: list[Raw] | None = None, **room: Any) -> list[str]:
    """Codes of the faults of a wall of 100 in with these mounts and bays."""
    raw = {
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 100}], **room},
        "needs": {
            "hooks": [{"id": "coats", "count": 3}],
            "mirrors": [{"id": "glass", "width": 18, "height": 50}],
            "shelf_length": 100,
        },
        "construction": {"material": "plywood"},
    }
    brief, _ = read_brief(raw)
    layout = Layout.model_validate({"bays": bays or [], "mounts": mounts})
    return [fault.code for fault in check_layout(brief, layout)]


def test_both_hang_side_by_side() -> None:
    """They touch one another and the ends of the wall."""
    assert _codes([_mirror(0.0), _coats(18.0)]) == []
    assert _codes([_mirror(82.0), _coats(58.0)]) == []


@pytest.mark.parametrize(
    ("mounts", "code"),
    [
        ([_mirror(82.1)], "wall_fit"),
        ([_mirror(10.0), _coats(27.9)], "mount_taken"),
        ([_mirror(10.0), _mirror(40.0)], "mount_unknown"),
        ([_mirror(10.0, id="other")], "mount_unknown"),
        ([_mirror(10.0, width=17.0)], "mount_size"),
        ([_mirror(10.0, top=65.0)], "mount_size"),
        ([_coats(10.0, hooks=[14.0, 22.0])], "mount_size"),
        ([_coats(10.0, hook_height=61.0)], "mount_size"),
        ([_mirror(10.0, wall="B")], "unknown_wall"),
    ],
)
def test_mounts_are_as_asked_and_on_their_wall(mounts: list[Raw], code: str) -> None:
    """Each broken alone."""
    assert _codes(mounts) == [code]


@pytest.mark.parametrize(("start", "codes"), [(28.25, []), (28.1, ["mount_taken", "aisle"])])
def test_no_bay_stands_where_a_mirror_hangs(start: float, codes: list[str]) -> None:
    """A bay ends on its upright at 28-1/4 in."""
    shelves = bay("A1", "A", 0.75, 26.75, levels(96.0, 12.0))
    assert _codes([_mirror(start)], bays=[shelves]) == codes


def test_what_is_on_the_wall_stays_free() -> None:
    """Coats reach down to 9 in, a mirror to 14 in: each before an outlet up to 16 in."""
    assert _codes([_mirror(10.0)], obstructions=[OUTLET]) == ["obstruction"]
    assert _codes([_mirror(1.0)], obstructions=[OUTLET]) == []
    assert _codes([_coats(23.5)], obstructions=[OUTLET]) == []
    low = {**OUTLET, "bottom": 4, "height": 5}
    assert _codes([_coats(10.0)], obstructions=[low]) == []
    assert _codes([_coats(10.0)], obstructions=[{**low, "height": 6}]) == ["obstruction"]


def test_coats_keep_off_a_light() -> None:
    """NEC 410.16(C)(1): 12 in from a surface-mounted one; coats end 16-1/4 in under it."""
    assert _codes([_coats(25.0)], obstructions=[LIGHT]) == []
    assert _codes([_coats(25.0)], obstructions=[{**LIGHT, "bottom": 73}]) == ["light"]


def test_openings_and_a_low_ceiling_are_left_free() -> None:
    """Nothing over a door and its trim, nothing through a ceiling."""
    door = {"wall": "A", "start": 60, "width": 30, "casing": 3}
    assert "opening" in _codes([_mirror(40.0)], openings=[door])
    assert _codes([_mirror(39.0)], openings=[door]) == []
    low = [{"id": "A", "length": 100, "height": {"left": 60, "right": 96}}]
    assert _codes([_mirror(0.0)], walls=low) == ["height"]


def _facing(gap: float, start: float = 20.0) -> list[str]:
    """Codes of a mirror across from shelves 12 in deep, `gap` between both."""
    across = gap + 13.0
    raw = {
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "A", "length": 60}, {"id": "B", "length": across},
                      {"id": "C", "length": 60}],
        },
        "needs": {"mirrors": [{"id": "glass", "width": 18, "height": 50}], "shelf_length": 30},
        "construction": {"material": "plywood"},
    }  # fmt: skip
    brief, _ = read_brief(raw)
    shelves = bay("C1", "C", 10.0, 36.0, levels(96.0, 12.0))
    layout = Layout.model_validate({"bays": [shelves], "mounts": [_mirror(start)]})
    return sorted({fault.code for fault in check_layout(brief, layout)})


def test_an_aisle_is_left_before_a_mirror() -> None:
    """24 in to the shelves across, unless they stand further along."""
    assert _facing(24.0) == []
    assert _facing(23.5) == ["aisle"]


def test_a_mirror_that_hangs_is_no_unmet_need() -> None:
    """Claims: what hangs is met, what does not is listed."""
    raw = {
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 100}]},
        "needs": {"mirrors": [{"id": "glass", "width": 18, "height": 50}]},
    }
    brief, _ = read_brief(raw)
    lacking = unmet("mounted:glass", 1.0, 0.0)
    for mounts, listed, codes in (
        ([_mirror(5.0)], [], []),
        ([_mirror(5.0)], [lacking], ["unmet"] * 3),
        ([], [lacking], []),
        ([], [], ["unmet"]),
    ):
        claimed = {"mounts": mounts, "unmet": listed, "metrics": metrics()}
        faults = check_layout(brief, Layout.model_validate(claimed))
        assert [fault.code for fault in faults] == codes
