"""The layout that a set of parts makes: the way back, to show that nothing got lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Layout, Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.domain.pack import Part, PartKind
from optimizer.errors import BuildError
from optimizer.tolerances import RULE_IN

_BOARDS = (PartKind.SHELF, PartKind.TOP_SHELF)
_INSIDE = (*_BOARDS, PartKind.BACK_CLEAT, PartKind.ROD)
"""Parts that run from end to end of a bay, where they are of that bay alone."""

_End = tuple[float, Carried]


def layout_from_parts(brief: Brief, parts: Iterable[Part]) -> Layout:
    """Bays, boards and rods as the parts stand; what has no part is not in it.

    Open floor and housed items leave no trace in the parts, nor do the name of a pattern and
    bought brackets. Raises BuildError for a bay of which nothing tells where it stands.
    """
    by_bay: dict[str, list[Part]] = defaultdict(list)
    for part in parts:
        for bay in part.bays:
            if part.kind not in (PartKind.FILLER, PartKind.SCRIBE):
                by_bay[bay].append(part)
    return Layout(bays=tuple(_bay(brief, bay_id, own) for bay_id, own in by_bay.items()))


def _ends(brief: Brief, bay_id: str, parts: list[Part]) -> tuple[_End, _End]:
    """Where a bay starts and ends, and on what, from its uprights and joint cleats."""
    uprights = sorted(
        (part for part in parts if part.kind is PartKind.UPRIGHT), key=lambda part: part.box.along
    )
    inside = [p for p in parts if len(p.bays) == 1 and p.kind is not PartKind.UPRIGHT]
    if not inside and len(uprights) != 2:
        raise BuildError(f"bay {bay_id} has {len(uprights)} uprights among the parts, not two")
    # Else the cleats at its ends tell on which side of its uprights it is.
    boxes = [p.box for p in inside if p.kind in _INSIDE] or [p.box for p in inside]
    if boxes:
        middle = (min(box.along for box in boxes) + max(box.end for box in boxes)) / 2.0
    else:
        middle = (uprights[0].box.along + uprights[-1].box.end) / 2.0
    wall = brief.room.wall(parts[0].wall).clear_length
    lefts = [upright.box.end for upright in uprights if upright.box.end <= middle]
    rights = [upright.box.along for upright in uprights if upright.box.along >= middle]
    return (
        _end(parts, max(lefts, default=None), 0.0, "L"),
        _end(parts, min(rights, default=None), wall, "R"),
    )


def _end(parts: list[Part], upright: float | None, wall: float, letter: str) -> _End:
    """An end on an upright, on the boards of the next wall, or on the wall itself."""
    if upright is not None:
        return upright, Carried.UPRIGHT
    for part in parts:
        if part.kind is PartKind.JOINT_CLEAT and part.id.endswith(letter):
            return part.box.along + part.box.size_along / 2.0, Carried.CORNER
    return wall, Carried.WALL


def _bay(brief: Brief, bay_id: str, parts: list[Part]) -> Bay:
    (start, left), (end, right) = _ends(brief, bay_id, parts)
    boards = [part for part in parts if part.kind in _BOARDS]
    zones = [_shelf_zone(part) for part in boards]
    zones += [_rod_zone(brief, part) for part in parts if part.kind is PartKind.ROD]
    depths = [zone.depth for zone in zones if zone.depth is not None]
    uprights = [part.box for part in parts if part.kind is PartKind.UPRIGHT]
    mids = {p.box.along + p.box.size_along / 2.0 for p in parts if p.kind is PartKind.TRIANGLE}
    wall = parts[0].wall
    return Bay(
        id=bay_id,
        wall=wall,
        start=start,
        width=end - start,
        depth=max(depths) if depths else min(box.front for box in uprights),
        pattern="rebuilt from parts",
        zones=_topped(brief, wall, start, end, zones),
        height=max((p.box.top for p in boards), default=min((b.top for b in uprights), default=0)),
        stiffened=any(part.kind is PartKind.STIFFENER for part in parts),
        left=left,
        right=right,
        mid_supports=tuple(sorted(mids)),
    )


def _shelf_zone(part: Part) -> Zone:
    """Zone on a board, its top still open."""
    return Zone(kind=ZoneKind.SHELF, bottom=part.box.top, top=part.box.top, depth=part.box.front)


def _rod_zone(brief: Brief, part: Part) -> Zone:
    """Zone of a rod, its top still open."""
    hang = part.hang or Hang.SHORT
    height = part.box.bottom + part.box.size_up / 2.0
    return Zone(
        kind=ZoneKind.ROD,
        bottom=max(0.0, height - brief.needs.hang_drop.of(hang)),
        top=height,
        depth=brief.construction.hang_depth,
        hang=hang,
        rod_height=height,
    )


def _topped(
    brief: Brief, wall: str, start: float, end: float, zones: list[Zone]
) -> tuple[Zone, ...]:
    """Zones from the floor up, each up to what is above it."""
    panel = brief.construction.panel_thickness
    ordered = sorted(zones, key=lambda zone: zone.bottom)
    found = []
    for index, zone in enumerate(ordered):
        top = _roof(brief, wall, start - panel, end + panel, zone)
        if index + 1 < len(ordered):
            above = ordered[index + 1]
            top = min(top, above.bottom - (panel if above.kind is ZoneKind.SHELF else 0.0))
        found.append(zone.model_copy(update={"top": top}))
    return tuple(found)


def _roof(brief: Brief, wall_id: str, start: float, end: float, zone: Zone) -> float:
    """Ceiling over a zone, or the underside of what hangs or sits over it."""
    wall, ceiling = brief.room.wall(wall_id), brief.room.ceiling_height
    clear = min(wall.height_at(max(start, 0.0), ceiling), wall.height_at(end, ceiling))
    depth, slack = zone.depth or 0.0, brief.units.from_inch(RULE_IN)
    over = [
        thing.bottom
        for thing in brief.room.obstructions
        if thing.wall == wall_id
        and not thing.may_cover
        and thing.start < end - slack
        and start < thing.start + thing.width - slack
        and thing.setback < depth - slack
        and thing.bottom >= zone.bottom - slack
    ]
    return min([clear, *over])
