"""R9 Access: enough of every bay's front is open and reached over free floor.

Shelves that run through a wrapped corner are reached past the end of those that butt against
them: no upright stands there, and both are as deep as an arm is long at most. So the stretch
behind the butting bay counts as open and reached wherever the butting bay's own front is
walked up to the corner.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import shapely

from optimizer.checking.case import Case, Placed
from optimizer.checking.floors import way_width
from optimizer.checking.shapes import Interval, Rect, common_part, united, without
from optimizer.checking.wraps import Wrap, wraps
from optimizer.errors import Fault


def check_access(case: Case, walked: Any) -> Iterator[Fault]:
    """Findings on bays that cannot be got at over the floor that is walked."""
    wrapped = list(wraps(case))
    for placed in case.bays:
        yield from _front(case, placed, walked, wrapped)


def _spans(placed: Placed, geometry: Any) -> list[Interval]:
    """Stretches along a bay's wall that a piece of plan covers."""
    spans = []
    for part in shapely.get_parts(geometry):
        if not part.is_empty:
            # Bounds are enough: walls and fronts are parallel to the axes.
            west, south, east, north = part.bounds
            ends = [placed.wall.local(corner)[0] for corner in ((west, south), (east, north))]
            spans.append((min(ends), max(ends)))
    return united(spans)


def _before(case: Case, placed: Placed) -> Rect:
    """The floor within the aisle before a bay's clear width."""
    depth = placed.bay.depth
    # A strip, however thin, where no aisle is asked for: a front needs floor to be reached from.
    out = (depth, depth + max(case.brief.needs.aisle, 10.0 * case.tolerance))
    return placed.wall.rect(placed.clear, out)


def walked_before(case: Case, placed: Placed, walked: Any) -> list[Interval]:
    """Stretches of a bay's front that one can stand before."""
    return _spans(placed, _before(case, placed).shape().intersection(walked))


def _blocked(case: Case, placed: Placed, past: list[Wrap]) -> Iterator[Interval]:
    """Stretches of a bay's front that bays round a corner stand before.

    Facing bays are left to the rule of the aisle; those of `past` are reached past (see above).
    """
    front = _before(case, placed)
    butting = {wrap.butting.index for wrap in past}
    for other in case.bays:
        beside = other is not placed and not placed.wall.faces(other.wall)
        # A bay of the same wall stands beside it, a facing one is R8's: in front are bays round a
        # corner.
        if other.index in butting or not beside:
            continue
        if front.overlaps(other.footprint, case.tolerance):
            yield placed.wall.local_rect(other.footprint)[0]


def _reached_past(case: Case, wrap: Wrap, walked: Any) -> bool:
    """Whether one can stand before a butting bay right at the corner."""
    end = wrap.inner_end
    spans = walked_before(case, wrap.butting, walked)
    return any(low - case.tolerance <= end <= high + case.tolerance for low, high in spans)


def _front(case: Case, placed: Placed, walked: Any, wrapped: list[Wrap]) -> Iterator[Fault]:
    """R9: one piece of the front is open, reached and long enough."""
    bay = placed.bay
    # Where its boards run through the corner, the bay is also reached past the bay that butts.
    past = [
        wrap for wrap in wrapped if wrap.through is placed and _reached_past(case, wrap, walked)
    ]
    open_pieces = without(placed.clear, _blocked(case, placed, past))
    got_at = united([*walked_before(case, placed, walked), *(wrap.hidden for wrap in past)])
    # A stretch may be open and not walked up to, or walked up to and not open: it has to be both.
    shared = [common_part(piece, span) for piece in open_pieces for span in got_at]
    longest = max((high - low for low, high in shared), default=0.0)
    wanted = min(bay.width, case.brief.construction.corner_opening)
    if longest < wanted - case.tolerance:
        widest = max((high - low for low, high in open_pieces), default=0.0)
        yield Fault(
            placed.pointer,
            f"bay {bay.id} has {case.say(widest)} of open front in one piece, of which "
            f"{case.say(max(longest, 0.0))} is reached over floor {case.say(way_width(case))} "
            f"wide; {case.say(wanted)} is the least",
            "access",
        )
