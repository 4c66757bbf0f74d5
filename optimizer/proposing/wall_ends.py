"""Ends of bays from uprights that stand at a side wall onto that wall, where it carries them.

A search that stops at its gap may leave such an upright, which a builder would not put up.
"""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.checking import check_layout
from optimizer.domain.layout import Bay, Carried, Layout
from optimizer.model.search.alternatives import Search
from optimizer.proposing.assembly import assembled
from optimizer.tolerances import FINE

AT_WALL_IN = 1.0
"""An upright this near to the side wall stands at it: no more than a scribed strip is between."""


def onto_walls(search: Search, layout: Layout) -> Layout:
    """The layout with such ends on their walls; itself where none can be.

    Each has passed the checker, scores no less and leaves no need shorter.
    """
    for number, side in list(_at_walls(search, layout)):
        bays = tuple(
            _widened(search, bay, side) if place == number else bay
            for place, bay in enumerate(layout.bays)
        )
        if check_layout(search.brief, Layout(bays=bays, mounts=layout.mounts)):
            continue
        made = assembled(search, bays, layout.bound, layout.status, layout.mounts)
        if _as_good(layout, made) and not check_layout(search.brief, made):
            layout = made
    return layout


def _at_walls(search: Search, layout: Layout) -> Iterator[tuple[int, str]]:
    """Bays by their places, with the side at which their upright stands at a wall."""
    if search.brief.construction.wall_ends != "cleats":
        return
    near = search.rules.panel + search.brief.units.from_inch(AT_WALL_IN) + FINE
    pins = {(pin.wall, pin.start, pin.width) for pin in search.brief.pins}
    for number, bay in enumerate(layout.bays):
        if (bay.wall, bay.start, bay.width) in pins:
            continue
        if bay.left is Carried.UPRIGHT and bay.start <= near:
            yield number, "left"
        if bay.right is Carried.UPRIGHT and _length(search, bay) - bay.end <= near:
            yield number, "right"


def _length(search: Search, bay: Bay) -> float:
    """Length of a bay's wall in the room as it closes."""
    lines = search.surveyed.outline.walls
    return next(line.length for line in lines if line.id == bay.wall)


def _widened(search: Search, bay: Bay, side: str) -> Bay:
    """The bay up to the wall's end at that side, carried there by the side wall."""
    if side == "left":
        return bay.model_copy(update={"start": 0.0, "width": bay.end, "left": Carried.WALL})
    width = _length(search, bay) - bay.start
    return bay.model_copy(update={"width": width, "right": Carried.WALL})


def _as_good(before: Layout, now: Layout) -> bool:
    """Whether a layout scores no less, and leaves no need shorter."""
    short = {need.need: need.shortfall for need in before.unmet}
    return now.score >= before.score - FINE and all(
        need.shortfall <= short.get(need.need, 0.0) + FINE for need in now.unmet
    )
