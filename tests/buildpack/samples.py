"""Layouts made by hand, with every figure chosen so that a reader can follow it."""

from __future__ import annotations

from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Filler, Layout, Zone, ZoneKind
from optimizer.domain.needs import Hang


def shelf(bottom: float, top: float, depth: float, *items: str) -> Zone:
    """A shelf zone; its board's top is at `bottom`."""
    return Zone(kind=ZoneKind.SHELF, bottom=bottom, top=top, depth=depth, items=items)


def rod(bottom: float, height: float, top: float, hang: Hang, depth: float = 24.0) -> Zone:
    """A rod zone of clothes down to `bottom`."""
    return Zone(
        kind=ZoneKind.ROD, bottom=bottom, top=top, depth=depth, hang=hang, rod_height=height
    )


def reach_in_brief(**construction: Any) -> Brief:
    """A closet 72 in wide and 24 in deep under a ceiling of 96 in, studs given.

    Lines are free unless told: each bay's top board lies between its uprights.
    """
    return Brief.model_validate(
        {
            "name": "Hall closet",
            "room": {
                "ceiling_height": 96,
                "walls": [
                    {"id": "A", "length": 24},
                    {"id": "B", "length": 72, "studs": {"spacing": 16, "first": 9}},
                    {"id": "C", "length": 24},
                    {"id": "D", "length": 72},
                ],
                "openings": [{"wall": "D", "start": 12, "width": 48, "kind": "bifold"}],
            },
            "needs": {"long_hang": 30, "shelf_length": 120},
            "construction": {"top_line": "free", **construction},
        }
    )


def reach_in_bays() -> tuple[Bay, Bay]:
    """Two bays that share one upright: 3/4 + 34-1/2 + 3/4 + 35-1/4 + 3/4 = 72."""
    hanging = Bay(
        id="B1",
        wall="B",
        start=0.75,
        width=34.5,
        depth=24.0,
        pattern="long under two shelves",
        zones=(rod(3.0, 66.0, 69.0, Hang.LONG), shelf(69.75, 81.0, 12.0), shelf(81.75, 96.0, 12.0)),
        height=81.75,
    )
    shelves = Bay(
        id="B2",
        wall="B",
        start=36.0,
        width=35.25,
        depth=12.0,
        pattern="seven shelves",
        zones=(*(shelf(3.5 + 12 * i, 14.75 + 12 * i, 12.0) for i in range(6)), shelf(75.5, 96, 12)),
        height=75.5,
    )
    return hanging, shelves


def reach_in() -> tuple[Brief, Layout]:
    """The reach-in with its two bays."""
    return reach_in_brief(), Layout(bays=reach_in_bays())


def metric_brief(**construction: Any) -> Brief:
    """A single wall of 2000 mm in an open run, millimetres, studs not given, lines free."""
    return Brief.model_validate(
        {
            "name": "Nook",
            "units": "mm",
            "room": {"ceiling_height": 2400, "walls": [{"id": "N", "length": 2000}]},
            "needs": {"short_hang": 800, "shelf_length": 3000},
            "construction": {"top_line": "free", **construction},
        }
    )


def metric() -> tuple[Brief, Layout]:
    """One stiffened shelf bay and one double-hang bay with uprights of their own.

    A filler of 60 mm closes the gap between them; the rest of the wall stays open.
    """
    shelves = Bay(
        id="N1",
        wall="N",
        start=18.0,
        width=900.0,
        depth=400.0,
        pattern="three shelves",
        zones=(shelf(90, 882, 400), shelf(900, 1782, 400), shelf(1800, 2400, 400)),
        height=1800.0,
        stiffened=True,
    )
    hanging = Bay(
        id="N2",
        wall="N",
        start=1014.0,
        width=800.0,
        depth=600.0,
        pattern="short over short",
        zones=(
            rod(75, 1015, 1090, Hang.SHORT, 600.0),
            rod(1090, 2030, 2105, Hang.SHORT, 600.0),
            shelf(2123, 2400, 300),
        ),
        height=2123.0,
    )
    filler = Filler(wall="N", start=936.0, width=60.0, kind="filler")
    layout = Layout(bays=(shelves, hanging), fillers=(filler,))
    return metric_brief(), layout
