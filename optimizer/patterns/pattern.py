"""One bay pattern: a stack of zones with the widths it may take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.patterns.measures import Measures


@dataclass(frozen=True, slots=True)
class Pattern:
    """A vertical stack of zones, its depth, upright height and range of widths.

    Up to `plain_width` its boards need no stiffener, beyond it they do. A `hosting` pattern
    has a floor zone made for items and is only used with some in it.
    """

    label: str
    kind: str
    zones: tuple[Zone, ...]
    depth: float
    height: float
    min_width: float
    plain_width: float
    max_width: float
    hosting: bool
    measures: Measures

    def stiffened(self, width: float) -> bool:
        """Whether a bay of this width needs stiffeners."""
        return width > self.plain_width + 1e-6


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def label_of(zones: Sequence[Zone]) -> str:
    """Name of a stack, bottom to top: floor:26.5+short@69.5+shelf@73.25, shelves counted."""
    parts: list[str] = []
    run: list[Zone] = []

    def close_run() -> None:
        if run:
            times = f"*{len(run)}" if len(run) > 1 else ""
            depth = "" if run[0].depth is None else f"x{_number(run[0].depth)}"
            parts.append(f"shelf{times}{depth}@{_number(run[0].bottom)}")
            run.clear()

    for zone in zones:
        if zone.kind is ZoneKind.SHELF:
            run.append(zone)
            continue
        close_run()
        if zone.kind is ZoneKind.FLOOR:
            parts.append(f"floor:{_number(zone.top)}")
        else:
            parts.append(f"{zone.hang}@{_number(zone.rod_height or 0.0)}")
    close_run()
    return "+".join(parts)


def look_of(zones: Sequence[Zone]) -> str:
    """What tells a bay from another one at a glance: its rods, or its shelves.

    What is under a rod does not count: it can be moved in an afternoon.
    """
    rods = [str(zone.hang) for zone in zones if zone.kind is ZoneKind.ROD]
    if rods:
        return "+".join(rods)
    return "shelves over floor" if zones and zones[0].kind is ZoneKind.FLOOR else "shelves"


def kind_of(zones: Sequence[Zone]) -> str:
    """What a person sees a bay as: its rods or its shelves, and what is under them."""
    rods = [str(zone.hang) for zone in zones if zone.kind is ZoneKind.ROD]
    head = "+".join(rods) if rods else "shelves"
    if zones and zones[0].kind is ZoneKind.FLOOR:
        return f"{head} over floor"
    if rods and zones[0].kind is ZoneKind.SHELF:
        return f"{head} over shelves"
    return head
