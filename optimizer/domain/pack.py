"""The build pack as data: what a layout becomes on the saw, at the wall and in the store.

Everything here is worked out from a layout and its brief alone. Lengths are in the units
of the brief. Sheet layouts are in `optimizer.domain.sheets`.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from pydantic import Field

from optimizer.domain.fields import Record
from optimizer.domain.needs import Hang
from optimizer.units import Units


class PartKind(StrEnum):
    """What a part is; the letter of its id follows from it (`PART_LETTERS`)."""

    UPRIGHT = "upright"
    SHELF = "shelf"
    TOP_SHELF = "top_shelf"
    BACK_CLEAT = "back_cleat"
    SIDE_CLEAT = "side_cleat"
    ROD_CLEAT = "rod_cleat"
    JOINT_CLEAT = "joint_cleat"
    TRIANGLE = "triangle"
    STIFFENER = "stiffener"
    ROD = "rod"
    FILLER = "filler"
    SCRIBE = "scribe"
    HOOK_BOARD = "hook_board"


PART_LETTERS: dict[PartKind, str] = {
    PartKind.UPRIGHT: "U",
    PartKind.SHELF: "S",
    PartKind.TOP_SHELF: "S",
    PartKind.BACK_CLEAT: "K",
    PartKind.SIDE_CLEAT: "K",
    PartKind.ROD_CLEAT: "Q",
    PartKind.JOINT_CLEAT: "J",
    PartKind.TRIANGLE: "T",
    PartKind.STIFFENER: "N",
    PartKind.ROD: "R",
    PartKind.FILLER: "F",
    PartKind.SCRIBE: "F",
    PartKind.HOOK_BOARD: "H",
}
"""Letters of part ids: wall A's uprights are A-U1, A-U2 from the left; bay B2's shelves
B2-S1, B2-S2 from the floor up, with back cleat B2-K1, side cleats B2-K1L and B2-K1R and
stiffener B2-N1 under shelf B2-S1. A rod B2-R1 has its rod cleats B2-Q1L and B2-Q1R on side
walls; under shelf B2-S1 are the triangles B2-T1a, B2-T1b from the left, and the joint cleat
B2-J1L at a wrapped corner. A top shelf over several bays has the id of its first bay's. Hook
boards and mirrors of wall A are A-H1, A-H2 from the left."""


class Stock(StrEnum):
    """What a part is cut from: sheet goods, strips cut to length only, or rod."""

    SHEET = "sheet"
    STRIP = "strip"
    ROD = "rod"


class Edge(StrEnum):
    """Edges of a part as it is built in, seen from the room."""

    FRONT = "front"
    TOP = "top"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


class Box(Record):
    """Where a part is built in: nearest corner and size, from its wall's left end.

    `along` runs along the wall from its left end, `out` from the wall into the room,
    `bottom` up from the floor; `size_along`, `size_out` and `size_up` likewise.
    """

    along: float
    out: float
    bottom: float
    size_along: float
    size_out: float
    size_up: float

    @property
    def end(self) -> float:
        """Right end along the wall."""
        return self.along + self.size_along

    @property
    def front(self) -> float:
        """Face towards the room."""
        return self.out + self.size_out

    @property
    def top(self) -> float:
        """Upper face."""
        return self.bottom + self.size_up


class Notch(Record):
    """A piece cut out of a part's corner after it has been cut to size."""

    corner: Literal["back_bottom", "back_top"] = "back_bottom"
    depth: float = Field(description="Across the part's width.")
    height: float = Field(description="Along the part's length.")


class Part(Record):
    """One piece to cut. `length` x `width` x `thickness` is its size on the saw.

    A rod has width = thickness = its diameter; a triangle is half of its rectangle, cut from
    corner to corner. `bays` are the bays it belongs to: two for a shared upright, more for a
    top shelf over several. `grain` tells whether `length` must run with the grain of the sheet.
    """

    id: str
    name: str
    kind: PartKind
    stock: Stock
    material: str
    length: float
    width: float
    thickness: float
    count: int = 1
    wall: str
    bays: tuple[str, ...]
    box: Box
    grain: Literal["none", "length"] = "none"
    shown: tuple[Edge, ...] = ()
    notches: tuple[Notch, ...] = ()
    hang: Hang | None = Field(default=None, description="Of a rod: what hangs on it.")
    note: str = ""

    @property
    def area(self) -> float:
        """Face of one piece: of a triangle half of its rectangle."""
        return self.length * self.width * (0.5 if self.kind is PartKind.TRIANGLE else 1.0)


