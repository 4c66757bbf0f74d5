"""Which rule keeps a need from being met, in words and as a pointer to the field that sets it."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.brief import Brief
from optimizer.domain.need_ids import NeedId
from optimizer.domain.needs import Hang, User
from optimizer.explaining.allowances import Allowance, RoomAllowances
from optimizer.reference.reach import reach_of_user
from optimizer.reference.stored import counted
from optimizer.tolerances import TOUCH
from optimizer.units import Units, format_inches, format_length

_COUNTS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True, slots=True)
class Binding:
    """The rule that binds: in words, and the pointer to the field of the brief it comes from."""

    words: str
    pointer: str


@dataclass(frozen=True, slots=True)
class _Limit:
    """A height that something must not pass, who sets it, and where."""

    at: float
    words: str
    pointer: str


def size_text(length: float, units: Units) -> str:
    """A length as a tape shows it, without feet: 79-1/2 in, 2020 mm."""
    if units is Units.MILLIMETRE:
        return f"{length:.0f} mm"
    return f"{format_inches(length).removesuffix(chr(34))} in"


def binding_of(
    room: RoomAllowances, need: NeedId, required: float, allowance: Allowance
) -> Binding:
    """The rule that keeps `need` at `allowance`, which is less than `required`."""
    if need.is_item:
        return _of_piece(room, need, allowance)
    if need.is_stored:
        return _of_thing(room, need, allowance)
    if need.is_mounted:
        return _of_mount(room, need, allowance)
    hang = need.hang_class
    # It would be enough if facing walls did not compete for one floor.
    if allowance.tiers and allowance.uncrossed >= required:
        return _across(room, "hanging" if hang else "shelves", hang is None)
    if hang is None:
        return _of_shelves(room, allowance)
    return _of_rods(room, hang, allowance)


def _across(room: RoomAllowances, things: str, shelves: bool) -> Binding:
    """What binds is the floor that facing walls share: without that there would be enough."""
    brief, units = room.brief, room.brief.units
    depth = brief.needs.shelf_depth if shelves else brief.construction.hang_depth
    aisle = 0.0 if room.surveyed.reach_in else brief.needs.aisle
    both, each = size_text(2 * depth + aisle, units), size_text(depth, units)
    between = f" and an aisle of {size_text(aisle, units)} between them" if aisle else ""
    words = (
        f"two walls that face one another nearer than {both} do not both carry {things}: "
        f"twice {each}{between}"
    )
    return Binding(words, "/needs/aisle" if aisle else "/room/walls")


def _count(number: int) -> str:
    """A small number in words."""
    return _COUNTS[number] if number < len(_COUNTS) else str(number)


def _walls(room: RoomAllowances, allowance: Allowance, things: str) -> str:
    """How much there is along the walls."""
    along = format_length(allowance.along, room.brief.units)
    if allowance.walls == 1:
        return f"there are {along} of wall for {things}"
    return f"there are {along} of wall for {things}, corners not yet taken off"


def _shallow(room: RoomAllowances, depth: float, things: str, field: str) -> Binding:
    """What binds is depth: nowhere in the room is there enough of it."""
    size, aisle = size_text(depth, room.brief.units), room.brief.needs.aisle
    deep = max((s.depth for s in room.surveyed.stretches), default=0.0)
    left = size_text(max(0.0, deep), room.brief.units)
    if room.surveyed.reach_in or aisle <= 0:
        return Binding(f"{things} {size} of depth, and the room leaves {left}", field)
    words = (
        f"{things} {size} of depth, and in front of the walls {left} are left beside an aisle of "
        f"{size_text(aisle, room.brief.units)}"
    )
    return Binding(words, "/needs/aisle")


def _of_rods(room: RoomAllowances, hang: Hang, allowance: Allowance) -> Binding:
    """What keeps rods of a class from being more."""
    brief, construction = room.brief, room.brief.construction
    if not allowance.deep:
        return _shallow(room, construction.hang_depth, "hanging takes", "/construction/hang_depth")
    drop, air = brief.needs.hang_drop.of(hang), construction.floor_clearance
    each = drop + construction.rod_clearance
    lowest = air + drop
    text = (
        f"rods for {hang.value} hang stand at {size_text(lowest, brief.units)} at least "
        f"({size_text(drop, brief.units)} garments and {size_text(air, brief.units)} of air)"
    )
    # Where the next rod would have to hang, one more than fit.
    more = lowest + allowance.tiers * each
    limit = _rod_limit(room, more)
    if allowance.tiers == 0:
        return Binding(f"{text}, {limit.words}", limit.pointer)
    number = _count(allowance.tiers + 1)
    at = size_text(more, brief.units)
    text += f", the upper of {number} over one another at {at}, {limit.words}: {number} do not fit"
    words = f"{text}; {_walls(room, allowance, 'rods')}"
    return Binding(words, limit.pointer if allowance.tiers == 1 else "/room/walls")


def _rod_limit(room: RoomAllowances, rod: float) -> _Limit:
    """The first of the limits that a rod at that height passes."""
    brief, construction = room.brief, room.brief.construction
    units, over = brief.units, construction.rod_clearance + room.rules.panel
    limits = [_reach_limit(brief, room.rules.reach.highest_rod)]
    highest = construction.max_shelf_height
    limits.append(
        _Limit(
            highest - over,
            f"and with a board over it, none above {size_text(highest, units)}, the highest is "
            f"{size_text(highest - over, units)}",
            "/construction/max_shelf_height",
        )
    )
    ceiling = max((s.height for s in room.surveyed.stretches), default=brief.room.ceiling_height)
    under = ceiling - over - room.rules.shelf_clear
    limits.append(
        _Limit(
            under,
            f"and under a clear height of {size_text(ceiling, units)}, with a board over it, the "
            f"highest is {size_text(under, units)}",
            "/room/ceiling_height",
        )
    )
    # The lowest of them is what a person would have to change first.
    nearest = min(limits, key=lambda limit: limit.at)
    if nearest.at >= rod - units.from_inch(TOUCH):
        return _Limit(rod, "and something is in the way of it on every wall", "/room/obstructions")
    return nearest


def _reach_limit(brief: Brief, highest: float) -> _Limit:
    """Who reaches how high, or the highest rod that the brief allows."""
    units, own = brief.units, brief.construction.max_rod_height
    at = size_text(highest, units)
    if highest >= own - units.from_inch(TOUCH):
        words = f"and the highest rod allowed is {at}"
        return _Limit(highest, words, "/construction/max_rod_height")
    if brief.needs.accessible_reach:
        return _Limit(highest, f"and accessible reach ends at {at}", "/needs/accessible_reach")
    tallest = max(brief.needs.users, key=lambda user: reach_of_user(user, units).highest_rod)
    return _Limit(highest, f"and {_who(tallest, units)} reaches {at}", "/needs/users")


def _who(user: User, units: Units) -> str:
    """A user in words, to say whose reach it is."""
    if user.posture == "seated":
        return "someone seated"
    if user.stature is not None:
        return f"a user {format_length(user.stature, units)} tall"
    return "a user" if user.age is None else f"a user aged {user.age}"


def _of_shelves(room: RoomAllowances, allowance: Allowance) -> Binding:
    """What keeps shelves from being more."""
    brief, needs = room.brief, room.brief.needs
    if not allowance.deep:
        return _shallow(room, needs.shelf_depth, "shelves take", "/needs/shelf_depth")
    units, ceiling = brief.units, brief.room.ceiling_height
    top = brief.construction.max_shelf_height
    under = ceiling - room.rules.shelf_clear
    limit = (
        f"the highest allowed, {size_text(top, units)}"
        if top <= under
        else f"{size_text(under, units)}, which the ceiling allows"
    )
    words = (
        f"shelves {size_text(needs.shelf_spacing, units)} apart from the floor up to {limit}, are "
        f"{_count(allowance.tiers)} over one another; {_walls(room, allowance, 'shelves')}"
    )
    return Binding(words, "/needs/shelf_spacing")


def _of_thing(room: RoomAllowances, need: NeedId, allowance: Allowance) -> Binding:
    """Rows of things that are counted, over one another along the walls."""
    units = room.brief.units
    number = next(i for i, thing in enumerate(room.rules.things) if thing.name == need)
    thing, pointer = room.rules.things[number], f"/needs/stored/{number}"
    if not allowance.deep:
        return _shallow(room, thing.depth, f"{thing.kind} take", f"{pointer}/depth")
    clear = size_text(thing.clear, units)
    if allowance.tiers == 0:
        words = f"{thing.kind} ask for {clear} over a shelf, and no free place is as high"
        return Binding(words, f"{pointer}/pitch")
    row = f"each row of {counted(thing.unit, thing.together)} of {thing.kind}"
    if thing.unit == "piece":
        row = f"each row of {thing.together} {thing.kind}" if thing.together > 1 else "each row"
    words = (
        f"{row} takes {size_text(thing.width, units)} of shelf, and shelves with {clear} over them "
        f"are {_count(allowance.tiers)} over one another; {_walls(room, allowance, thing.kind)}"
    )
    return Binding(words, f"{pointer}/pitch")


def _of_mount(room: RoomAllowances, need: NeedId, allowance: Allowance) -> Binding:
    """No free piece of wall takes a row of hooks or a mirror."""
    units, hooks = room.brief.units, len(room.brief.needs.hooks)
    number = next(i for i, mount in enumerate(room.rules.mounted) if mount.name == need)
    mount = room.rules.mounted[number]
    pointer = f"/needs/hooks/{number}" if number < hooks else f"/needs/mirrors/{number - hooks}"
    if not allowance.deep:
        return _shallow(room, mount.depth, f"{mount.id} takes", f"{pointer}/depth")
    low, high = size_text(mount.bottom, units), size_text(mount.top, units)
    words = (
        f"{mount.id} takes {size_text(mount.width, units)} of wall from {low} to {high} up, and "
        "no piece of wall as wide is free there"
    )
    return Binding(words, f"{pointer}/{'count' if number < hooks else 'width'}")


def _of_piece(room: RoomAllowances, need: NeedId, allowance: Allowance) -> Binding:
    """What keeps pieces of an item from being more."""
    brief = room.brief
    number = next(i for i, item in enumerate(brief.needs.items) if item.id == need.thing)
    item, units = brief.needs.items[number], brief.units
    pointer = f"/needs/items/{number}"
    if not allowance.deep:
        return _shallow(room, item.depth, f"the {item.id} takes", f"{pointer}/depth")
    air = brief.construction.item_clearance
    if allowance.tiers == 0:
        words = (
            f"the {item.id} is {size_text(item.height, units)} high, with "
            f"{size_text(air, units)} of air, and no free place where it may stand is as high"
        )
        return Binding(words, f"{pointer}/height")
    if item.fits_between is not None:
        air = item.fits_between.least - item.width
    words = (
        f"each {item.id} takes {size_text(item.width + air, units)} of wall with its air, "
        f"{_count(allowance.tiers)} over one another; {_walls(room, allowance, 'it')}"
    )
    return Binding(words, f"{pointer}/width")
