"""Mid supports of placed bays: as few as hold, each on a stud."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from optimizer.domain.layout import Bay, Carried
from optimizer.domain.studs import stud_centres
from optimizer.geometry.outline import Outline
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.tiers import PieceLimits, longest_piece, support_places
from optimizer.structure.spans import through_piece

MOST_SUPPORTS = 8


def with_supports(
    bays: Sequence[Bay], outline: Outline, rules: BayRules
) -> tuple[tuple[Bay, ...], list[int]]:
    """Bays with the mid supports that they need, and the indexes of bays that no studs can carry.

    Bays that butt in a wrapped corner come first, since the load that they bring to the boards
    running through there depends on how far away their own next support is.
    """
    if rules.brief.construction.mid_support == "none":
        return tuple(bays), []
    placed = {bay.id: bay for bay in bays}
    lacking: list[int] = []
    butting = [Carried.CORNER in (bay.left, bay.right) for bay in bays]
    for index in sorted(range(len(bays)), key=lambda i: not butting[i]):
        bay = bays[index]
        found = _supported(bay, list(placed.values()), outline, rules)
        if found is None:
            lacking.append(index)
        else:
            placed[bay.id] = found
    return tuple(placed[bay.id] for bay in bays), lacking


def _supported(bay: Bay, bays: Sequence[Bay], outline: Outline, rules: BayRules) -> Bay | None:
    """The bay with the fewest supports that hold it, each on a stud; None where none do."""
    if bay.stiffened:
        return bay
    wall = rules.brief.room.wall(bay.wall)
    # A board over several supports may bear other lengths between them than one without.
    piece = longest_piece(bay.zones, bay.depth, rules, supported=True)
    first = _at_corner(bay, bays, outline, rules, at_left=True)
    last = _at_corner(bay, bays, outline, rules, at_left=False)
    plain = longest_piece(bay.zones, bay.depth, rules)
    studs = stud_centres(wall, rules.brief.units)
    for number in range(MOST_SUPPORTS + 1):
        limits = PieceLimits(piece if number else plain, first, last)
        found = support_places(bay.start, bay.end, limits, number, studs)
        if found is not None:
            return bay.model_copy(update={"mid_supports": found})
    return None


def _at_corner(
    bay: Bay, bays: Sequence[Bay], outline: Outline, rules: BayRules, *, at_left: bool
) -> float:
    """Longest allowed piece at an end of a bay, given what butts against its boards there."""
    butting = _butting(bay, bays, outline, at_left=at_left)
    if butting is None:
        return float("inf")
    places = (butting.start, *butting.mid_supports, butting.end)
    pieces = [high - low for low, high in pairwise(places)]
    # The bay on the wall before this one butts with its right end, the one after with its left.
    beside = pieces[-1] if at_left else pieces[0]
    construction, units = rules.brief.construction, rules.brief.units
    return through_piece(construction, units, bay.depth, butting.depth, beside)


def _butting(bay: Bay, bays: Sequence[Bay], outline: Outline, *, at_left: bool) -> Bay | None:
    """The bay of the next wall that butts against this one's boards at an end, if one does."""
    if (bay.left if at_left else bay.right) is not Carried.WALL:
        return None
    names = [wall.id for wall in outline.walls]
    for left, right in outline.inside_corners():
        own, other = (right, left) if at_left else (left, right)
        if names[own] != bay.wall:
            continue
        for candidate in bays:
            end = candidate.right if at_left else candidate.left
            if candidate.wall == names[other] and end is Carried.CORNER:
                return candidate
    return None
