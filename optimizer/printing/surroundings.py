"""The wall around the bays in characters: ceiling line, openings and obstructions."""

from __future__ import annotations

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Mount
from optimizer.domain.room import KeepClear, Obstruction, Opening, OpeningKind, Wall
from optimizer.printing.canvas import Canvas, Symbols
from optimizer.printing.scale import Scale
from optimizer.printing.words import clean, cut, mount_words, span_words
from optimizer.units import Units, format_length

OPENING_WORDS = {
    OpeningKind.CASED: "cased opening",
    OpeningKind.HINGED_IN: "door, opens inwards",
    OpeningKind.HINGED_OUT: "door, opens outwards",
    OpeningKind.BIFOLD: "bifold door",
    OpeningKind.SLIDING: "sliding door",
}


def opening_words(opening: Opening, units: Units) -> str:
    """An opening: what closes it, how wide it is, and where."""
    where = span_words(opening.start, opening.start + opening.width, units)
    width = format_length(opening.width, units)
    return f"{OPENING_WORDS[opening.kind]} {width} wide, at {where}"


def obstruction_words(thing: Obstruction, units: Units) -> str:
    """An obstruction: what it is, where along the wall and how high up."""
    along = span_words(thing.start, thing.start + thing.width, units)
    up = span_words(thing.bottom, thing.bottom + thing.height, units)
    cover = ", storage may stand in front of it" if thing.may_cover else ""
    return f"{thing.kind.value} at {along} along, {up} up{cover}"


def kept_words(box: KeepClear, units: Units) -> str:
    """A box kept clear: where it is, how far out it goes, and why."""
    along = span_words(box.start, box.start + box.width, units)
    up = span_words(box.bottom, box.bottom + box.height, units)
    why = f": {clean(box.why)}" if box.why else ""
    return f"kept clear at {along} along, {up} up, {format_length(box.depth, units)} out{why}"


def thing_words(thing: Obstruction | KeepClear | Mount, units: Units) -> str:
    """What is in the way: an obstruction or a box kept clear; or hooks or a mirror."""
    if isinstance(thing, Mount):
        return mount_words(thing, units)
    if isinstance(thing, KeepClear):
        return kept_words(thing, units)
    return obstruction_words(thing, units)


def draw_ceiling(canvas: Canvas, scale: Scale, symbols: Symbols, brief: Brief, wall: Wall) -> None:
    """Draw the ceiling line, level or sloped, over the drawn stretch."""
    for column in range(canvas.columns):
        position = min(scale.left + column * scale.per_column, scale.right)
        height = wall.height_at(position, brief.room.ceiling_height)
        canvas.put(column, scale.row(height), symbols.ceiling)


def draw_opening(canvas: Canvas, scale: Scale, symbols: Symbols, opening: Opening) -> None:
    """Draw the outline of an opening with its name in it."""
    left = scale.column(opening.start)
    right = scale.column(opening.start + opening.width)
    top = max(1, scale.row(opening.height))
    canvas.put(left, top, symbols.opening_top * (right - left + 1))
    for row in range(1, top):
        canvas.put(left, row, symbols.opening_side)
        canvas.put(right, row, symbols.opening_side)
    # The name goes into what is seen of the opening: a long wall is drawn in pieces.
    first, last = max(left + 1, 0), min(right - 1, canvas.columns - 1)
    name = cut(OPENING_WORDS[opening.kind], last - first + 1, symbols.cut_mark)
    canvas.put(first + (last - first + 1 - len(name)) // 2, max(1, top // 2), name)


def draw_thing(
    canvas: Canvas,
    scale: Scale,
    symbols: Symbols,
    thing: Obstruction | KeepClear | Mount,
    mark: str,
) -> None:
    """Fill the outline of what is in the way, or hangs, where nothing stands, `mark` near its
    middle.

    What may be covered never shows through what covers it. What may not is marked even
    where rounding to rows leaves nothing of it to see, on a board if need be.
    """
    left = scale.column(thing.start)
    right = max(left, scale.column(thing.start + thing.width) - 1)
    low = max(1, scale.row(thing.bottom))
    top = thing.top if isinstance(thing, Mount) else thing.bottom + thing.height
    high = max(low, scale.row(top) - 1)
    may_cover = isinstance(thing, Obstruction) and thing.may_cover
    fill = symbols.obstruction if isinstance(thing, Obstruction) else symbols.kept_clear
    free = " " if may_cover else f" {symbols.clothes}"
    for row in range(low, high + 1):
        canvas.put(left, row, fill * (right - left + 1), free)
    middle = ((left + right) / 2, (low + high) / 2)
    cells = sorted(
        ((column, row) for column in range(left, right + 1) for row in range(low, high + 1)),
        key=lambda cell: (abs(cell[1] - middle[1]), abs(cell[0] - middle[0])),
    )
    # The cells nearest to the middle first: in its own filling, else over a board or an upright.
    covered = () if may_cover else (symbols.board, symbols.rod, symbols.upright)
    for over in (fill, *covered):
        if any(canvas.put(column, row, mark, over) for column, row in cells):
            return
