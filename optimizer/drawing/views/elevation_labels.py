"""Lettering inside an elevation: heights, rods, items, obstructions and part ids."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.domain.pack import Part, PartKind
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Align
from optimizer.drawing.ink.labels import HEIGHTS, Placer, Spot, row_spots
from optimizer.drawing.ink.lettering import DESCENT, Rect, text_width
from optimizer.drawing.views.cleats import part_rect
from optimizer.drawing.views.elevation_bays import rod_rect, stiffener_rects
from optimizer.drawing.views.elevation_wall import obstruction_rect
from optimizer.drawing.views.frame import DrawingArea
from optimizer.drawing.views.kept_clear import kept_in_front, label_kept
from optimizer.drawing.views.mounts import label_mounts, mount_solids
from optimizer.drawing.views.scene import PlacedItem, WallView, rod_height
from optimizer.drawing.views.supports import rod_bracket_rects, support_rects
from optimizer.reference.stored import stored_text
from optimizer.units import format_short

_OFF = 1.7
"""From a line to the middle of a label beside it [mm]."""


def label_wall(board: DrawingArea, view: WallView, parts: Sequence[Part]) -> None:
    """Labels of obstructions and openings, then of every bay; none touches another."""
    solids = _solids(view, parts)
    bounds = Rect(0.0, 0.0, view.length, max(view.top, *(b.height for b in view.bays), 0.0))
    placer = Placer(board.canvas, board.notes, bounds, solids)
    label_mounts(placer, view)
    _label_surroundings(placer, view)
    for bay in view.bays:
        _BayLabels(board, view, bay, parts, placer.taken).draw()


def _solids(view: WallView, parts: Sequence[Part]) -> list[Rect]:
    """What lettering may not cross: uprights, boards, stiffeners, mid supports and rods."""
    found = [Rect(u.left, 0.0, u.right, u.top) for u in view.uprights]
    found += [front.rect for front in view.board_fronts]
    found += mount_solids(view)
    for bay in view.bays:
        found += stiffener_rects(view, bay, parts)
        found += support_rects(view, bay, parts) + rod_bracket_rects(view, bay)
        found += [rod_rect(view, bay, zone) for zone in view.rods(bay)]
    return found


def _label_surroundings(placer: Placer, view: WallView) -> None:
    """Names of openings and obstructions in or beside them, with the height they start at."""
    units = view.brief.units
    placer.soft += [piece.rect for bay in view.bays for piece in view.standing(bay)]
    for obstruction in view.obstructions:
        rect = obstruction_rect(obstruction)
        name = obstruction.kind.value
        text = f"{name}, {format_short(rect.bottom, units)} up"
        where = f"{format_short(rect.left, units)} along"
        placer.label(text, _around(placer, rect, text), where=where, masked=True)
    for kept in kept_in_front(view):
        along = f"{format_short(kept.rect.left, units)} along"
        label_kept(placer, kept.rect, kept.text, along)
    for opening in view.openings:
        top = min(opening.height, view.top)
        rect = Rect(opening.start, 0.0, opening.start + opening.width, top)
        name = opening.kind.value.replace("_", " ")
        text = f"{name} {format_short(opening.width, units)} x {format_short(top, units)}"
        placer.label(text, _around(placer, rect, text), where="opening", masked=True)


def _around(placer: Placer, rect: Rect, text: str) -> list[Spot]:
    """Spots in `rect` if it has room for `text`, then above, below and beside it."""
    x, y = rect.centre
    off = placer.canvas.mm(_OFF)
    placer.soft.append(rect)
    width, height = text_width(text, placer.canvas.mm(HEIGHTS[0] * 1.2)), placer.canvas.mm(3.0)
    roomy = rect.width > width and rect.height > height
    # Lettering may then stand in it; else only where nothing better is left.
    if roomy:
        placer.soft.remove(rect)
    return [
        *([Spot((x, y))] if roomy else []),
        Spot((x, rect.top + off)),
        Spot((x, rect.bottom - off)),
        Spot((rect.right + off / 2, y), "left"),
        Spot((rect.left - off / 2, y), "right"),
        Spot((rect.left, rect.top + off), "left"),
        Spot((rect.right, rect.top + off), "right"),
        # In a strip of wall too narrow for the words they read upwards, over it or under it.
        Spot((x, rect.top + off / 2), "left", 90),
        Spot((x, rect.bottom - off / 2), "right", 90),
        Spot((x, y), rotation=90),
        Spot((x, y)),
    ]


_BOARDS = (PartKind.SHELF, PartKind.TOP_SHELF)


def _group_of(part: Part, boards: Sequence[Part]) -> str:
    """Id of the board that a part belongs to: itself, or the board over a cleat or stiffener."""
    if part.kind is PartKind.ROD or part.kind in _BOARDS or not boards:
        return part.id
    return min(boards, key=lambda board: abs(board.box.bottom - part.box.top)).id


class _BayLabels:
    """Labels of one bay, all inside its clear width."""

    def __init__(
        self,
        board: DrawingArea,
        view: WallView,
        bay: Bay,
        parts: Sequence[Part],
        taken: Sequence[Rect],
    ) -> None:
        """`taken` is what stands on the wall already; only what reaches into this bay is kept,
        since a placer looks at all of it for each spot."""
        self.view = view
        self.bay = bay
        self.units = view.brief.units
        self.mm = board.canvas.mm
        self.canvas = board.canvas
        # A part of several bays, a top board, has its id in the first of them.
        self.parts = [part for part in parts if bay.id in part.bays[:1]]
        top = max(bay.height, min(view.height_at(bay.start), view.height_at(bay.end)))
        self.bounds = Rect(bay.start, 0.0, bay.end, top)
        near = [rect for rect in taken if rect.overlaps(self.bounds)]
        self.placer = Placer(board.canvas, board.notes, self.bounds, near)
        self.board = board
        self.stiffeners = stiffener_rects(view, bay, parts)

    def draw(self) -> None:
        """Items first, in their own outlines; then heights, part ids and what hangs."""
        standing = self.view.standing(self.bay)
        for piece in standing:
            self._item(piece)
        self.placer.soft += [piece.rect for piece in standing]
        self.placer.soft += [obstruction_rect(o) for o in self.view.obstructions]
        for front in self.view.boards(self.bay):
            self._board_height(front)
        for zone in self.view.rods(self.bay):
            self._rod(zone)
        self._label_parts()
        self._contents()

    def _where(self, what: str, height: float) -> str:
        """Words that tell where a thing of this bay is, for a note that finds no room."""
        return f"{self.bay.id}, {what} {format_short(height, self.units)} up"

    def _item(self, piece: PlacedItem) -> None:
        """The name of an item inside its outline."""
        within = piece.rect.shared(self.bounds)
        inside = Placer(self.canvas, self.board.notes, within, self.placer.taken)
        inside.soft += [obstruction_rect(o) for o in self.view.obstructions]
        x, y = within.centre
        rows = [Spot((x, piece.rect.bottom + share * piece.rect.height)) for share in (0.3, 0.7)]
        spots = [Spot((x, y)), *rows, Spot((x, y), rotation=90)]
        where = self._where("item", piece.rect.bottom)
        rect = inside.label(piece.item.id, spots, where=where, layer=layers.ITEM)
        if rect is not None:
            self.placer.block(rect)

    def _board_height(self, front: Rect) -> None:
        """Height of a board's top, on a level mark that points to it."""
        text = format_short(front.top, self.units)
        # Smaller than names: a bay has many heights.
        heights = HEIGHTS[1:]
        y = self._over(front.top)
        ends = ((front.left, 1, "left"), (front.right, -1, "right"))
        spots = [Spot((x + way * self.mm(2.3), y), align) for x, way, align in ends]  # type: ignore[arg-type]
        placed = self.placer.try_text(text, spots, heights=heights, masked=True)
        if placed is not None:
            self._level_mark(front, placed)
            return
        words = f"shelf {text}"
        spots = [*row_spots(front, y), *row_spots(front, self._over(self._edge_over(front)))]
        self.placer.label(words, spots, where=self.bay.id, heights=(1.6,), masked=True)

    def _over(self, level: float) -> float:
        """Middle of a label that stands just over a line."""
        return level + self.mm(0.75 + HEIGHTS[1] * (0.5 + DESCENT))

    def _edge_over(self, board: Rect) -> float:
        """Top of the stiffener that stands on a board, or the board's own."""
        on_it = (s.top for s in self.stiffeners if abs(s.bottom - board.top) < self.mm(0.1))
        return max(on_it, default=board.top)

    def _level_mark(self, front: Rect, beside: Rect) -> None:
        """An open triangle that stands on the board at the near end of its figure."""
        left = beside.centre[0] < front.centre[0]
        x = front.left + self.mm(1.3) if left else front.right - self.mm(1.3)
        half, rise = self.mm(0.65), self.mm(1.1)
        points = [(x, front.top), (x - half, front.top + rise), (x + half, front.top + rise)]
        self.canvas.lines(points, layers.DIMENSION, closed=True)
        mark = Rect(x - half, front.top, x + half, front.top + rise)
        self.placer.block(mark)

    def _rod(self, zone: Zone) -> None:
        """Height of a rod's centre, just under it."""
        rect = rod_rect(self.view, self.bay, zone)
        height = rod_height(zone)
        text = f"rod {format_short(height, self.units)}"
        below, above = rect.bottom - self.mm(_OFF), rect.top + self.mm(_OFF)
        left = rect.left + self.mm(1.2)
        spots = [Spot((left, below), "left"), *row_spots(rect, below), *row_spots(rect, above)]
        self.placer.label(text, spots, where=self.bay.id, masked=True)

    def _label_parts(self) -> None:
        """Ids of parts beside them; what finds no room under one board shares one key.

        Uprights and strips have a row of their own under the floor.
        """
        apart = (PartKind.UPRIGHT, PartKind.FILLER, PartKind.SCRIBE)
        parts = [part for part in self.parts if part.kind not in apart]
        boards = [part for part in parts if part.kind in _BOARDS]
        groups: dict[str, list[Part]] = {}
        for part in parts:
            groups.setdefault(_group_of(part, boards), []).append(part)
        for group in groups.values():
            left_over = [part for part in group if not self._try_part(part)]
            if left_over:
                self._key_parts(group, left_over)

    def _try_part(self, part: Part) -> bool:
        """Write a part's id beside it; whether there was room."""
        spots = self._part_spots(part)
        placed = self.placer.try_text(part.id, spots, heights=HEIGHTS[1:], masked=True)
        return placed is not None

    def _key_parts(self, group: Sequence[Part], left_over: Sequence[Part]) -> None:
        """One keyed note for the parts around a board that found no room."""
        rect = part_rect(group[0]).shared(self.bounds)
        levels = (rect.top, rect.bottom)
        above, below = levels[0] + self.mm(_OFF), levels[1] - self.mm(_OFF)
        spots = [spot for y in (above, below, below - self.mm(2.6)) for spot in row_spots(rect, y)]
        ids = ", ".join(part.id for part in left_over)
        self.placer.key(ids, spots, where=self._where("parts", rect.bottom), masked=True)

    def _part_spots(self, part: Part) -> list[Spot]:
        """Where a part's id may stand, the best place first, by kind of part."""
        rect = part_rect(part).shared(self.bounds)
        above = self._over(self._edge_over(rect))
        below = rect.bottom - self.mm(_OFF)
        if part.kind in _BOARDS:
            right = Spot((rect.right - self.mm(0.8), above), "right")
            return [right, *row_spots(rect, above), *row_spots(rect, below)]
        if part.kind in (PartKind.SIDE_CLEAT, PartKind.ROD_CLEAT):
            return self._side_spots(rect)
        if part.kind in (PartKind.TRIANGLE, PartKind.JOINT_CLEAT):
            return self._beside_spots(rect)
        levels = (rect.centre[1], below, below - self.mm(2.6))
        return [spot for y in levels for spot in row_spots(rect, y)]

    def _side_spots(self, rect: Rect) -> list[Spot]:
        """Spots of a side cleat: beside its end, then further and further below it."""
        left = rect.centre[0] < self.bounds.centre[0]
        align: Align = "left" if left else "right"
        inner = rect.right + self.mm(0.7) if left else rect.left - self.mm(0.7)
        outer = rect.left + self.mm(0.6) if left else rect.right - self.mm(0.6)
        levels = [rect.centre[1], *(rect.bottom - self.mm(1.5 + 2.6 * n) for n in range(3))]
        beside = [Spot((inner, rect.centre[1]), align)]
        return [*beside, *(Spot((outer, y), align) for y in levels)]

    def _beside_spots(self, rect: Rect) -> list[Spot]:
        """Spots of a triangle or a joint cleat: at both its sides, level by level, then below."""
        off, step = self.mm(0.8), self.mm(1.0)
        levels = [rect.bottom + self.mm(1.5) + n * step for n in range(int(rect.height / step) + 1)]
        levels += [rect.bottom - n * self.mm(1.3) for n in range(1, 4)]
        spots = []
        for y in levels:
            spots += [Spot((rect.right + off, y), "left"), Spot((rect.left - off, y), "right")]
        return [*spots, Spot((rect.centre[0], rect.bottom - self.mm(_OFF)))]

    def _contents(self) -> None:
        """What hangs or is left open, where there is room for the words."""
        for zone in self.bay.zones:
            text = self._content(zone)
            if not text:
                continue
            beside = [one.rect.right for one in self.view.standing_in(zone, self.bay)]
            left = max([self.bay.start, *beside])
            rect = Rect(left, zone.bottom, self.bay.end, zone.top)
            middle = zone.bottom + (rect.height / 2)
            levels = (middle, zone.bottom + rect.height / 3, zone.bottom + rect.height / 4)
            spots = [Spot((rect.centre[0], y)) for y in levels]
            spots.append(Spot((rect.centre[0], middle), rotation=90))
            # What is stored must be told somewhere; words for hung clothes may be left out.
            if zone.stored:
                self.placer.label(text, spots, where=f"bay {self.bay.id}", masked=True)
            else:
                self.placer.try_text(text, spots, masked=True)

    def _content(self, zone: Zone) -> str:
        """What a zone holds, in words; empty for a shelf of nothing in particular."""
        if zone.kind is ZoneKind.ROD and zone.hang is not None:
            return f"{zone.hang.value} hang"
        if zone.kind is ZoneKind.FLOOR and not zone.items:
            return "open floor"
        return "; ".join(stored_text(kept.kind, kept.count) for kept in zone.stored)
