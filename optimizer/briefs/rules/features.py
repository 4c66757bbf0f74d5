"""Rules of what is in the walls: openings and obstructions."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.domain.room import KeepClear, Obstruction, Opening, Wall
from optimizer.errors import Fault

FLUSH_IN = 1.0
"""What starts less than this from the wall counts as on it."""

_WALL_SLACK_IN = 0.5
"""A room that is off by this much still closes, so a box may poke out of the plan as far."""


def unknown_wall(view: BriefView, pointer: str, wall_id: str) -> Fault:
    """The fault of naming a wall that is not there."""
    known = ", ".join(wall.id for wall in view.brief.room.walls)
    return Fault(f"{pointer}/wall", f"there is no wall {wall_id!r}; walls: {known}", "unknown_wall")


def name_of(thing: Opening | Obstruction | KeepClear) -> str:
    """What to call something in a message."""
    if isinstance(thing, KeepClear):
        return f"the space kept clear ({thing.why})" if thing.why else "the space kept clear"
    return "the opening" if isinstance(thing, Opening) else f"the {thing.kind.value}"


def beyond_wall(
    view: BriefView, pointer: str, thing: Opening | Obstruction | KeepClear, wall: Wall
) -> Iterator[Fault]:
    """A fault when something reaches beyond the right end of its wall."""
    start, end = thing.start, thing.start + thing.width
    if end <= wall.clear_length + view.tolerance:
        return
    key = "start" if start >= wall.clear_length else "width"
    yield Fault(
        f"{pointer}/{key}",
        f"{name_of(thing)} from {view.say(start)} to {view.say(end)} reaches beyond wall "
        f"{wall.id}, which is {view.say(wall.clear_length)} long",
        "outside_wall",
    )


def _opening_walls(view: BriefView) -> Iterator[Fault]:
    """Openings name walls that exist."""
    for i, opening in enumerate(view.brief.room.openings):
        if view.wall(opening.wall) is None:
            yield unknown_wall(view, f"/room/openings/{i}", opening.wall)


def _opening_fits(view: BriefView) -> Iterator[Fault]:
    """Openings lie on their wall and under its ceiling."""
    for i, opening, wall in view.openings:
        pointer = f"/room/openings/{i}"
        yield from beyond_wall(view, pointer, opening, wall)
        height, _ = view.heights(wall, opening.start, opening.start + opening.width)
        if opening.height > height + view.tolerance:
            yield Fault(
                f"{pointer}/height",
                f"an opening of {view.say(opening.height)} is higher than wall {wall.id}, "
                f"{view.say(height)} there; give the opening's own height",
                "too_high",
            )


def _openings_apart(view: BriefView) -> Iterator[Fault]:
    """Openings of one wall do not overlap."""
    for (_, a, _), (j, b, _) in combinations(view.openings, 2):
        if a.wall == b.wall and _overlap(view, a, b):
            yield Fault(
                f"/room/openings/{j}/start",
                f"the opening from {view.say(b.start)} to {view.say(b.start + b.width)} overlaps "
                f"the one from {view.say(a.start)} to {view.say(a.start + a.width)} on wall "
                f"{a.wall}",
                "overlap",
            )


def _overlap(view: BriefView, a: Opening | Obstruction, b: Opening | Obstruction) -> bool:
    """Whether two things on one wall share more than an edge along it."""
    shared = min(a.start + a.width, b.start + b.width) - max(a.start, b.start)
    return shared > view.tolerance


def _obstruction_walls(view: BriefView) -> Iterator[Fault]:
    """Obstructions name walls that exist."""
    for i, thing in enumerate(view.brief.room.obstructions):
        if view.wall(thing.wall) is None:
            yield unknown_wall(view, f"/room/obstructions/{i}", thing.wall)


def _obstruction_fits(view: BriefView) -> Iterator[Fault]:
    """Obstructions lie on their wall, under the ceiling and in the room."""
    for i, thing in enumerate(view.brief.room.obstructions):
        wall = view.wall(thing.wall)
        if wall is None:
            continue
        pointer = f"/room/obstructions/{i}"
        yield from beyond_wall(view, pointer, thing, wall)
        _, top = view.heights(wall, thing.start, thing.start + thing.width)
        if thing.setback > view.units.from_inch(FLUSH_IN):
            # Out in the room it is the room's ceiling that counts.
            top = max(top, view.brief.room.ceiling_height)
        if thing.bottom + thing.height > top + view.tolerance:
            yield Fault(
                f"{pointer}/{'bottom' if thing.bottom >= top else 'height'}",
                f"{name_of(thing)} from {view.say(thing.bottom)} up to "
                f"{view.say(thing.bottom + thing.height)} is higher than wall {wall.id}, "
                f"{view.say(top)} there",
                "too_high",
            )


def _obstruction_depth(view: BriefView) -> Iterator[Fault]:
    """An obstruction's far side is beyond its near side, and inside the room."""
    for i, thing in enumerate(view.brief.room.obstructions):
        pointer = f"/room/obstructions/{i}"
        if thing.setback > thing.projection + view.tolerance:
            yield Fault(
                f"{pointer}/setback",
                f"setback {view.say(thing.setback)} (wall to near side) is more than projection "
                f"{view.say(thing.projection)} (wall to far side)",
                "setback_beyond_projection",
            )
        elif _pokes_out(view, thing):
            yield Fault(
                f"{pointer}/projection",
                f"the {thing.kind.value} stands out {view.say(thing.projection)} from wall "
                f"{thing.wall}, through another wall of the room",
                "outside_room",
            )


