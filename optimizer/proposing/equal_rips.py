"""Boards of the wished depth ripped in equal strips, where that saves a sheet.

Three boards 16 in deep do not come out of a sheet 48 in wide, since each cut takes a blade's
thickness; three of 15-7/8 in do, and a builder gives that eighth up for a sheet (common practice).
Less than that is another depth, which is only offered (`proposing.leaner`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from optimizer.buildpack.takings import takes_fewer
from optimizer.checking import check_layout
from optimizer.domain.layout import Bay, Carried, Layout, Zone, ZoneKind
from optimizer.domain.study import Warned
from optimizer.errors import OptimizerError
from optimizer.model.search.alternatives import Search
from optimizer.patterns.pattern import label_of
from optimizer.patterns.rips import ripped_depth
from optimizer.proposing.assembly import assembled, leaves_no_need_shorter
from optimizer.proposing.leaner import depth_of
from optimizer.tolerances import FINE, TOUCH
from optimizer.units import format_short


def in_equal_rips(search: Search, layout: Layout) -> Layout:
    """The layout with its boards ripped so; itself where that saves no sheet, or anything that
    stands on them needs their whole depth.

    What comes back has passed the checker, leaves no need shorter and takes no more parts.
    """
    before = layout.metrics
    assert before is not None  # noqa: S101 - assembled ones have them
    ripped = search.rules.ripped
    if ripped is None or before.sheets < 2:
        return layout
    bays = tuple(_in_corners([*_ripped(search, layout.bays, ripped)], search))
    bare = Layout(bays=bays, mounts=layout.mounts)
    if bays == layout.bays or check_layout(search.brief, bare):
        return layout
    try:
        if not takes_fewer(search.brief, bare, before.sheets):
            return layout
        made = assembled(search, bays, layout.bound, layout.status, layout.mounts)
    except OptimizerError:
        return layout
    return made if _is_less(layout, made) and not check_layout(search.brief, made) else layout


def _is_less(before: Layout, now: Layout) -> bool:
    """Whether a layout takes fewer sheets and less money, scores no less and leaves no need
    shorter."""
    was, has = before.metrics, now.metrics
    assert was is not None  # noqa: S101 - assembled ones have them
    assert has is not None  # noqa: S101
    saves = has.sheets < was.sheets and has.material_cost < was.material_cost - FINE
    same = has.parts <= was.parts and now.score >= before.score - FINE
    return saves and same and leaves_no_need_shorter(before, now)


def _ripped(search: Search, bays: Sequence[Bay], ripped: float) -> Iterator[Bay]:
    """The bays with boards of the wished depth ripped; pinned ones stay as they are."""
    wished = search.brief.needs.shelf_depth
    pins = {(pin.wall, pin.start, pin.width) for pin in search.brief.pins}
    items = {item.id: item.depth for item in search.brief.needs.items}
    for bay in bays:
        if (bay.wall, bay.start, bay.width) in pins:
            yield bay
            continue
        zones = tuple(
            zone.model_copy(update={"depth": ripped})
            if zone.kind is not ZoneKind.ROD
            and abs(depth_of(zone, bay) - wished) <= TOUCH
            # What stands on the floor may stick out under a board, but not over one.
            and (zone.kind is ZoneKind.SHELF or all(items[i] <= ripped for i in zone.items))
            else zone
            for zone in bay.zones
        )
        yield bay if zones == bay.zones else _of_zones(bay, zones)


def _of_zones(bay: Bay, zones: tuple[Zone, ...]) -> Bay:
    """A bay with other depths of its zones, as deep as the deepest, and named for them."""
    named = label_of(zones, hosting=bay.pattern.startswith("items:"))
    depth = max(depth_of(zone, bay) for zone in zones)
    return bay.model_copy(update={"zones": zones, "depth": depth, "pattern": named})


def _in_corners(bays: Sequence[Bay], search: Search) -> Iterator[Bay]:
    """Boards that end on the next wall's, in a wrapped corner, go on to where these end now."""
    lines = search.surveyed.outline.walls
    lengths = {line.id: line.length for line in lines}
    order = [line.id for line in lines]
    for bay in bays:
        at = order.index(bay.wall)
        before, after = order[at - 1], order[(at + 1) % len(order)]
        start, end = bay.start, bay.end
        if bay.left is Carried.CORNER:
            start = next((_boards(b) for b in bays if _ends(b, before, lengths)), start)
        if bay.right is Carried.CORNER:
            depth = next((_boards(b) for b in bays if b.wall == after and b.start <= TOUCH), None)
            end = end if depth is None else lengths[bay.wall] - depth
        moved = (start, end) != (bay.start, bay.end)
        yield bay.model_copy(update={"start": start, "width": end - start}) if moved else bay


def _boards(bay: Bay) -> float:
    """Depth of the boards of a bay, which are all as deep where the next wall's end on them."""
    return max(depth_of(zone, bay) for zone in bay.zones if zone.kind is ZoneKind.SHELF)


def _ends(bay: Bay, wall: str, lengths: dict[str, float]) -> bool:
    """Whether a bay ends at the right end of a wall."""
    return bay.wall == wall and lengths[wall] - bay.end <= TOUCH


def told_of(search: Search, layouts: Sequence[Layout]) -> tuple[Warned, ...]:
    """A word on layouts whose boards are a blade shallower than asked for."""
    brief, ripped = search.brief, ripped_depth(search.brief)
    ranks = [
        str(layout.rank)
        for layout in layouts
        if ripped is not None
        and any(
            zone.kind is ZoneKind.SHELF and abs(depth_of(zone, bay) - ripped) <= TOUCH
            for bay in layout.bays
            for zone in bay.zones
        )
    ]
    if ripped is None or not ranks:
        return ()
    asked, now = (format_short(d, brief.units) for d in (brief.needs.shelf_depth, ripped))
    where = f"layout {ranks[0]}" if len(ranks) == 1 else f"layouts {', '.join(ranks)}"
    detail = (
        f"shelves of {where} are {now} deep, not {asked}: ripped in equal strips of a sheet's "
        "width, the blade between them, which takes a sheet less"
    )
    return (Warned(code="shelves_ripped", pointer="/needs/shelf_depth", detail=detail),)
