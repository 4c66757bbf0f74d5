"""Rules of bulky items: each can be carried in and stand somewhere."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.context import Case, Rule
from optimizer.briefs.rules.needs import ROOM
from optimizer.domain.needs import MAX_PIECES
from optimizer.errors import Fault
from optimizer.units import Units, ceil_to, floor_to

_SPACES = ("the length", "the space beside an upright", "the space between uprights")
"""What a bay may fill of a wall, by how many uprights stand on it."""


def _ids(case: Case) -> Iterator[Fault]:
    """Each item has a name of its own."""
    seen: dict[str, int] = {}
    for i, item in enumerate(case.brief.needs.items):
        first = seen.setdefault(item.id, i)
        if first != i:
            yield Fault(
                f"/needs/items/{i}/id",
                f"{item.id!r} already names item number {first + 1}; give each item its own id, "
                "or a count",
                "duplicate_id",
            )


def _pieces(case: Case) -> Iterator[Fault]:
    """The pieces of all items together are within the limit."""
    pieces = sum(item.count for item in case.brief.needs.items)
    if pieces > MAX_PIECES:
        yield Fault(
            "/needs/items",
            f"{pieces} pieces in all; at most {MAX_PIECES} are taken",
            "too_many",
        )


def _weights(case: Case) -> Iterator[Fault]:
    """Weights are in the brief's own system."""
    wrong, right = "weight_lb", "weight_kg"
    if case.units is Units.INCH:
        wrong, right = right, wrong
    for i, item in enumerate(case.brief.needs.items):
        value = getattr(item, wrong)
        if value is not None:
            yield Fault(
                f"/needs/items/{i}/{wrong}",
                f"a brief in {case.units.value} gives {right}, not {wrong} ({value:g})",
                "wrong_weight_unit",
            )


def _width(case: Case) -> Iterator[Fault]:
    """Some bay can be as wide as each item."""
    construction = case.brief.construction
    limits = [(construction.max_bay_width, "the widest bay (max_bay_width)"), _widest_space(case)]
    bay, name = min(limits)
    for i, item in enumerate(case.brief.needs.items):
        if item.fits_between:
            continue
        needed = item.width + 2 * construction.item_clearance
        if needed > bay + case.tolerance:
            yield Fault(
                f"/needs/items/{i}/width",
                f"{item.id} is {case.say(item.width)} wide and takes {case.say(needed)} with "
                f"clearance; {name} is {case.say(bay)}",
                "fits_nowhere",
            )


def _units(case: Case) -> Iterator[Fault]:
    """A bought unit goes into the width that it asks for, and a bay may be so wide."""
    construction = case.brief.construction
    widest, name = min(
        [(construction.max_bay_width, "the widest bay (max_bay_width)"), _widest_space(case)]
    )
    for i, item in enumerate(case.brief.needs.items):
        fits, pointer = item.fits_between, f"/needs/items/{i}/fits_between"
        if fits is None:
            continue
        grid = case.units.grid
        if floor_to(fits.most, grid) < ceil_to(fits.least, grid) - case.tolerance:
            detail = f"from {case.say(fits.least)} to {case.say(fits.most)} is no width on a tape"
            yield Fault(f"{pointer}/most", detail, "unit_range")
        if item.width > fits.least + case.tolerance:
            detail = f"{item.id} is {case.say(item.width)} wide: more than {case.say(fits.least)}"
            yield Fault(f"{pointer}/least", detail, "unit_range")
        if fits.least > widest + case.tolerance:
            detail = f"{item.id} asks for {case.say(fits.least)}; {name} is {case.say(widest)}"
            yield Fault(f"{pointer}/least", detail, "fits_nowhere")
        if fits.most < construction.min_bay_width - case.tolerance:
            detail = (
                f"{item.id} asks for {case.say(fits.most)} at most; the narrowest bay "
                f"(min_bay_width) is {case.say(construction.min_bay_width)}"
            )
            yield Fault(f"{pointer}/most", detail, "fits_nowhere")


def _widest_space(case: Case) -> tuple[float, str]:
    """The widest space for a bay on any wall, uprights taken off where no wall carries."""
    panel = case.brief.construction.panel_thickness
    spaces = []
    for number, wall in enumerate(case.brief.room.walls):
        own = 2 - sum(case.ends_carried(number))
        spaces.append((wall.clear_length - own * panel, f"{_SPACES[own]} on wall {wall.id}"))
    width, name = max(spaces)
    return width, f"{name}, the widest"


def _height(case: Case) -> Iterator[Fault]:
    """Each item stands upright under the highest ceiling."""
    clearance = case.brief.construction.item_clearance
    for i, item in enumerate(case.brief.needs.items):
        if item.height + clearance > case.top + case.tolerance:
            yield Fault(
                f"/needs/items/{i}/height",
                f"{item.id} is {case.say(item.height)} high and takes "
                f"{case.say(item.height + clearance)} with clearance; the highest wall is "
                f"{case.say(case.top)}",
                "fits_nowhere",
            )


def _depth(case: Case) -> Iterator[Fault]:
    """No item is deeper than the room."""
    for i, item in enumerate(case.brief.needs.items):
        if item.depth > case.depth + case.tolerance:
            yield Fault(
                f"/needs/items/{i}/depth",
                f"{item.id} is {case.say(item.depth)} deep; the room is {case.say(case.depth)} "
                "deep",
                "fits_nowhere",
            )


def _passes(case: Case) -> Iterator[Fault]:
    """In a closed room each item can be carried through an opening, turned as it may be."""
    if not case.outline.closed or not case.openings:
        return
    ways = [sorted((opening.width, opening.height)) for _, opening, _ in case.openings]
    for i, item in enumerate(case.brief.needs.items):
        small, middle, _ = sorted((item.width, item.depth, item.height))
        if not any(
            small <= narrow + case.tolerance and middle <= wide + case.tolerance
            for narrow, wide in ways
        ):
            yield Fault(
                f"/needs/items/{i}",
                f"{item.id} passes no opening: its two smaller sides are {case.say(small)} and "
                f"{case.say(middle)}",
                "cannot_pass_opening",
            )


RULES = (
    Rule(_ids, ("needs.items",)),
    Rule(_pieces, ("needs.items",)),
    Rule(_weights, ("needs.items",)),
    Rule(_width, ("needs.items", "room.walls", "construction")),
    Rule(_units, ("needs.items", "room.walls", "construction")),
    Rule(_height, ("needs.items", "room.walls", "room.ceiling_height", "construction")),
    Rule(_depth, (*ROOM, "needs.items", "needs.aisle", "construction.hang_depth")),
    Rule(_passes, ("needs.items", "room.walls", "room.openings")),
)
