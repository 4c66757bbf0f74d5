"""What to verify on site before cutting: what the brief could not tell, and tight fits."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from optimizer.domain.layout import Bay, Carried, Zone
from optimizer.domain.needs import Item
from optimizer.domain.pack import Part, PartKind
from optimizer.domain.studs import studs_known
from optimizer.parts.boards import BoardPart, boards_in, has_stiffener
from optimizer.parts.job import Job, depth_of
from optimizer.parts.uprights import uprights_on

SPREAD_IN = 0.25
"""A spread of wall readings above this is reported."""


def site_notes(job: Job, parts: Sequence[Part]) -> tuple[str, ...]:
    """Notes for the site, the same one never twice."""
    return tuple(
        dict.fromkeys(
            (
                *_walls(job),
                *_lifting(job, parts),
                *_tight_items(job),
                *_uneven(job),
            )
        )
    )


def _walls(job: Job) -> Iterator[str]:
    """Notes on each wall: assumed studs, uneven readings, corners."""
    for wall_id, bays in job.bays_by_wall.items():
        wall = job.walls[wall_id]
        if not studs_known(wall):
            yield f"wall {wall_id}: studs are assumed; find and mark them before drilling"
        if wall.reading_spread > job.units.from_inch(SPREAD_IN):
            yield (
                f"wall {wall_id}: its readings differ by {job.short(wall.reading_spread)}; "
                f"{_uneven_wall(bays)}"
            )
        yield from _corners(bays, job)


def _uneven_wall(bays: Sequence[Bay]) -> str:
    """What to do about a wall whose readings differ."""
    if any(Carried.WALL in (bay.left, bay.right) for bay in bays):
        return "measure each board that reaches a side wall after its cleats are up, then cut it"
    return "the least one counts, scribe the end against the wider part"


def _corners(bays: Sequence[Bay], job: Job) -> Iterator[str]:
    """Studs that side cleats count on, and corners that boards must fit into."""
    for bay in bays:
        for left, carried in ((True, bay.left), (False, bay.right)):
            if carried is Carried.WALL:
                other = job.side_wall_of(bay, left=left)
                yield (
                    f"corner of walls {bay.wall} and {other}: side cleats count on a stud there; "
                    "find it, and check the corner for square before cutting boards"
                )


def _lifting(job: Job, parts: Sequence[Part]) -> Iterator[str]:
    """Uprights too tall to be tilted up under their ceiling."""
    for part in parts:
        if part.kind is not PartKind.UPRIGHT:
            continue
        # Lying on its back edge and lifted, its corner passes this high.
        diagonal = math.hypot(part.length, part.width)
        clear = job.clear_height(part.wall, max(part.box.along, 0.0), part.box.end)
        if diagonal > clear:
            yield (
                f"upright {part.id} cannot be tilted up in place: its diagonal of "
                f"{job.short(diagonal)} is more than the clear {job.short(clear)}; carry it in "
                "upright"
            )


def _uneven(job: Job) -> Iterator[str]:
    """The note on floors, wherever there are uprights to be cut to them."""
    if any(uprights_on(wall, job) for wall in job.bays_by_wall):
        yield (
            "check the floor with a level along every wall: cut each upright to the height from "
            "the datum line down to the floor where it stands"
        )


def _tight_items(job: Job) -> Iterator[str]:
    """Items that pass neither under nor between the cleats of the board above them."""
    items = {item.id: item for item in job.brief.needs.items}
    for bays in job.bays_by_wall.values():
        for bay in bays:
            boards = boards_in(bay, job)
            for zone in bay.zones:
                housed = [items[name] for name in zone.items if name in items]
                above = _board_over(zone, boards, job)
                if housed and above is not None:
                    yield from _tight_under(zone, bay, above, housed, job)


def _board_over(zone: Zone, boards: Sequence[BoardPart], job: Job) -> BoardPart | None:
    """The board that closes a zone at its top."""
    return next((b for b in boards if abs(b.underside - zone.top) <= job.tolerance), None)


def _tight_under(
    zone: Zone, bay: Bay, above: BoardPart, housed: Sequence[Item], job: Job
) -> Iterator[str]:
    """Notes on items of one zone that the cleats or the stiffener over it get in the way of."""
    rules, slack = job.construction, job.tolerance
    air, clear = rules.item_clearance, zone.top - zone.bottom
    width = sum(item.width for item in housed) + air * (len(housed) + 1)
    between = width <= bay.width - 2 * rules.cleat_thickness + slack
    for item in housed:
        under_stiffener = item.height + air <= clear - rules.stiffener_height + slack
        if has_stiffener(above, job) and not under_stiffener:
            yield (
                f"{item.id} in bay {bay.id} does not pass under the stiffener of {above.id}: "
                f"it needs {job.short(item.height + air)} of {job.short(clear)} less the stiffener"
            )
        if item.height + air <= clear - above.cleat + slack:
            continue
        shallow = item.depth + rules.cleat_thickness <= depth_of(zone, bay) + slack
        # It may still stand before the back cleat and between those at the sides.
        if not (between and shallow):
            yield (
                f"{item.id} in bay {bay.id} meets the cleats under {above.id}: it is taller than "
                f"{job.short(clear - above.cleat - air)}, so set {above.id} "
                f"{job.short(above.cleat)} higher or try it in place first"
            )
