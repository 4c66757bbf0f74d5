"""Rules of bulky items: each can be carried in and stand somewhere."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.briefs.rules.needs import ROOM
from optimizer.domain.needs import MAX_PIECES
from optimizer.errors import Fault
from optimizer.units import Units, ceil_to, floor_to

_SPACES = ("the length", "the space beside an upright", "the space between uprights")
"""What a bay may fill of a wall, by how many uprights stand on it."""


def _ids(view: BriefView) -> Iterator[Fault]:
    """Each item has a name of its own."""
    seen: dict[str, int] = {}
    for i, item in enumerate(view.brief.needs.items):
        first = seen.setdefault(item.id, i)
        if first != i:
            yield Fault(
                f"/needs/items/{i}/id",
                f"{item.id!r} already names item number {first + 1}; give each item its own id, "
                "or a count",
                "duplicate_id",
            )


def _pieces(view: BriefView) -> Iterator[Fault]:
    """The pieces of all items together are within the limit."""
    pieces = sum(item.count for item in view.brief.needs.items)
    if pieces > MAX_PIECES:
        yield Fault(
            "/needs/items",
            f"{pieces} pieces in all; at most {MAX_PIECES} are taken",
            "too_many",
        )


def _weights(view: BriefView) -> Iterator[Fault]:
    """Weights are in the brief's own system."""
    wrong, right = "weight_lb", "weight_kg"
    if view.units is Units.INCH:
        wrong, right = right, wrong
    for i, item in enumerate(view.brief.needs.items):
        value = getattr(item, wrong)
        if value is not None:
            yield Fault(
                f"/needs/items/{i}/{wrong}",
                f"a brief in {view.units.value} gives {right}, not {wrong} ({value:g})",
                "wrong_weight_unit",
            )


def _width(view: BriefView) -> Iterator[Fault]:
    """Some bay can be as wide as each item."""
    construction = view.brief.construction
    limits = [
        (construction.max_bay_width, "the widest bay (max_bay_width)"),
        _widest_space(view),
    ]
    bay, name = min(limits)
    for i, item in enumerate(view.brief.needs.items):
        # A bought unit fills its bay without air beside it: `_units`.
        if item.fits_between:
            continue
        needed = item.width + 2 * construction.item_clearance
        if needed > bay + view.tolerance:
            yield Fault(
                f"/needs/items/{i}/width",
                f"{item.id} is {view.say(item.width)} wide and takes {view.say(needed)} with "
                f"clearance; {name} is {view.say(bay)}",
                "fits_nowhere",
            )


def _units(view: BriefView) -> Iterator[Fault]:
    """A bought unit goes into the width that it asks for, and a bay may be so wide."""
    construction = view.brief.construction
    widest, name = min(
        [(construction.max_bay_width, "the widest bay (max_bay_width)"), _widest_space(view)]
    )
    for i, item in enumerate(view.brief.needs.items):
        fits, pointer = item.fits_between, f"/needs/items/{i}/fits_between"
        if fits is None:
            continue
        grid = view.units.grid
        # Bays are as wide as the rounding grid allows: one of its steps must lie within.
        if floor_to(fits.most, grid) < ceil_to(fits.least, grid) - view.tolerance:
            detail = f"from {view.say(fits.least)} to {view.say(fits.most)} is no width on a tape"
            yield Fault(f"{pointer}/most", detail, "unit_range")
        if item.width > fits.least + view.tolerance:
            detail = f"{item.id} is {view.say(item.width)} wide: more than {view.say(fits.least)}"
            yield Fault(f"{pointer}/least", detail, "unit_range")
        if fits.least > widest + view.tolerance:
            detail = f"{item.id} asks for {view.say(fits.least)}; {name} is {view.say(widest)}"
            yield Fault(f"{pointer}/least", detail, "fits_nowhere")
        if fits.most < construction.min_bay_width - view.tolerance:
            detail = (
                f"{item.id} asks for {view.say(fits.most)} at most; the narrowest bay "
                f"(min_bay_width) is {view.say(construction.min_bay_width)}"
            )
            yield Fault(f"{pointer}/most", detail, "fits_nowhere")


def _widest_space(view: BriefView) -> tuple[float, str]:
    """The widest space for a bay on any wall, uprights taken off where no wall carries."""
    panel = view.brief.construction.panel_thickness
    spaces = []
    for number, wall in enumerate(view.brief.room.walls):
        # An end that the next wall carries needs no upright.
        own = 2 - sum(view.ends_carried(number))
        spaces.append((wall.clear_length - own * panel, f"{_SPACES[own]} on wall {wall.id}"))
    width, name = max(spaces)
    return width, f"{name}, the widest"


def _height(view: BriefView) -> Iterator[Fault]:
    """Each item stands upright under the highest ceiling."""
    clearance = view.brief.construction.item_clearance
    for i, item in enumerate(view.brief.needs.items):
        if item.height + clearance > view.top + view.tolerance:
            yield Fault(
                f"/needs/items/{i}/height",
                f"{item.id} is {view.say(item.height)} high and takes "
                f"{view.say(item.height + clearance)} with clearance; the highest wall is "
                f"{view.say(view.top)}",
                "fits_nowhere",
            )


def _depth(view: BriefView) -> Iterator[Fault]:
    """No item is deeper than the room."""
    for i, item in enumerate(view.brief.needs.items):
        if item.depth > view.depth + view.tolerance:
            yield Fault(
                f"/needs/items/{i}/depth",
                f"{item.id} is {view.say(item.depth)} deep; the room is {view.say(view.depth)} "
                "deep",
                "fits_nowhere",
            )


def _passes(view: BriefView) -> Iterator[Fault]:
    """In a closed room each item can be carried through an opening, turned as it may be."""
    if not view.outline.closed or not view.openings:
        return
    ways = [sorted((opening.width, opening.height)) for _, opening, _ in view.openings]
    for i, item in enumerate(view.brief.needs.items):
        # Carried endwise, so that only its two smaller sides have to pass.
        small, middle, _ = sorted((item.width, item.depth, item.height))
        if not any(
            small <= narrow + view.tolerance and middle <= wide + view.tolerance
            for narrow, wide in ways
        ):
            yield Fault(
                f"/needs/items/{i}",
                f"{item.id} passes no opening: its two smaller sides are {view.say(small)} and "
                f"{view.say(middle)}",
                "cannot_pass_opening",
            )


RULES = (
    Rule(_ids, ("needs.items",)),
    Rule(_pieces, ("needs.items",)),
    Rule(_weights, ("needs.items",)),
    Rule(_width, ("needs.items", "room.walls", "construction")),
    Rule(_units, ("needs.items", "room.walls", "construction")),
    Rule(_height, ("needs.items", "room.walls", "room.ceiling_height", "construction")),
    # How deep a room is depends on whether it is reached into, and that on its aisle and hanging
    # depth.
    Rule(_depth, (*ROOM, "needs.items", "needs.aisle", "construction.hang_depth")),
    Rule(_passes, ("needs.items", "room.walls", "room.openings")),
)
