"""Patterns of pinned bays: a pin names a pattern, which has to be found among those enumerated."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import replace

from optimizer.domain.brief import Pin
from optimizer.domain.layout import Carried
from optimizer.errors import BriefError, Fault
from optimizer.geometry.outline import Outline, outline_of
from optimizer.geometry.stretches import Stretch, survey
from optimizer.model.merged_stretches import merged
from optimizer.patterns.column import Column, column_of
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.pattern import Pattern, former_label_of
from optimizer.patterns.thresholds import height_thresholds
from optimizer.tolerances import FINE, TOUCH
from optimizer.units import format_length

MOST_NAMED = 12
"""Patterns named when a pin is refused."""


def pinned(
    stretch: Stretch, column: Column, catalogue: Catalogue, *, in_corner: bool = False
) -> Pattern | None:
    """The pattern of a stretch's pinned bay, at just its width; BriefError where it cannot stand.

    Obstructions between its uprights block its zones, but not the uprights. None for a bay
    `in_corner` that only stiffened boards would span, since stiffened boards are not allowed there.
    """
    pin = stretch.pin
    assert pin is not None  # noqa: S101 - asked for pinned stretches alone
    brief = catalogue.rules.brief
    pointer = f"/pins/{next(i for i, other in enumerate(brief.pins) if other is pin)}"
    pattern = _known(pin, column, catalogue)
    if pattern is None:
        some = ", ".join(p.label for p in catalogue.patterns(column)[:MOST_NAMED]) or "none"
        raise _refused(pointer, f"{pin.pattern!r} cannot stand there; what can: {some}")
    _check_ends(pin, stretch, outline_of(brief.room, brief.units), pointer)
    if Carried.UPRIGHT in (pin.left, pin.right) and not pattern.stands_in(
        replace(column, blocks=stretch.beside)
    ):
        raise _refused(pointer, f"the uprights of {pin.pattern!r} would stand in something")
    if not pattern.min_width - FINE <= pin.width <= pattern.max_width + FINE:
        low, high = (format_length(w, brief.units) for w in (pattern.min_width, pattern.max_width))
        raise _refused(pointer, f"a bay of {pin.pattern!r} is {low} to {high} wide")
    tiers = [tier for tier in pattern.tiers if pin.width <= tier.width + FINE]
    tiers = [tier for tier in tiers if not (in_corner and tier.stiffened)]
    if not tiers:
        return None
    kept = tiers[:1]
    if kept[0].stiffened or (in_corner and not kept[0].supports):
        # Mid supports may be chosen instead of stiffeners, and what butts against a bay in a
        # corner may ask for one that its own width does not.
        kept += [tier for tier in tiers if tier.supports][:1]
    return replace(
        pattern,
        # As it was asked for: a stored pin may use the former name.
        label=pin.pattern,
        min_width=pin.width,
        tiers=tuple(replace(tier, width=pin.width) for tier in kept),
    )


def _check_ends(pin: Pin, stretch: Stretch, outline: Outline, pointer: str) -> None:
    """An end on the wall lies at the wall's end."""
    length = outline.walls[stretch.wall].length
    gaps = {"left": pin.start, "right": length - pin.start - pin.width}
    for side, carried in (("left", pin.left), ("right", pin.right)):
        if carried is Carried.WALL and gaps[side] > TOUCH:
            raise _refused(pointer, f"its {side} end is carried by the wall, but not at its end")


def _known(pin: Pin, column: Column, catalogue: Catalogue) -> Pattern | None:
    """The pattern that a pin names: of its own stretch, or of the wall around it.

    The bay may come from a stretch longer than itself, or have been dropped here for one that is
    never worse.
    """

    def named(name: Callable[[Pattern], str]) -> Iterator[Pattern]:
        """Patterns that the pin names; the wall around is looked at where its stretch has none."""
        for patterns in _offered(pin, column, catalogue):
            yield from (pattern for pattern in patterns if name(pattern) == pin.pattern)

    # Pins of stored studies may have the name that told less.
    found = itertools.chain(named(lambda pattern: pattern.label), named(_former))
    return next((pattern for pattern in found if fits(pattern, column, catalogue)), None)


def _offered(pin: Pin, column: Column, catalogue: Catalogue) -> Iterator[tuple[Pattern, ...]]:
    """Patterns that a pin may name: those of its stretch, dropped ones too, then of the wall around
    it."""
    yield catalogue.patterns(column)
    yield catalogue.every(column)
    yield from _around(pin, catalogue)


def _former(pattern: Pattern) -> str:
    """The former name of a pattern."""
    return former_label_of(pattern.zones, hosting=pattern.hosting)


def _around(pin: Pin, catalogue: Catalogue) -> Iterator[tuple[Pattern, ...]]:
    """Patterns of the stretches that the pin lies in, in the room as it is cut without pins."""
    brief = catalogue.rules.brief.unpinned()
    names = [wall.id for wall in brief.room.walls]
    thresholds = height_thresholds(catalogue.rules, catalogue.ladder)
    room = merged(survey(brief, outline_of(brief.room, brief.units), thresholds), catalogue)
    own = [stretch for stretch in room.stretches if names[stretch.wall] == pin.wall]
    over = [s for s in own if s.start < pin.start + pin.width - TOUCH and s.end > pin.start]
    whole = bool(over) and over[0].start <= pin.start + TOUCH
    if whole and over[-1].end >= pin.start + pin.width - TOUCH:
        yield catalogue.patterns(column_of(over))


def fits(pattern: Pattern, column: Column, catalogue: Catalogue) -> bool:
    """Whether all zones and boards of a pattern are free of obstructions in a column."""
    if pattern.depth > column.depth + FINE:
        return False
    boards = {id(board) for board in pattern.boards}
    return all(
        column.free(
            zone.bottom - (catalogue.rules.panel if id(zone) in boards else 0.0),
            zone.top,
            zone.depth or pattern.depth,
        )
        for index, zone in enumerate(pattern.zones)
        # An empty floor under the first board may have something in it: it is open floor.
        if index or pattern.hosting or id(zone) in boards
    )


def _refused(pointer: str, detail: str) -> BriefError:
    """The error of a pin that cannot be kept, at its pointer."""
    return BriefError([Fault(pointer, f"the pin cannot be kept: {detail}", "pin_refused")])
