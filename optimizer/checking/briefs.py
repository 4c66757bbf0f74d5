"""What makes a brief impossible to check against."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.checking.case import Case
from optimizer.errors import Fault
from optimizer.reference.garments import required_hang


def check_brief(case: Case) -> Iterator[Fault]:
    """Findings on the brief itself, all of code `brief` and about the layout as a whole."""
    for detail in _troubles(case):
        yield Fault("", f"the brief cannot be checked against: {detail}", "brief")


def _troubles(case: Case) -> Iterator[str]:
    """One sentence for each trouble."""
    room, needs = case.brief.room, case.brief.needs
    walls = [wall.id for wall in room.walls]
    items = [item.id for item in needs.items]
    for kind, names in (("wall", walls), ("item", items)):
        for name in sorted({name for name in names if names.count(name) > 1}):
            yield f"two {kind}s are called {name}"
    named = [(f"opening {index}", opening.wall) for index, opening in enumerate(room.openings)]
    named += [(f"obstruction {index}", it.wall) for index, it in enumerate(room.obstructions)]
    named += [(f"box {index} kept clear", it.wall) for index, it in enumerate(room.keep_clear)]
    for what, wall_id in named:
        if wall_id not in walls:
            yield f"{what} is on wall {wall_id}, which the room does not have"
    # Everything on the floor is worked out from a polygon, which such walls do not make.
    if not case.plan.sound:
        yield "walls of the room cross, or one of them has no length"
    try:
        required_hang(needs, case.units)
    except KeyError as unknown:
        yield f"no rod length is known for garments of kind {unknown}"
