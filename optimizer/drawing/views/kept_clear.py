"""Boxes of the brief that nothing may stand in, hatched with the reason written in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.domain.room import KeepClear
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas, corners
from optimizer.drawing.ink.labels import Placer, Spot
from optimizer.drawing.ink.lettering import Rect, printable
from optimizer.drawing.views.elevation_corner import corner_ends
from optimizer.drawing.views.scene import WallView

_HATCH_MM = 3.0
"""Distance of the hatch lines [mm]: wide, so that what is behind can still be read."""


@dataclass(frozen=True, slots=True)
class KeptClear:
    """A box as a drawing shows it, with what to write in it."""

    box: KeepClear
    rect: Rect

    @property
    def text(self) -> str:
        """Why it is kept clear."""
        return kept_text(self.box)


def kept_text(box: KeepClear) -> str:
    """What is written in a box."""
    why = printable(box.why)
    return f"keep clear: {why}" if why else "keep clear"


def kept_in_front(view: WallView) -> list[KeptClear]:
    """Boxes seen in the elevation of a wall: its own, and those of the walls beside its ends.

    Of the latter only what lies as near to this wall as its bays are deep.
    """
    return [*_own(view), *_beside(view)]


def _own(view: WallView) -> Iterator[KeptClear]:
    """Boxes measured from this wall."""
    for box in view.keep_clear:
        rect = Rect(box.start, box.bottom, box.start + box.width, box.bottom + box.height)
        yield KeptClear(box, rect)


def _beside(view: WallView) -> Iterator[KeptClear]:
    """Boxes measured from the walls beside it, seen from the side."""
    reach = max((bay.depth for bay in view.bays), default=0.0)
    for corner in corner_ends(view):
        for box in corner.other.keep_clear:
            # Further from the corner the box lies in front of this wall's bays, and would be drawn
            # over them.
            if corner.gap(box.start, box.start + box.width) < reach:
                left, right = corner.span(0.0, box.depth)
                yield KeptClear(box, Rect(left, box.bottom, right, box.bottom + box.height))


def draw_kept(canvas: Canvas, rect: Rect) -> None:
    """A box kept clear: dashed outline, wide hatch."""
    # At a right angle to the hatch of what is cut, so that the two are told apart.
    canvas.hatch([corners(rect)], layers.KEEP_CLEAR, spacing_mm=_HATCH_MM, angle=90.0)
    canvas.rect(rect, layers.KEEP_CLEAR)


def label_kept(placer: Placer, rect: Rect, text: str, where: str) -> None:
    """Why a box is kept clear, written in it, level or upright; else its number in the notes."""
    bounds = rect if placer.bounds is None else rect.shared(placer.bounds)
    inside = Placer(placer.canvas, placer.notes, bounds, placer.taken)
    x, y = bounds.centre
    shares = (0.0, 0.25, -0.25, 0.4, -0.4)
    level = [Spot((x, y + share * bounds.height)) for share in shares]
    upright = [Spot((x + share * bounds.width, y), rotation=90) for share in shares]
    placed = inside.label(text, [*level, *upright], where=where, masked=True)
    if placed is not None:
        placer.block(placed)
