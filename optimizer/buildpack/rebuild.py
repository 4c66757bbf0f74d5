"""The layout that a set of parts makes: the way back, to show that nothing got lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from optimizer.buildpack.job import TOLERANCE_IN
from optimizer.domain.brief import Brief
from optimizer.domain.fields import reading_units
from optimizer.domain.layout import Bay, Layout, Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.domain.pack import Part, PartKind
from optimizer.errors import BuildError

_BOARDS = (PartKind.SHELF, PartKind.TOP_SHELF)


def layout_from_parts(brief: Brief, parts: Iterable[Part]) -> Layout:
    """Bays, boards and rods as the parts stand; what has no part is not in it.

    Open floor and housed items leave no trace in the parts, nor does the name of a pattern.
    Raises BuildError for a bay without its two uprights.
    """
    by_bay: dict[str, list[Part]] = defaultdict(list)
    for part in parts:
        for bay in part.bays:
            if part.kind not in (PartKind.FILLER, PartKind.SCRIBE):
                by_bay[bay].append(part)
    with reading_units(brief.units):
        return Layout(bays=tuple(_bay(brief, bay_id, own) for bay_id, own in by_bay.items()))


def _bay(brief: Brief, bay_id: str, parts: list[Part]) -> Bay:
    uprights = sorted(
        (part for part in parts if part.kind is PartKind.UPRIGHT), key=lambda part: part.box.along
    )
    if len(uprights) != 2:
        raise BuildError(f"bay {bay_id} has {len(uprights)} uprights among the parts, not two")
    left, right = uprights
    start, end = left.box.end, right.box.along
    boards = [part for part in parts if part.kind in _BOARDS]
    zones = [_shelf_zone(part) for part in boards]
    zones += [_rod_zone(brief, part) for part in parts if part.kind is PartKind.ROD]
    depths = [zone.depth for zone in zones if zone.depth is not None]
    return Bay(
        id=bay_id,
        wall=left.wall,
        start=start,
        width=end - start,
        depth=max(depths, default=min(left.box.front, right.box.front)),
        pattern="rebuilt from parts",
        zones=_topped(brief, left.wall, start, end, zones),
        height=max((part.box.top for part in boards), default=min(left.box.top, right.box.top)),
        stiffened=any(part.kind is PartKind.STIFFENER for part in parts),
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
    depth, slack = zone.depth or 0.0, brief.units.from_inch(TOLERANCE_IN)
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
