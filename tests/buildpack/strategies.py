"""Random layouts of one wall that keep the rules: bays, boards, rods, gaps and strips."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Filler, Layout, Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.units import Units

_SIZES: dict[Units, dict[str, Any]] = {
    Units.INCH: {
        "panel": 0.75,
        "widths": (12.0, 36.0),
        "depths": (10.0, 12.0, 14.5, 16.0),
        "rod": (63.0, 66.75),
        "hang_depth": 24.0,
        "rises": (9.0, 15.0),
        "base": 3.5,
        "gap": (2.0, 9.0),
        "ceiling": 120.0,
    },
    Units.MILLIMETRE: {
        "panel": 18.0,
        "widths": (300.0, 900.0),
        "depths": (250.0, 300.0, 355.0, 400.0),
        "rod": (1600.0, 1693.0),
        "hang_depth": 600.0,
        "rises": (230.0, 380.0),
        "base": 90.0,
        "gap": (50.0, 230.0),
        "ceiling": 3000.0,
    },
}


def _on_grid(units: Units, low: float, high: float) -> st.SearchStrategy[float]:
    """Multiples of the cutting grid from `low` to `high`."""
    grid = units.grid
    return st.integers(round(low / grid), round(high / grid)).map(lambda steps: steps * grid)


@st.composite
def _zones(draw: st.DrawFn, units: Units) -> tuple[Zone, ...]:
    """A stack of shelves, or one long rod under one board; tops reach what is above."""
    sizes = _SIZES[units]
    panel, depth = sizes["panel"], draw(st.sampled_from(sizes["depths"]))
    if draw(st.booleans()):
        drop, board = sizes["rod"]
        lift = draw(_on_grid(units, 3 * units.from_inch(1), 9 * units.from_inch(1)))
        return (
            Zone(
                kind=ZoneKind.ROD,
                bottom=lift,
                top=lift + board - panel,
                depth=sizes["hang_depth"],
                hang=Hang.LONG,
                rod_height=lift + drop,
            ),
            Zone(kind=ZoneKind.SHELF, bottom=lift + board, top=sizes["ceiling"], depth=depth),
        )
    rises = draw(st.lists(_on_grid(units, *sizes["rises"]), min_size=0, max_size=6))
    tops = [sizes["base"]]
    for rise in rises:
        tops.append(tops[-1] + rise)
    ends = [*(top - panel for top in tops[1:]), sizes["ceiling"]]
    return tuple(
        Zone(kind=ZoneKind.SHELF, bottom=top, top=end, depth=depth)
        for top, end in zip(tops, ends, strict=True)
    )


def _brief(units: Units, length: float, **construction: Any) -> Brief:
    """Walls V, W and X that meet at inside corners, W of that length."""
    deep = 3.0 * _SIZES[units]["hang_depth"]
    walls = [
        {"id": "V", "length": deep},
        {"id": "W", "length": length},
        {"id": "X", "length": deep},
    ]
    return Brief.model_validate(
        {
            "units": units.value,
            "room": {"ceiling_height": _SIZES[units]["ceiling"], "walls": walls},
            "needs": {"shelf_length": 100},
            "construction": construction,
        }
    )


@st.composite
def layouts(draw: st.DrawFn) -> tuple[Brief, Layout]:
    """One to four bays on a wall between two others, in either system of units.

    Ends on uprights or on the side walls, lines level or free, some bays with a mid support.
    """
    units = draw(st.sampled_from(list(Units)))
    sizes = _SIZES[units]
    panel = sizes["panel"]
    bays: list[Bay] = []
    fillers: list[Filler] = []
    on_wall, at_end = draw(st.booleans()), draw(st.booleans())
    here = -panel if on_wall else draw(st.sampled_from([0.0, *sizes["gap"]]))
    count = draw(st.integers(1, 4))
    alike = draw(st.booleans())
    same = draw(_zones(units)) if alike else None
    for number in range(1, count + 1):
        if bays:
            joint = draw(st.sampled_from(["shared", "own", "filler", "open"]))
            gap = draw(_on_grid(units, *sizes["gap"]))
            if joint == "filler":
                start = here + panel
                fillers.append(Filler(wall="W", start=start, width=gap, kind="filler"))
            here += {"shared": 0.0, "own": panel}.get(joint, panel + gap)
        zones = same or draw(_zones(units))
        width = draw(_on_grid(units, *sizes["widths"]))
        stiffened = draw(st.booleans())
        start = here + panel
        mids = () if stiffened or draw(st.booleans()) else (start + width / 2.0,)
        bay = Bay(
            id=f"W{number}",
            wall="W",
            start=start,
            width=width,
            depth=max(zone.depth or 0.0 for zone in zones),
            pattern="random",
            zones=zones,
            height=zones[-1].bottom,
            stiffened=stiffened,
            left=Carried.WALL if on_wall and number == 1 else Carried.UPRIGHT,
            right=Carried.WALL if at_end and number == count else Carried.UPRIGHT,
            mid_supports=mids,
        )
        bays.append(bay)
        here = bay.end
    rest = draw(st.sampled_from([0.0, *sizes["gap"]]))
    layout = Layout(bays=tuple(bays), fillers=tuple(fillers))
    length = here if at_end else here + panel + rest
    return _brief(units, length, top_line=draw(st.sampled_from(["level", "free"]))), layout
