"""What carries boards and rods between the ends of a bay: triangles, brackets, rod brackets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from optimizer.domain.construction import RodStock
from optimizer.domain.layout import Bay, Zone
from optimizer.domain.pack import Part, PartKind
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.cleats import boards_under, part_rect
from optimizer.drawing.views.scene import WallView, rod_height
from optimizer.structure.members import TRIANGLE_SHARE, triangle_leg

ROD_DIAMETER_IN = {RodStock.STEEL_TUBE: 1.3125, RodStock.WOOD_DOWEL: 1.25}
"""Drawn thickness of rods [in]: tube of 1-5/16 in outside, dowel of 1-1/4 in: common sizes."""

_BRACKET_IN = 1.0
"""Drawn width of a bought bracket, and of a rod's centre bracket [in]: common practice."""


@dataclass(frozen=True, slots=True)
class Support:
    """A triangle or bracket under a board: its width along the wall, its legs out and down."""

    left: float
    right: float
    top: float
    out: float
    down: float

    @property
    def rect(self) -> Rect:
        """As it is seen from the front."""
        return Rect(self.left, self.top - self.down, self.right, self.top)


def supports_of(view: WallView, bay: Bay) -> Iterable[Support]:
    """Mid supports of a bay, one under every board that has room for it at each place."""
    half = _width(view) / 2
    for place in bay.mid_supports:
        for board in boards_under(view, bay):
            down = triangle_leg(view.brief.units, board)
            if board.cleat and down > 0:
                out = TRIANGLE_SHARE * board.depth
                yield Support(place - half, place + half, board.underside, out, down)


def support_rects(view: WallView, bay: Bay, parts: Sequence[Part]) -> list[Rect]:
    """Mid supports from the front: triangles as in the pack where there is one."""
    cut = [part_rect(p) for p in parts if p.kind is PartKind.TRIANGLE and bay.id in p.bays]
    # Brackets are bought: the pack has no parts for them, and they are drawn from the layout.
    return cut or [support.rect for support in supports_of(view, bay)]


def _width(view: WallView) -> float:
    """Width of a mid support along the wall."""
    if view.brief.construction.mid_support == "triangle":
        return view.panel
    return view.brief.units.from_inch(_BRACKET_IN)


def rod_bracket_rects(view: WallView, bay: Bay) -> list[Rect]:
    """Centre brackets of the bay's rods from the front: from what is over the rod to its foot."""
    half = view.brief.units.from_inch(_BRACKET_IN) / 2
    return [
        Rect(
            place - half,
            rod_height(zone) - rod_radius(view),
            place + half,
            bracket_top(view, zone),
        )
        for place in bay.mid_supports
        for zone in view.rods(bay)
    ]


def bracket_top(view: WallView, zone: Zone) -> float:
    """Where a rod's centre bracket begins: under the board, or one clearance over the rod."""
    return min(zone.top, rod_height(zone) + view.brief.construction.rod_clearance)


def rod_radius(view: WallView) -> float:
    """Half the drawn thickness of a rod."""
    stock = view.brief.construction.rod_stock
    return view.brief.units.from_inch(ROD_DIAMETER_IN[stock]) / 2
