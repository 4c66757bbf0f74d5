"""Hooks and mirrors: in elevation, in plan, and as boxes."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.layout import Mount
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.labels import Placer, Spot
from optimizer.drawing.ink.lettering import Rect, printable
from optimizer.drawing.views.scene import WallView
from optimizer.reference.mounted import BOARD_HEIGHT_IN
from optimizer.reference.stored import in_units
from optimizer.units import format_short

_HOOK_MM = 0.9
"""Half the size of a hook on paper [mm]."""
_OFF = 1.7
"""From a board to the middle of its label [mm]."""


def mount_rect(mount: Mount) -> Rect:
    """All that a mount takes of its wall, with what hangs on it."""
    return Rect(mount.start, mount.bottom, mount.end, mount.top)


def board_rect(view: WallView, mount: Mount) -> Rect:
    """The board of a row of hooks."""
    half = in_units(BOARD_HEIGHT_IN, view.brief.units) / 2.0
    middle = mount.hook_height or 0.0
    return Rect(mount.start, middle - half, mount.end, middle + half)


def mount_solids(view: WallView) -> list[Rect]:
    """What lettering may not cross: boards of hooks."""
    return [board_rect(view, mount) for mount in view.mounts if mount.kind == "hooks"]


def draw_mounts(canvas: Canvas, view: WallView) -> None:
    """Boards with their hooks over what hangs there, mirrors with two strokes of light."""
    for mount in view.mounts:
        rect = mount_rect(mount)
        if mount.kind == "mirror":
            canvas.rect(rect, layers.ITEM)
            _glints(canvas, rect)
            continue
        board = board_rect(view, mount)
        canvas.rect(board, layers.BOARD)
        canvas.rect(Rect(rect.left, rect.bottom, rect.right, board.bottom), layers.BEYOND)
        size = canvas.mm(_HOOK_MM)
        for place in mount.hooks:
            x, y = place, board.centre[1]
            hook = [(x, y + size), (x, y - size), (x + size, y - size), (x + size, y - size / 4)]
            canvas.lines(hook, layers.ROD)
            canvas.line((place, board.bottom), (place, rect.bottom), layers.CLOTHES)


def _glints(canvas: Canvas, rect: Rect) -> None:
    """Two slanting strokes in the upper left of a glass."""
    size = min(rect.width, rect.height) / 3.0
    for share in (0.5, 1.0):
        reach = size * share
        start = (rect.left + rect.width * 0.12, rect.top - rect.width * 0.12 - reach)
        canvas.line(start, (start[0] + reach, start[1] + reach), layers.SWING)


def mount_text(view: WallView, mount: Mount) -> str:
    """What a mount is, with the height it is hung at."""
    units = view.brief.units
    name = printable(mount.id)
    if mount.kind == "hooks":
        count = len(mount.hooks)
        hooks = f"{count} hook{'' if count == 1 else 's'}"
        return f"{name}: {hooks} {format_short(mount.hook_height or 0.0, units)} up"
    return f"{name}: {format_short(mount.bottom, units)} up"


def label_mounts(placer: Placer, view: WallView) -> None:
    """The name of every mount, in it or over it."""
    off = placer.canvas.mm(_OFF)
    for mount in view.mounts:
        rect = mount_rect(mount)
        x, y = rect.centre
        spots = [
            Spot((x, y)),
            Spot((x, rect.top + off)),
            Spot((x, rect.bottom - off)),
            Spot((x, y), rotation=90),
        ]
        where = f"{format_short(mount.start, view.brief.units)} along"
        placed = placer.label(mount_text(view, mount), spots, where=where, masked=True)
        if placed is not None:
            placer.block(placed)
    # After the names are in: other lettering may stand there only where nothing else is free.
    placer.soft += [mount_rect(mount) for mount in view.mounts]


def mount_spans(view: WallView) -> Iterator[tuple[tuple[float, float], float, tuple[float, float]]]:
    """Along, depth and heights of the solid part of every mount: the board, the glass."""
    for mount in view.mounts:
        if mount.kind == "hooks":
            board = board_rect(view, mount)
            yield (mount.start, mount.end), view.panel, (board.bottom, board.top)
        else:
            yield (mount.start, mount.end), mount.depth, (mount.bottom, mount.top)