class CutListRow(Record):
    """Equal parts in one line of the cut list; rows come in cutting order."""

    row: int
    stock: Stock
    material: str
    thickness: float
    width: float
    length: float
    count: int
    name: str
    parts: tuple[str, ...]
    bays: tuple[str, ...]
    grain: Literal["none", "length"] = "none"
    shown: tuple[Edge, ...] = ()
    note: str = ""


class Cut(Record):
    """One saw setting: rips by width first, then crosscuts, diagonals, notches.

    A diagonal makes two triangles of a rectangle `setting` x `from_width`, from corner to corner.
    """

    step: int
    kind: Literal["rip", "crosscut", "diagonal", "notch"]
    stock: Stock
    material: str
    thickness: float
    setting: float = Field(description="Fence or stop: width of a rip, length of a crosscut.")
    from_width: float | None = Field(
        default=None, description="Of a crosscut: width of the strip it is cut from."
    )
    count: int = Field(description="Pieces to come off at this setting.")
    parts: tuple[str, ...]


class RodPiece(Record):
    """One rod with its pair of sockets, for one-dimensional stock and the mark-out."""

    part: str
    bay: str
    wall: str
    length: float
    diameter: float
    height: float = Field(description="Centre above the floor.")
    setback: float = Field(description="Centre to the wall behind.")
    sockets: int = 2


class Hardware(Record):
    """Things bought by the piece: sockets, brackets, fasteners."""

    key: str = Field(description="Name of it in the price book.")
    name: str
    count: int
    used_for: str
    parts: tuple[str, ...] = ()


class CheckStatus(StrEnum):
    """Verdict of a structural check."""

    PASS = "pass"  # noqa: S105  (a verdict)
    WARN = "warn"
    FAIL = "fail"


class Figure(Record):
    """One number of a check with what it is and its unit."""

    name: str
    value: float
    unit: str


class StructuralCheck(Record):
    """One check of one part: a demand against a limit, both in `unit`.

    `mends` are worked out, each with the figure it would bring.
    """

    part: str
    kind: Literal["board", "rod", "upright", "cleat", "socket", "mid_support", "joint"]
    check: str
    status: CheckStatus
    demand: float
    limit: float
    unit: str
    figures: tuple[Figure, ...] = ()
    formula: str
    source: str
    mends: tuple[str, ...] = ()

    @property
    def use(self) -> float:
        """Demand as a part of the limit; above 1 fails."""
        return self.demand / self.limit if self.limit else float("inf")


class MarkoutLine(Record):
    """One thing to mark or fasten on a wall, in the order of work.

    `height` is above the floor at the datum's reference and `from_datum` above (+) or
    below (-) the level line; of a cleat, a hook board or a mirror both are its top edge, of a rod
    its centre, of an upright its top. `start` and `end` run from the left corner of `wall`: for a
    cleat on a side wall, of that wall.
    """

    order: int
    wall: str
    kind: Literal[
        "datum",
        "stud",
        "upright",
        "cleat",
        "side_cleat",
        "rod_cleat",
        "joint_cleat",
        "mid_support",
        "rod",
        "filler",
        "hook_board",
        "mirror",
    ]
    part: str
    height: float
    from_datum: float
    start: float
    end: float
    studs: tuple[float, ...] = Field(default=(), description="Centres of studs it catches.")
    fastener: str = ""
    fastener_length: float | None = None
    fasteners: int = 0
    flagged: bool = False
    note: str = ""


class ChainLink(Record):
    """One length of a dimension chain."""

    label: str
    start: float
    length: float


class WallChain(Record):
    """Lengths along a wall, end to end: they add up to `total`, the wall's least reading."""

    wall: str
    total: float
    links: tuple[ChainLink, ...]


class PriceLine(Record):
    """One line of the shopping list, in whole units as sold."""

    section: Literal["sheet", "strip", "rod", "hardware", "fastener", "finish", "sundry", "unit"]
    key: str
    description: str
    needed: float = Field(description="What the work takes, in `needed_unit`.")
    needed_unit: str
    quantity: int = Field(description="Packs, boxes, sheets or lengths to buy.")
    unit: str
    unit_price: float
    amount: float
    note: str = ""


