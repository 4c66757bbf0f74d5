"""Rules of the room: its walls, studs and the way in."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.domain.room import Access
from optimizer.errors import Fault


def _wall_ids(view: BriefView) -> Iterator[Fault]:
    """Each wall has a name of its own."""
    for i, wall in enumerate(view.brief.room.walls):
        first = view.wall_index[wall.id]
        if first != i:
            yield Fault(
                f"/room/walls/{i}/id",
                f"{wall.id!r} already names wall number {first + 1}; each wall has its own id",
                "duplicate_id",
            )


def _outline(view: BriefView) -> Iterator[Fault]:
    """Walls do not cross, and a room that nearly closes is measured again."""
    yield from view.outline_faults


def _studs(view: BriefView) -> Iterator[Fault]:
    """Studs are given in one of two forms and lie on their wall."""
    for i, wall in enumerate(view.brief.room.walls):
        studs = wall.studs
        if studs is None:
            continue
        pointer = f"/room/walls/{i}/studs"
        if (studs.spacing is None) == (studs.positions is None):
            yield Fault(
                pointer,
                "give studs either as spacing and first, or as positions: "
                f"{'neither' if studs.spacing is None else 'both'} is there",
                "studs_form",
            )
        elif studs.positions is not None and studs.first is not None:
            yield Fault(
                f"{pointer}/first",
                f"first ({view.say(studs.first)}) goes with spacing, not with positions",
                "studs_form",
            )
        yield from _studs_on_wall(view, i)


def _studs_on_wall(view: BriefView, number: int) -> Iterator[Fault]:
    """No stud beyond the end of its wall."""
    wall = view.brief.room.walls[number]
    if wall.studs is None:
        return
    pointer = f"/room/walls/{number}/studs"
    places = [(f"{pointer}/positions/{k}", at) for k, at in enumerate(wall.studs.positions or ())]
    if wall.studs.first is not None:
        places.append((f"{pointer}/first", wall.studs.first))
    for where, at in places:
        if at > wall.clear_length + view.tolerance:
            yield Fault(
                where,
                f"a stud at {view.say(at)} is beyond wall {wall.id}, which is "
                f"{view.say(wall.clear_length)} long",
                "outside_wall",
            )


def _way_in(view: BriefView) -> Iterator[Fault]:
    """A closed room has an opening, and so has a room to be served through one."""
    if view.brief.room.openings:
        return
    if view.outline.closed:
        yield Fault(
            "/room/openings",
            "the walls close all round and there is no opening; add the way in",
            "no_way_in",
        )
    elif view.brief.room.access is Access.REACH_IN:
        yield Fault(
            "/room/access",
            "'reach_in' means served through an opening, and the room has none",
            "no_way_in",
        )


RULES = (
    Rule(_wall_ids, ("room.walls",)),
    Rule(_outline, ("room.walls",)),
    Rule(_studs, ("room.walls",)),
    Rule(_way_in, ("room.walls", "room.openings", "room.access")),
)
