"""A layout: bays on walls, each a stack of zones, with what was claimed of it.

Lengths are in the units of the brief. `start` and `width` of a bay are the clear space
along the wall between its uprights, or up to the side wall or the corner where that carries
its boards, from the wall's left end.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from optimizer.domain.fields import Distance, Flag, Identifier, Real, Record, Size, Whole
from optimizer.domain.need_ids import NeedId
from optimizer.domain.needs import MAX_HOOKS, MAX_MOUNTED, MAX_STORED_LINES, Hang

MAX_BAYS = 200
MAX_ZONES = 40
MAX_SUPPORTS = 12


class ZoneKind(StrEnum):
    """Kinds of level in a bay."""

    FLOOR = "floor"
    ROD = "rod"
    SHELF = "shelf"


class Carried(StrEnum):
    """What an end of a bay stands on.

    *upright*: a panel, shared or its own. *wall*: the side wall at an inside corner; boards
    lie on side cleats fastened to its studs, a rod's socket sits on such a cleat. *corner*:
    boards of a shelf bay butt against the front edge of the next wall's boards of the same
    heights, on a joint cleat under both.
    """

    UPRIGHT = "upright"
    WALL = "wall"
    CORNER = "corner"


class Kept(Record):
    """So many things of one kind, by its name in the brief's `stored`, on one shelf."""

    kind: Annotated[str, Field(min_length=1, max_length=40)]
    count: Annotated[int, Field(ge=1, le=2000, strict=True)]


class Zone(Record):
    """One level of a bay, clear from `bottom` to `top` above the floor.

    A floor zone stands on the floor. A shelf zone is the clear space on one board whose
    top is at `bottom`. A rod zone reaches from the lowest point of its clothes to the
    underside of what is above; `rod_height` is the rod's centre. `depth` is how far the
    zone reaches out from the wall (of a shelf zone, the depth of its board).
    """

    kind: ZoneKind
    bottom: Distance
    top: Distance
    depth: Distance | None = None
    hang: Hang | None = None
    rod_height: Distance | None = None
    items: Annotated[tuple[Identifier, ...], Field(max_length=60)] = ()
    stored: Annotated[tuple[Kept, ...], Field(max_length=MAX_STORED_LINES)] = ()


class Bay(Record):
    """The space between two ends on one wall; zones run from bottom to top.

    `left` and `right` say what carries each end. `height` is the top of the highest board:
    the line that its uprights are cut to. `stiffened` boards carry a front stiffener.
    `mid_supports` are positions along the wall, each on a stud, where a bracket or a triangle
    of sheet carries every board of the bay, and a bracket every rod.
    """

    id: Annotated[str, Field(min_length=1, max_length=40)]
    wall: Identifier
    start: Distance
    width: Size
    depth: Size
    pattern: Annotated[str, Field(min_length=1, max_length=400)] = Field(
        description="The name of its stack of zones from the floor up: depths, heights of rods and "
        "of the lowest and the highest of equally spaced shelves. A pin gives it back unchanged."
    )
    zones: Annotated[tuple[Zone, ...], Field(max_length=MAX_ZONES)]
    height: Size
    stiffened: Flag = False
    left: Carried = Carried.UPRIGHT
    right: Carried = Carried.UPRIGHT
    mid_supports: Annotated[tuple[Distance, ...], Field(max_length=MAX_SUPPORTS)] = ()

    @property
    def end(self) -> float:
        """Right end of the clear space."""
        return self.start + self.width


class Mount(Record):
    """Hooks or a mirror on a piece of wall that is kept for it.

    It takes the wall from `start` over `width`, from `bottom` (the lowest point of what hangs
    there) to `top` and out to `depth`. `hooks` are their positions along the wall, at
    `hook_height` above the floor; a mirror has none.
    """

    id: Identifier
    kind: Literal["hooks", "mirror"]
    wall: Identifier
    start: Distance
    width: Size
    bottom: Distance
    top: Size
    depth: Size
    hook_height: Distance | None = None
    hooks: Annotated[tuple[Distance, ...], Field(max_length=MAX_HOOKS)] = ()

    @property
    def end(self) -> float:
        """Right end of the wall it takes."""
        return self.start + self.width


