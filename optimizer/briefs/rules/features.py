"""Rules of what is in the walls: openings and obstructions."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from optimizer.briefs.rules.context import Case, Rule
from optimizer.domain.room import KeepClear, Obstruction, Opening, Wall
from optimizer.errors import Fault

FLUSH_IN = 1.0
"""What starts less than this from the wall counts as on it."""

_WALL_SLACK_IN = 0.5
"""A room that is off by this much still closes, so a box may poke out of the plan as far."""


def unknown_wall(case: Case, pointer: str, wall_id: str) -> Fault:
    """The fault of naming a wall that is not there."""
    known = ", ".join(wall.id for wall in case.brief.room.walls)
    return Fault(f"{pointer}/wall", f"there is no wall {wall_id!r}; walls: {known}", "unknown_wall")


def name_of(thing: Opening | Obstruction | KeepClear) -> str:
    """What to call something in a message."""
    if isinstance(thing, KeepClear):
        return f"the space kept clear ({thing.why})" if thing.why else "the space kept clear"
    return "the opening" if isinstance(thing, Opening) else f"the {thing.kind.value}"


def beyond_wall(
    case: Case, pointer: str, thing: Opening | Obstruction | KeepClear, wall: Wall
) -> Iterator[Fault]:
    """A fault when something reaches beyond the right end of its wall."""
    start, end = thing.start, thing.start + thing.width
    if end <= wall.clear_length + case.tolerance:
        return
    key = "start" if start >= wall.clear_length else "width"
    yield Fault(
        f"{pointer}/{key}",
        f"{name_of(thing)} from {case.say(start)} to {case.say(end)} reaches beyond wall "
        f"{wall.id}, which is {case.say(wall.clear_length)} long",
        "outside_wall",
    )


def _opening_walls(case: Case) -> Iterator[Fault]:
    """Openings name walls that exist."""
    for i, opening in enumerate(case.brief.room.openings):
        if case.wall(opening.wall) is None:
            yield unknown_wall(case, f"/room/openings/{i}", opening.wall)


def _opening_fits(case: Case) -> Iterator[Fault]:
    """Openings lie on their wall and under its ceiling."""
    for i, opening, wall in case.openings:
        pointer = f"/room/openings/{i}"
        yield from beyond_wall(case, pointer, opening, wall)
        height, _ = case.heights(wall, opening.start, opening.start + opening.width)
        if opening.height > height + case.tolerance:
            yield Fault(
                f"{pointer}/height",
                f"an opening of {case.say(opening.height)} is higher than wall {wall.id}, "
                f"{case.say(height)} there; give the opening's own height",
                "too_high",
            )


def _openings_apart(case: Case) -> Iterator[Fault]:
    """Openings of one wall do not overlap."""
    for (_, a, _), (j, b, _) in combinations(case.openings, 2):
        if a.wall == b.wall and _overlap(case, a, b):
            yield Fault(
                f"/room/openings/{j}/start",
                f"the opening from {case.say(b.start)} to {case.say(b.start + b.width)} overlaps "
                f"the one from {case.say(a.start)} to {case.say(a.start + a.width)} on wall "
                f"{a.wall}",
                "overlap",
            )


def _overlap(case: Case, a: Opening | Obstruction, b: Opening | Obstruction) -> bool:
    """Whether two things on one wall share more than an edge along it."""
    shared = min(a.start + a.width, b.start + b.width) - max(a.start, b.start)
    return shared > case.tolerance


def _obstruction_walls(case: Case) -> Iterator[Fault]:
    """Obstructions name walls that exist."""
    for i, thing in enumerate(case.brief.room.obstructions):
        if case.wall(thing.wall) is None:
            yield unknown_wall(case, f"/room/obstructions/{i}", thing.wall)


def _obstruction_fits(case: Case) -> Iterator[Fault]:
    """Obstructions lie on their wall, under the ceiling and in the room."""
    for i, thing in enumerate(case.brief.room.obstructions):
        wall = case.wall(thing.wall)
        if wall is None:
            continue
        pointer = f"/room/obstructions/{i}"
        yield from beyond_wall(case, pointer, thing, wall)
        _, top = case.heights(wall, thing.start, thing.start + thing.width)
        if thing.setback > case.units.from_inch(FLUSH_IN):
            # Out in the room it is the room's ceiling that counts.
            top = max(top, case.brief.room.ceiling_height)
        if thing.bottom + thing.height > top + case.tolerance:
            yield Fault(
                f"{pointer}/{'bottom' if thing.bottom >= top else 'height'}",
                f"{name_of(thing)} from {case.say(thing.bottom)} up to "
                f"{case.say(thing.bottom + thing.height)} is higher than wall {wall.id}, "
                f"{case.say(top)} there",
                "too_high",
            )


def _obstruction_depth(case: Case) -> Iterator[Fault]:
    """An obstruction's far side is beyond its near side, and inside the room."""
    for i, thing in enumerate(case.brief.room.obstructions):
        pointer = f"/room/obstructions/{i}"
        if thing.setback > thing.projection + case.tolerance:
            yield Fault(
                f"{pointer}/setback",
                f"setback {case.say(thing.setback)} (wall to near side) is more than projection "
                f"{case.say(thing.projection)} (wall to far side)",
                "setback_beyond_projection",
            )
        elif _pokes_out(case, thing):
            yield Fault(
                f"{pointer}/projection",
                f"the {thing.kind.value} stands out {case.say(thing.projection)} from wall "
                f"{thing.wall}, through another wall of the room",
                "outside_room",
            )


def _pokes_out(case: Case, thing: Obstruction) -> bool:
    """Whether an obstruction that lies on its wall leaves the closed room."""
    number = case.wall_index.get(thing.wall)
    if number is None or not case.outline.closed or not thing.projection or case.outline_faults:
        return False
    length = case.brief.room.walls[number].clear_length
    if thing.start + thing.width > length + case.tolerance:
        return False
    box = case.outline.box(
        number, thing.start, thing.start + thing.width, thing.setback, thing.projection
    )
    room = case.outline.polygon.buffer(case.units.from_inch(_WALL_SLACK_IN) + case.tolerance)
    return not room.covers(box)


def _opening_free(case: Case) -> Iterator[Fault]:
    """Nothing on the wall is drawn into the clear space of an opening."""
    flush = case.units.from_inch(FLUSH_IN)
    for i, thing in enumerate(case.brief.room.obstructions):
        for _, opening, wall in case.openings:
            if thing.wall != opening.wall or thing.setback >= flush:
                continue
            below_head = thing.bottom < opening.height - case.tolerance
            if below_head and _overlap(case, thing, opening):
                yield Fault(
                    f"/room/obstructions/{i}/start",
                    f"the {thing.kind.value} from {case.say(thing.start)} to "
                    f"{case.say(thing.start + thing.width)} lies in the opening from "
                    f"{case.say(opening.start)} to {case.say(opening.start + opening.width)} of "
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