class TaskHours(Record):
    """Hours of one person for one task, with what they rest on."""

    task: str
    hours: float
    basis: str


class Quote(Record):
    """A customer's price; rates are shares (0.2 is 20 %)."""

    materials: float
    hours: float
    labour_rate: float
    labour: float
    margin_rate: float
    margin: float
    tax_rate: float
    tax: float
    total: float
    currency: str


class Weights(Record):
    """Weight of the whole and of the heaviest part and sheet; lb or kg as `unit` says."""

    unit: Literal["lb", "kg"]
    total: float
    heaviest: float
    heaviest_part: str
    sheet: float = Field(description="Weight of one full sheet.")


AreaUnit = Literal["sq ft", "m2"]


class FinishNeed(Record):
    """How much of one finish the surfaces take."""

    key: str
    name: str
    area: float = Field(description="Surface to cover [sq ft or m2].")
    area_unit: AreaUnit
    coats: int
    amount: float
    unit: str


class Caution(Record):
    """A warning for the place where the hands are; `where` names that page."""

    where: Literal["cut_list", "sheets", "markout", "assembly", "finish", "structure", "all"]
    topic: str
    text: str
    source: str


WorkStage = Literal["room", "bench", "wall", "finish"]


class WorkStep(Record):
    """One step of the order of work, with the parts it is about."""

    step: int
    stage: WorkStage = Field(
        description="Where the work is: the room, the bench, the wall, the finish."
    )
    text: str
    parts: tuple[str, ...] = ()


class SiteCheck(Record):
    """Something to measure or find again before the first cut, with what was planned on."""

    what: str
    planned: str
    wall: str | None = None


class BaseboardCut(Record):
    """A piece of baseboard that comes off, from `start` to `end` of `wall`, for an upright."""

    wall: str
    start: float
    end: float
    part: str

    @property
    def length(self) -> float:
        """Length that comes off."""
        return self.end - self.start


class CarpetCut(Record):
    """Carpet under an upright, from `start` to `end` of `wall` and `depth` out from it."""

    wall: str
    start: float
    end: float
    depth: float
    part: str


class RoomSurface(Record):
    """A wall, or without one the ceiling in plan, to be painted before anything is fixed to it."""

    wall: str | None = None
    area: float = Field(description="Without its openings [sq ft or m2].")
    area_unit: AreaUnit
    carries: bool = Field(
        default=False, description="Whether storage is fixed to it: patched flat."
    )


class BuildPack(Record):
    """Everything a build needs except the drawings and the sheet layouts."""

    name: str
    units: Units
    rank: int
    parts: tuple[Part, ...]
    cut_list: tuple[CutListRow, ...]
    cuts: tuple[Cut, ...]
    rods: tuple[RodPiece, ...]
    hardware: tuple[Hardware, ...]
    checks: tuple[StructuralCheck, ...]
    datum: float = Field(description="Height of the level line above the floor.")
    markout: tuple[MarkoutLine, ...]
    chains: tuple[WallChain, ...]
    finish: tuple[FinishNeed, ...]
    shopping: tuple[PriceLine, ...]
    hours: tuple[TaskHours, ...]
    quote: Quote
    weights: Weights
    cautions: tuple[Caution, ...]
    notes: tuple[str, ...] = Field(default=(), description="What to verify on site.")
    work: tuple[WorkStep, ...] = Field(default=(), description="The order of work.")
    site_checks: tuple[SiteCheck, ...] = Field(
        default=(), description="What to measure again before the first cut."
    )
    baseboard_cuts: tuple[BaseboardCut, ...] = Field(
        default=(), description="Pieces of baseboard that come off."
    )
    carpet_cuts: tuple[CarpetCut, ...] = Field(
        default=(), description="Carpet under the feet of uprights."
    )
    room_surfaces: tuple[RoomSurface, ...] = Field(
        default=(), description="Walls and ceiling to patch and paint."
    )
    fewer_sheets: str = Field(
        default="", description="The nearest layout that takes fewer sheets, where one was found."
    )

    def part(self, part_id: str) -> Part:
        """The part of that id; KeyError when there is none."""
        for part in self.parts:
            if part.id == part_id:
                return part
        raise KeyError(part_id)