class Filler(Record):
    """A left-over strip of wall closed against the wall or a neighbour."""

    wall: Identifier
    start: Distance
    width: Size
    kind: Literal["scribe", "filler"]


class TermName(StrEnum):
    """Lines of the score: what the needs require, then the six priorities."""

    NEEDS = "needs"
    HANGING = "hanging"
    SHELVING = "shelving"
    OPEN_FLOOR = "open_floor"
    EASY_REACH = "easy_reach"
    LOW_COST = "low_cost"
    SIMPLE_BUILD = "simple_build"


class Term(Record):
    """One line of the score: `points` = share of the weights x `value` x 100."""

    name: TermName
    weight: Real
    value: Real
    points: Real


class Metrics(Record):
    """What a layout holds and takes, from its zones alone."""

    long_hang: Real
    medium_hang: Real
    short_hang: Real
    shelf_length: Real
    shelf_area: Real
    open_floor: Real
    easy_length: Real = Field(description="Rod and shelf length within easy reach.")
    items_housed: Whole
    material_cost: Real = Field(
        description="What the build pack's shopping list comes to: whole sheets, strips and rods, "
        "hardware, fasteners, finish and sundries by the program's price book, whose prices are "
        "invented and have no currency; no labour, margin or tax."
    )
    cost_error: Real = Field(
        default=0.0,
        description="Share by which the pack's own sum may differ: 0 where the sheets are laid "
        "out with proof, more where the cost is an estimate.",
    )
    sheets: Whole = Field(description="Sheets to buy, laid out for cutting.")
    parts: Whole


LENGTH_WORDS = {
    "long_hang": "long hang",
    "medium_hang": "medium hang",
    "short_hang": "short hang",
    "shelf_length": "shelf",
    "open_floor": "open floor",
    "easy_length": "within easy reach",
}
"""The lengths among the metrics, in words."""


class Unmet(Record):
    """A need that a layout does not meet, with the amount and why."""

    need: NeedId
    required: Real
    achieved: Real
    shortfall: Real
    reason: Literal["impossible", "traded_off", "unknown"]
    detail: str
    price: Real | None = Field(
        default=None, description="Points of score that meeting it would cost, if traded off."
    )
    rule: str | None = Field(
        default=None,
        description="Pointer to the field of the brief whose rule binds, if impossible.",
    )


class Strained(Record):
    """The part of a layout nearest to a limit of strength: 1 is the limit itself."""

    share: Real
    of: str


class Layout(Record):
    """A buildable proposal with its score and its proof.

    `lines` are the heights of the top board by wall, the highest where a wall has several;
    `margins` how much shorter each wall may turn out before the layout no longer goes in.
    """

    rank: Annotated[int, Field(ge=1, strict=True)] = 1
    score: Real = 0.0
    bound: Real = 100.0
    gap: Real = 0.0
    status: Literal["optimal", "within_gap", "bounded", "time_limit", "rescored", "provisional"] = (
        "optimal"
    )
    terms: tuple[Term, ...] = ()
    metrics: Metrics | None = None
    unmet: tuple[Unmet, ...] = ()
    bays: Annotated[tuple[Bay, ...], Field(max_length=MAX_BAYS)] = ()
    # Twice, since rows of hooks and mirrors have a limit each.
    mounts: Annotated[tuple[Mount, ...], Field(max_length=2 * MAX_MOUNTED)] = ()
    fillers: Annotated[tuple[Filler, ...], Field(max_length=MAX_BAYS)] = ()
    trade_off: str = ""
    lines: dict[Identifier, Distance] = Field(default_factory=dict)
    structure: Strained | None = None
    margins: dict[Identifier, Distance] = Field(default_factory=dict)