def _pokes_out(view: BriefView, thing: Obstruction) -> bool:
    """Whether an obstruction that lies on its wall leaves the closed room."""
    number = view.wall_index.get(thing.wall)
    if number is None or not view.outline.closed or not thing.projection or view.outline_faults:
        return False
    # What runs past the end of its wall has a fault already, and would leave the plan for that
    # reason alone.
    length = view.brief.room.walls[number].clear_length
    if thing.start + thing.width > length + view.tolerance:
        return False
    box = view.outline.box(
        number, thing.start, thing.start + thing.width, thing.setback, thing.projection
    )
    room = view.outline.polygon.buffer(view.units.from_inch(_WALL_SLACK_IN) + view.tolerance)
    return not room.covers(box)


def _opening_free(view: BriefView) -> Iterator[Fault]:
    """Nothing on the wall is drawn into the clear space of an opening."""
    flush = view.units.from_inch(FLUSH_IN)
    for i, thing in enumerate(view.brief.room.obstructions):
        for _, opening, wall in view.openings:
            # A beam or a lamp out in the room may well be before an opening; only what is on the
            # wall cannot be where there is none.
            if thing.wall != opening.wall or thing.setback >= flush:
                continue
            below_head = thing.bottom < opening.height - view.tolerance
            if below_head and _overlap(view, thing, opening):
                yield Fault(
                    f"/room/obstructions/{i}/start",
                    f"the {thing.kind.value} from {view.say(thing.start)} to "
                    f"{view.say(thing.start + thing.width)} lies in the opening from "
                    f"{view.say(opening.start)} to {view.say(opening.start + opening.width)} of "
                    f"wall {wall.id}",
                    "overlap",
                )


RULES = (
    Rule(_opening_walls, ("room.walls", "room.openings")),
    Rule(_opening_fits, ("room.walls", "room.openings", "room.ceiling_height")),
    Rule(_openings_apart, ("room.walls", "room.openings")),
    Rule(_obstruction_walls, ("room.walls", "room.obstructions")),
    Rule(_obstruction_fits, ("room.walls", "room.obstructions", "room.ceiling_height")),
    Rule(_obstruction_depth, ("room.walls", "room.obstructions")),
    Rule(_opening_free, ("room.walls", "room.openings", "room.obstructions")),
)
