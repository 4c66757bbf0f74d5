"""Storage in plan: uprights, board fronts, rods with hangers, strips and items on the floor."""

from __future__ import annotations

from optimizer.domain.layout import Bay, Carried, Zone, ZoneKind
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas, corners
from optimizer.drawing.ink.labels import Placer, Spot
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.ends import SIDES, carried_at, end_of
from optimizer.drawing.views.mounts import mount_spans
from optimizer.drawing.views.plan_walls import Ground
from optimizer.drawing.views.scene import WallView, depth_of
from optimizer.drawing.views.supports import rod_radius, supports_of
from optimizer.units import format_short

_HANGER_IN = 17.0
"""Width of a hanger [in]: planning handbooks give 17-18 in."""

_HANGER_MM = 2.6
"""Distance of hangers on paper [mm]."""


def bay_rect(ground: Ground, view: WallView, bay: Bay) -> Rect:
    """Clear width of a bay by its depth."""
    return ground.rect(view, (bay.start, bay.end), (0.0, bay.depth))


def draw_storage(canvas: Canvas, ground: Ground) -> None:
    """Every bay of every wall, without lettering."""
    for view in ground.scene.walls.values():
        for bay in view.bays:
            _draw_bay(canvas, ground, view, bay)
        for upright in view.uprights:
            rect = ground.rect(view, (upright.left, upright.right), (0.0, upright.depth))
            canvas.fill(corners(rect), layers.UPRIGHT)
            canvas.rect(rect, layers.UPRIGHT)
        for along, depth, _ in mount_spans(view):
            canvas.rect(ground.rect(view, along, (0.0, depth)), layers.ITEM)
        for mount in view.mounts:
            ends = (mount.start, mount.end)
            canvas.rect(ground.rect(view, ends, (0.0, mount.depth)), layers.BEYOND)
        for strip in view.fillers:
            # A strip closes the gap at the front, where it is seen: level with the deepest bay.
            near = max((bay.depth for bay in view.bays), default=view.panel)
            span = (strip.start, strip.start + strip.width)
            out = (near - view.panel, near)
            canvas.rect(ground.rect(view, span, out), layers.FILLER)


def _draw_bay(canvas: Canvas, ground: Ground, view: WallView, bay: Bay) -> None:
    """A bay from above: front edges of its boards, rod, hangers, items on the floor."""
    at = ground.at(view)
    # One rod stands for all: they hang over one another.
    for zone in view.rods(bay)[:1]:
        _hangers(canvas, ground, view, bay, zone)
    boards = {depth_of(z, bay) for z in bay.zones if z.kind is ZoneKind.SHELF}
    for depth in sorted(boards):
        # A board narrower than another is hidden under it only if it lies lower; both
        # edges are shown, since a plan of storage is read for its depths.
        canvas.line(at(bay.start, depth), at(bay.end, depth), layers.BOARD)
    # The deepest board's joint reaches over those of the others.
    for depth in sorted(boards)[-1:]:
        _joints(canvas, ground, view, bay, depth)
    _supports(canvas, ground, view, bay)
    if bay.depth not in boards:
        canvas.line(at(bay.start, bay.depth), at(bay.end, bay.depth), layers.BEYOND)
    for zone in bay.zones:
        if zone.kind is ZoneKind.FLOOR:
            _floor_items(canvas, ground, view, bay, zone)
    for zone in view.rods(bay)[:1]:
        _rod(canvas, ground, view, bay, zone)


def _joints(canvas: Canvas, ground: Ground, view: WallView, bay: Bay, depth: float) -> None:
    """Where boards butt against those that run through a wrapped corner."""
    at = ground.at(view)
    for side in SIDES:
        if carried_at(bay, side) is Carried.CORNER:
            end = end_of(bay, side)
            canvas.line(at(end, 0.0), at(end, depth), layers.BOARD)


def _supports(canvas: Canvas, ground: Ground, view: WallView, bay: Bay) -> None:
    """Mid supports, dashed under the boards: at each place the one that goes out furthest."""
    deepest: dict[float, tuple[float, float]] = {}
    for support in supports_of(view, bay):
        out = max(support.out, deepest.get(support.left, (0.0, 0.0))[1])
        deepest[support.left] = (support.right, out)
    for left, (right, out) in deepest.items():
        canvas.rect(ground.rect(view, (left, right), (0.0, out)), layers.BEYOND)


def _rod(canvas: Canvas, ground: Ground, view: WallView, bay: Bay, zone: Zone) -> None:
    """The rod of a bay from above."""
    setback = min(view.brief.construction.rod_setback, depth_of(zone, bay))
    radius = rod_radius(view)
    rect = ground.rect(view, (bay.start, bay.end), (setback - radius, setback + radius))
    canvas.mask(rect)
    canvas.rect(rect, layers.ROD)
    ends = [ground.at(view)(along, setback) for along in (bay.start, bay.end)]
    canvas.line(ends[0], ends[1], layers.ROD_LINE)


def _hangers(canvas: Canvas, ground: Ground, view: WallView, bay: Bay, zone: Zone) -> None:
    """Light strokes for hangers across a rod."""
    at = ground.at(view)
    setback = min(view.brief.construction.rod_setback, depth_of(zone, bay))
    half = ground.inches(_HANGER_IN) / 2
    near, far = max(setback - half, 0.0), min(setback + half, depth_of(zone, bay))
    pitch = canvas.mm(_HANGER_MM)
    count = max(1, int((bay.width - pitch) / pitch))
    first = bay.start + (bay.width - (count - 1) * pitch) / 2
    for number in range(count):
        x = first + number * pitch
        canvas.line(at(x, near), at(x, far), layers.CLOTHES)


def _floor_items(canvas: Canvas, ground: Ground, view: WallView, bay: Bay, zone: Zone) -> None:
    """Items that stand on the floor of a bay, dashed under its boards."""
    # By height, since `standing` tells of the whole bay.
    pieces = [piece for piece in view.standing(bay) if piece.rect.bottom == zone.bottom]
    for piece in pieces:
        along = (piece.rect.left, piece.rect.right)
        rect = ground.rect(view, along, (0.0, piece.item.depth))
        canvas.rect(rect, layers.BEYOND)


def label_bay(placer: Placer, ground: Ground, view: WallView, bay: Bay) -> str | None:
    """Id, clear width and depth of a bay inside its rectangle; the size if it has no room."""
    rect = bay_rect(ground, view, bay)
    units = view.brief.units
    inside = Placer(placer.canvas, placer.notes, rect)
    x, y = rect.centre
    gap = placer.canvas.mm(1.7)
    across = rect.height > rect.width
    size = f"{format_short(bay.width, units)} x {format_short(bay.depth, units)}"
    spots = [Spot((x, y + gap)), Spot((x, y))]
    sizes = [Spot((x, y - gap))]
    if across:
        spots.insert(1, Spot((x - gap, y), rotation=90))
        sizes.append(Spot((x + gap, y), rotation=90))
    inside.label(bay.id, spots, where=f"wall {view.wall.id}", bold=True, masked=True)
    placed = inside.try_text(size, sizes, masked=True)
    placer.written += inside.written
    return None if placed else size
