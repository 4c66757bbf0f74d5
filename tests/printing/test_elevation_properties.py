"""Whatever stands on a wall, its drawing keeps to its lines and shares no row."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout
from optimizer.printing.bay_picture import levels_of
from optimizer.printing.canvas import ASCII, UNICODE
from optimizer.printing.elevation import elevation
from optimizer.printing.scale import Scale, row_step
from optimizer.units import Units

CEILING = 96.0
THICKNESS = 0.75
SHARES = st.lists(st.sampled_from([0.0, 0.3, 0.5, 1.0]), max_size=3, unique=True)
DROPS = {"short": 37.0, "medium": 51.0, "long": 63.0}


@st.composite
def stacks(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Zones from the floor up, as a bay may hold them, a board's thickness between."""
    zones: list[dict[str, Any]] = []
    free = 0.0
    if draw(st.booleans()):
        free = draw(st.floats(min_value=6, max_value=40))
        items = draw(st.lists(st.sampled_from(["hamper", "bin", "box of hats"]), max_size=4))
        zones.append({"kind": "floor", "bottom": 0, "top": free, "items": items})
    for kind in draw(st.lists(st.sampled_from(["shelf", "short", "medium", "long"]), max_size=7)):
        if kind == "shelf":
            bottom = max(free + THICKNESS, 3.5)
            top = bottom + draw(st.floats(min_value=6.25, max_value=20))
            zone = {"kind": "shelf", "bottom": bottom, "top": top}
            zone["items"] = draw(st.lists(st.sampled_from(["bin", "hats"]), max_size=2))
        else:
            rod = max(free, 3.0) + DROPS[kind]
            top = rod + 3
            zone = {
                "kind": "rod",
                "hang": kind,
                "bottom": rod - DROPS[kind],
                "top": top,
                "rod_height": rod,
            }
        if top > CEILING:
            break
        zones.append(zone)
        free = top
    return zones


@st.composite
def walls(draw: st.DrawFn) -> tuple[Brief, Layout]:
    """A wall of bays side by side, with things in the way wherever they happen to be."""
    bays: list[dict[str, Any]] = []
    free = draw(st.floats(min_value=THICKNESS, max_value=60))
    for number in range(draw(st.integers(min_value=1, max_value=6))):
        width = draw(st.floats(min_value=12, max_value=48))
        bays.append(
            {
                "id": f"back {number}",
                "wall": "back",
                "start": free,
                "width": width,
                "depth": 24,
                "height": draw(st.floats(min_value=12, max_value=CEILING)),
                "pattern": "any",
                "zones": draw(stacks()),
                "left": draw(st.sampled_from(["wall", "upright", "corner"])),
                "right": draw(st.sampled_from(["wall", "upright", "corner"])),
                "mid_supports": [free + width * share for share in draw(SHARES)],
            }
        )
        free += width + draw(st.sampled_from([THICKNESS, 2 * THICKNESS, 20.0]))
    length = free + draw(st.floats(min_value=0, max_value=200))
    brief = Brief.model_validate(
        {
            "room": {
                "ceiling_height": CEILING,
                "walls": [{"id": "back", "length": length}],
                "obstructions": [
                    {
                        "wall": "back",
                        "start": draw(st.floats(min_value=0, max_value=length - 6)),
                        "width": 5,
                        "bottom": draw(st.floats(min_value=0, max_value=88)),
                        "height": draw(st.floats(min_value=0.5, max_value=8)),
                        "may_cover": draw(st.booleans()),
                    }
                    for _ in range(draw(st.integers(min_value=0, max_value=3)))
                ],
            },
            "needs": {"short_hang": 12},
        }
    )
    return brief, Layout.model_validate({"bays": bays})


@given(stacks())
def test_no_row_is_taken_twice(zones: list[dict[str, Any]]) -> None:
    """Boards, rods and clear rows of a bay follow each other from the floor up."""
    bay = Bay.model_validate(
        {
            "id": "B",
            "wall": "B",
            "start": 1,
            "width": 30,
            "depth": 24,
            "height": 96,
            "pattern": "p",
            "zones": zones,
        }
    )
    scale = Scale(Units.INCH, 0, 72, 4 / 3, row_step(CEILING, Units.INCH), CEILING)
    taken: list[int] = []
    for level in levels_of(bay, scale):
        clear = list(range(level.low, level.high + 1))
        line = [] if level.line is None else [level.line]
        taken += clear + line if level.zone.kind == "rod" else line + clear
    assert taken == sorted(set(taken))


@settings(max_examples=60, deadline=None)
@given(walls(), st.sampled_from([60, 80, 100, 160]))
def test_drawings_keep_to_their_width(wall: tuple[Brief, Layout], width: int) -> None:
    """No line is too wide, in either set of characters, and both have the same lines."""
    brief, layout = wall
    plain = elevation(brief, layout, "back", width=width, symbols=ASCII)
    drawn = elevation(brief, layout, "back", width=width, symbols=UNICODE)
    assert max(map(len, plain + drawn)) <= width
    assert "".join(plain).isascii()
    assert len(plain) == len(drawn)
