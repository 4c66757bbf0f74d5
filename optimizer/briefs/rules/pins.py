"""Rules of pins: bays to keep lie on their wall, apart from each other and from openings."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.briefs.rules.features import unknown_wall
from optimizer.domain.brief import Pin
from optimizer.errors import Fault


def _fit(view: BriefView) -> Iterator[Fault]:
    """A pinned bay and its uprights, if no wall carries it, stand on a wall that exists."""
    panel = view.brief.construction.panel_thickness
    for i, pin in enumerate(view.brief.pins):
        pointer = f"/pins/{i}"
        wall = view.wall(pin.wall)
        if wall is None:
            yield unknown_wall(view, pointer, pin.wall)
            continue
        left, right = view.ends_carried(view.wall_index[pin.wall])
        after = wall.clear_length - pin.start - pin.width
        if not _has_room(view, pin.start, panel, carried=left):
            yield Fault(
                f"{pointer}/start",
                f"a bay at {view.say(pin.start)} leaves no room for its left upright of "
                f"{view.say(panel)}{_or_at_end(left)}",
                "outside_wall",
            )
        if not _has_room(view, after, panel, carried=right):
            yield Fault(
                f"{pointer}/{'start' if pin.start >= wall.clear_length else 'width'}",
                f"a bay to {view.say(pin.start + pin.width)} and its right upright of "
                f"{view.say(panel)} reach beyond wall {wall.id}, which is "
                f"{view.say(wall.clear_length)} long{_or_at_end(right)}",
                "outside_wall",
            )


def _has_room(view: BriefView, free: float, panel: float, *, carried: bool) -> bool:
    """Whether an upright stands in `free` of wall, or the next wall there carries the bay."""
    # Anything between is refused: a gap too narrow for an upright, at an end that then nothing
    # carries.
    return free >= panel - view.tolerance or (carried and abs(free) <= view.tolerance)


def _or_at_end(carried: bool) -> str:
    """A hint for a pin that would stand if it touched the end of the wall."""
    return "; at the very end of the wall the next one would carry it" if carried else ""


def _widths(view: BriefView) -> Iterator[Fault]:
    """A pinned bay is as wide as a bay may be."""
    construction = view.brief.construction
    for i, pin in enumerate(view.brief.pins):
        low, high = construction.min_bay_width, construction.max_bay_width
        if not low - view.tolerance <= pin.width <= high + view.tolerance:
            yield Fault(
                f"/pins/{i}/width",
                f"a bay {view.say(pin.width)} wide is not between {view.say(low)} and "
                f"{view.say(high)}",
                "bay_widths",
            )


def _apart(view: BriefView) -> Iterator[Fault]:
    """Pinned bays of one wall share one upright or have two."""
    panel = view.brief.construction.panel_thickness
    for i, j in combinations(range(len(view.brief.pins)), 2):
        left, right = sorted((view.brief.pins[i], view.brief.pins[j]), key=lambda pin: pin.start)
        if left.wall != right.wall:
            continue
        gap = right.start - (left.start + left.width)
        # Exactly a panel apart they share one; else there must be room for two.
        shared = abs(gap - panel) <= view.tolerance
        if not shared and gap < 2 * panel - view.tolerance:
            yield Fault(
                f"/pins/{j}/start",
                f"bays at {view.say(left.start)} and {view.say(right.start)} on wall {left.wall} "
                f"are {view.say(gap)} apart; one shared upright takes {view.say(panel)}, two take "
                f"{view.say(2 * panel)}",
                "overlap",
            )


def _beside_openings(view: BriefView) -> Iterator[Fault]:
    """No pinned bay stands in an opening or over its casing."""
    panel = view.brief.construction.panel_thickness
    for i, pin in enumerate(view.brief.pins):
        for _, opening, _ in view.openings:
            if opening.wall == pin.wall and _covers(
                pin,
                panel + opening.casing - view.tolerance,
                opening.start,
                opening.start + opening.width,
            ):
                yield Fault(
                    f"/pins/{i}/start",
                    f"a bay from {view.say(pin.start)} to {view.say(pin.start + pin.width)}, with "
                    f"its uprights, stands over the opening from {view.say(opening.start)} to "
                    f"{view.say(opening.start + opening.width)} of wall {pin.wall} or its casing",
                    "overlap",
                )


def _covers(pin: Pin, margin: float, low: float, high: float) -> bool:
    """Whether a bay widened by `margin` on both sides overlaps [low, high]."""
    return pin.start - margin < high and low < pin.start + pin.width + margin


RULES = (
    Rule(_fit, ("pins", "room.walls", "construction")),
    Rule(_widths, ("pins", "construction")),
    Rule(_apart, ("pins", "construction.panel_thickness")),
    Rule(_beside_openings, ("pins", "room.walls", "room.openings", "construction.panel_thickness")),
)
