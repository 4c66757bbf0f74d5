"""Layouts of one wall that may be as crowded as can be, with part ids or without."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from optimizer.units import Units
from tests.drawing.samples import Raw, Sample, sample

NAMES = st.text(
    st.sampled_from("ABCxyz0189 -_.<>&\"'%^\\{}\u00e9\u00d7\u4e2d\u0416\t\n"),
    min_size=1,
    max_size=40,
)

SHARES = st.lists(st.sampled_from([0.25, 0.5, 0.8]), max_size=2, unique=True)
"""Where mid supports stand in a bay, as parts of its width."""


@st.composite
def crowded(draw: st.DrawFn) -> Sample:
    """One to nine bays of any width from a hand's breadth, any stack, odd ids."""
    units = draw(st.sampled_from(Units))
    per = 1.0 if units is Units.INCH else 25.0
    panel = 0.75 if units is Units.INCH else 18.0
    ceiling = draw(st.sampled_from([72.0, 96.0, 120.0])) * per
    items = [
        {"id": f"thing {n}", "width": draw(st.integers(1, 20)) * per, "depth": 6 * per,
         "height": draw(st.integers(2, 30)) * per, "place": "any"}
        for n in range(draw(st.integers(0, 3)))
    ]  # fmt: skip
    bays: list[Raw] = []
    here = draw(st.sampled_from([0.0, 0.5, 4.0])) * per
    names = draw(st.lists(NAMES, min_size=1, max_size=9, unique=True))
    for number, name in enumerate(names):
        width = draw(st.sampled_from([2.0, 3.5, 6.0, 11.9375, 18.0, 30.0, 47.0])) * per
        zones = _stack(draw, per, ceiling, panel)
        if number < len(items):
            zones[0]["items"] = [items[number]["id"]] * draw(st.integers(1, 2))
        tops = [z["bottom"] for z in zones if z["kind"] == "shelf"]
        first = not bays and here == 0.0 and draw(st.booleans())
        start = here if first else here + panel
        bays.append(
            {"id": name, "wall": "W", "start": start, "width": width, "depth": 24 * per,
             "pattern": "any", "height": max(tops, default=30 * per), "zones": zones,
             "left": draw(st.sampled_from(["wall", "corner"])) if first else "upright",
             "mid_supports": [start + width * share for share in draw(SHARES)]}
        )  # fmt: skip
        here = start + width + draw(st.sampled_from([0.0, panel, panel + 3 * per]))
    at_wall = draw(st.booleans())
    if at_wall:
        bays[-1]["right"] = "wall"
        here = bays[-1]["start"] + bays[-1]["width"]
    boxes = draw(st.lists(_kept_clear(here, per), max_size=2))
    brief: dict[str, Any] = {
        "units": units.value,
        "name": draw(NAMES),
        "room": {
            "ceiling_height": ceiling,
            "walls": [{"id": "W", "length": here if at_wall else here + 2 * panel + 5 * per}],
            "keep_clear": boxes,
        },
        "needs": {"shelf_length": 10, "items": items},
        "construction": {
            "top_line": draw(st.sampled_from(["level", "free"])),
            "mid_support": draw(st.sampled_from(["triangle", "bracket"])),
        },
    }
    return sample(brief, bays)


def _kept_clear(length: float, per: float) -> st.SearchStrategy[Raw]:
    """A box that nothing may stand in, anywhere at the wall."""
    return st.fixed_dictionaries(
        {
            "wall": st.just("W"),
            "start": st.floats(0, 0.9).map(lambda share: share * length),
            "width": st.integers(1, 30).map(lambda size: size * per),
            "bottom": st.integers(0, 60).map(lambda size: size * per),
            "height": st.integers(2, 60).map(lambda size: size * per),
            "depth": st.just(20 * per),
            "why": st.sampled_from(["", "heater", "room to work " * 5]),
        }
    )


def _stack(draw: st.DrawFn, per: float, ceiling: float, panel: float) -> list[Raw]:
    """Zones of one bay from the floor up."""
    kind = draw(st.sampled_from(["shelves", "double", "long", "open"]))
    top = ceiling - draw(st.integers(2, 20)) * per
    if kind == "open":
        return [
            {"kind": "floor", "bottom": 0, "top": 30 * per, "depth": 20 * per},
            {"kind": "shelf", "bottom": 30 * per + panel, "top": ceiling, "depth": 12 * per},
        ]
    if kind == "shelves":
        step = draw(st.integers(3, 16)) * per
        tops = [3 * per + i * step for i in range(int((top - 3 * per) / step) + 1)]
        ends = [t - panel for t in tops[1:]] + [ceiling]
        return [
            {"kind": "shelf", "bottom": t, "top": end, "depth": 12 * per}
            for t, end in zip(tops, ends, strict=True)
        ]
    half = (top - 4 * per) / 2 if kind == "double" else 0.0
    spans = [(0.0, half), (half, top - panel)] if half else [(3 * per, top - panel)]
    rods: list[Raw] = [
        {"kind": "rod", "hang": "short", "bottom": low, "top": high,
         "rod_height": max(low, high - 3 * per), "depth": 24 * per}
        for low, high in spans
    ]  # fmt: skip
    return [*rods, {"kind": "shelf", "bottom": top, "top": ceiling, "depth": 12 * per}]
