"""Briefs and layouts for strength: bays of shelves and of rods, ends carried in every way."""

from __future__ import annotations

from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Layout, Zone, ZoneKind
from optimizer.domain.needs import Hang

T = 0.75
LINE = 84.0


def shelves(
    count: int, depth: float, spacing: float = 12.0, line: float = LINE
) -> tuple[Zone, ...]:
    """So many boards counted down from the line."""
    tops = [line - spacing * index for index in range(count)][::-1]
    ends = [*(top - T for top in tops[1:]), line + 12.0]
    return tuple(
        Zone(kind=ZoneKind.SHELF, bottom=top, top=end, depth=depth)
        for top, end in zip(tops, ends, strict=True)
    )


def hanging(depth: float = 12.0, line: float = LINE) -> tuple[Zone, ...]:
    """One rod under one board at the line."""
    rod = line - T - 3.0
    return (
        Zone(
            kind=ZoneKind.ROD,
            bottom=rod - 63.0,
            top=line - T,
            depth=24.0,
            hang=Hang.LONG,
            rod_height=rod,
        ),
        Zone(kind=ZoneKind.SHELF, bottom=line, top=line + 12.0, depth=depth),
    )


def double(depth: float = 12.0) -> tuple[Zone, ...]:
    """Two rods, the lower one under a board at 42 in, the upper one under the line."""
    return (
        Zone(
            kind=ZoneKind.ROD, bottom=1.25, top=41.25, depth=24.0, hang=Hang.SHORT, rod_height=38.25
        ),
        Zone(kind=ZoneKind.SHELF, bottom=42.0, top=43.25, depth=depth),
        Zone(
            kind=ZoneKind.ROD,
            bottom=43.25,
            top=83.25,
            depth=24.0,
            hang=Hang.SHORT,
            rod_height=80.25,
        ),
        Zone(kind=ZoneKind.SHELF, bottom=84.0, top=96.0, depth=depth),
    )


def bay(
    name: str,
    wall: str,
    start: float,
    width: float,
    zones: tuple[Zone, ...],
    **more: Any,
) -> Bay:
    """A bay whose height is its highest board."""
    return Bay(
        id=name,
        wall=wall,
        start=start,
        width=width,
        depth=max(zone.depth or 0.0 for zone in zones),
        pattern="by hand",
        zones=zones,
        height=max(zone.bottom for zone in zones if zone.kind is ZoneKind.SHELF),
        **more,
    )


def room(lengths: tuple[float, ...] = (36.0, 60.0, 36.0), **construction: Any) -> Brief:
    """An open run of walls that meet at inside corners, studs 16 in apart from 16 in."""
    walls = [
        {"id": "ABCDEF"[index], "length": length, "studs": {"spacing": 16, "first": 16}}
        for index, length in enumerate(lengths)
    ]
    return Brief.model_validate(
        {
            "room": {"ceiling_height": 96, "walls": walls},
            "needs": {"shelf_length": 100},
            "construction": construction,
        }
    )


def alcove(width: float = 36.0, depth: float = 16.0, **construction: Any) -> tuple[Brief, Layout]:
    """A pantry from wall to wall: seven boards 12 in apart, no upright."""
    brief = room((depth, width, depth), **construction)
    pantry = bay("B1", "B", 0.0, width, shelves(7, depth), left=Carried.WALL, right=Carried.WALL)
    return brief, Layout(bays=(pantry,))


def wrapped(
    through: float = 33.0, joined: float = 30.0, depth: float = 12.0, **construction: Any
) -> tuple[Brief, Layout]:
    """Shelves on wall A up to the corner, and on B from the corner, carried by A there.

    B's boards run through to wall A; A's butt against their front edge.
    """
    brief = room((joined + depth + T, through + T), **construction)
    first = bay("A1", "A", T, joined, shelves(6, depth), right=Carried.CORNER)
    second = bay("B1", "B", 0.0, through, shelves(6, depth), left=Carried.WALL)
    return brief, Layout(bays=(first, second))
