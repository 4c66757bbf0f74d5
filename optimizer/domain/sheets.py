"""Sheet layouts: parts on stock sheets and sticks, the cuts that free them, what is left.

Lengths are in the units of the brief. A sheet lies with its `width` along x and its
`height` along y; the grain runs along x. The first cuts of a sheet run along x and the second
along y, or on a sheet cut `across` the other way round.
Everything is on a grid of `step` (1/32 in or 0.1 mm): parts, kerf and trim are rounded
up to it and stock is rounded down, so that areas add up exactly.
"""

from __future__ import annotations

from enum import IntEnum
from typing import Annotated

from pydantic import Field

from optimizer.domain.fields import Record
from optimizer.figures import at_most

Length = Annotated[float, Field(ge=0)]
Positive = Annotated[float, Field(gt=0)]
PartId = Annotated[str, Field(min_length=1, max_length=60)]

PAIRED = "+"
"""Between the ids of two triangles that come out of one rectangle."""


class StockSheet(Record):
    """A size of sheet to be had: `count` of them on hand, or any number (None).

    `price` is per sheet in the currency of the price book. An `offcut` is on hand
    already: it costs nothing and does not count as a sheet bought.
    """

    width: Positive
    height: Positive
    count: Annotated[int, Field(ge=0)] | None = None
    price: Annotated[float, Field(ge=0)] | None = None
    offcut: bool = False
    name: str = ""


class SheetPart(Record):
    """`count` equal parts to be cut from sheets; `length` lies along the grain.

    `can_turn` allows a quarter turn on the sheet: false where the grain must follow
    the part's length.
    """

    id: PartId
    length: Positive
    width: Positive
    count: Annotated[int, Field(ge=1)] = 1
    can_turn: bool = True


class Box(Record):
    """A rectangle on a sheet: lower left corner and size."""

    x: Length
    y: Length
    width: Length
    height: Length

    @property
    def right(self) -> float:
        """Largest x."""
        return self.x + self.width

    @property
    def top(self) -> float:
        """Largest y."""
        return self.y + self.height

    @property
    def area(self) -> float:
        """Width times height."""
        return self.width * self.height


class PlacedPart(Box):
    """One piece of a part where it lies; `turned` when its length lies along y.

    `copy_number` counts the pieces of one part from 1 over all sheets.
    """

    part: PartId
    copy_number: Annotated[int, Field(ge=1)]
    turned: bool = False


class CutStage(IntEnum):
    """What a cut is for, in the order of cutting: RIP parts a sheet into strips, CROSS a strip
    into parts, TRIM brings a part to size, OFFCUT takes a small part from what is left."""

    EDGE = 0
    RIP = 1
    CROSS = 2
    TRIM = 3
    OFFCUT = 4


class SheetCut(Record):
    """One straight cut, edge to edge of the `piece` it divides, numbered in cutting order.

    `kerf` is the band that the blade takes: never wider than the blade, narrower where
    the blade runs partly off the edge. `along_x` tells a cut along x (a rip or a trim to
    width) from one along y. `size` is what the cut makes of the piece: the width of the
    strip or the length of the part, to set the fence by.
    """

    number: Annotated[int, Field(ge=1)]
    stage: CutStage
    along_x: bool
    piece: Box
    kerf: Box
    size: Length


class Offcut(Box):
    """A rectangle left over; `reusable` when it is large enough to keep."""

    reusable: bool = False


class SheetLayout(Record):
    """One sheet cut up. `edge_trim` is what is taken off each of its four edges.

    The first cuts run along x, on a sheet cut `across` along y. Sheets of one `pattern` are
    cut alike (their parts may be different copies).
    """

    number: Annotated[int, Field(ge=1)]
    stock: StockSheet
    width: Positive
    height: Positive
    edge_trim: Length
    across: bool = False
    pattern: Annotated[int, Field(ge=1)]
    parts: tuple[PlacedPart, ...]
    cuts: tuple[SheetCut, ...]
    offcuts: tuple[Offcut, ...]

    @property
    def part_area(self) -> float:
        """Area of the parts on the sheet."""
        return sum(part.area for part in self.parts)

    @property
    def yield_ratio(self) -> float:
        """Share of the sheet that becomes parts."""
        return self.part_area / (self.width * self.height)


class NestingResult(Record):
    """Sheets that hold every part, and what is proved of their number.

    `bought` counts the sheets that are no offcuts on hand; no layout of the same kind of
    cutting (`method` says which) needs fewer than `lower_bound`, and none costs less than
    `cost_bound`. `proved` is true when cost and bound meet. Cost is the price of the
    sheets bought where every size to buy has one, else their area relative to the largest
    size to buy (with one size: the number of sheets). `covers` says which layouts the proof is
    about.
    """

    sheets: tuple[SheetLayout, ...]
    bought: Annotated[int, Field(ge=0)]
    lower_bound: Annotated[int, Field(ge=0)]
    cost: Length
    cost_bound: Length
    proved: bool
    method: str
    covers: str = ""
    kerf: Length
    step: Positive
    seconds: Length = 0.0

    @property
    def statement(self) -> str:
        """What is proved, and of which layouts: '3 sheets, proved the fewest that cuts
        into strips along or across ... allow'."""
        said = _statement(self, "sheet", "sheets")
        return f"{said} {self.covers}" if "proved" in said and self.covers else said


class StockStick(Record):
    """A length of rod or strip to be had: `count` on hand, or any number (None)."""

    length: Positive
    count: Annotated[int, Field(ge=0)] | None = None
    price: Annotated[float, Field(ge=0)] | None = None
    offcut: bool = False
    name: str = ""


class StickPart(Record):
    """`count` equal pieces to be cut to `length` from sticks."""

    id: PartId
    length: Positive
    count: Annotated[int, Field(ge=1)] = 1


class PlacedStick(Record):
    """One piece from `start` to `start + length` along its stick."""

    part: PartId
    copy_number: Annotated[int, Field(ge=1)]
    start: Length
    length: Positive

    @property
    def end(self) -> float:
        """Where the piece ends."""
        return self.start + self.length


class StickLayout(Record):
    """One stick cut up, its pieces from the left end; `offcut` is what is left at the right.

    `kerf_loss` is all that the blade takes from it.
    """

    number: Annotated[int, Field(ge=1)]
    stock: StockStick
    length: Positive
    parts: tuple[PlacedStick, ...]
    kerf_loss: Length
    offcut: Length


class StickResult(Record):
    """Sticks that hold every piece, and what is proved of their number; as `NestingResult`."""

    sticks: tuple[StickLayout, ...]
    bought: Annotated[int, Field(ge=0)]
    lower_bound: Annotated[int, Field(ge=0)]
    cost: Length
    cost_bound: Length
    proved: bool
    method: str
    kerf: Length
    step: Positive
    seconds: Length = 0.0

    @property
    def statement(self) -> str:
        """What is proved, in words."""
        return _statement(self, "length", "lengths")


def _statement(result: NestingResult | StickResult, one: str, many: str) -> str:
    """'3 sheets, proved the fewest' or '3 sheets, proved at least 2'."""
    counted = f"{result.bought} {one if result.bought == 1 else many}"
    if result.bought != result.lower_bound:
        fewest = "" if result.proved else f", proved at least {result.lower_bound}"
    else:
        fewest = ", proved the fewest"
    # Of several sizes of sheet the cheapest choice need not be the one of fewest sheets: what is
    # proved then is the cost.
    if result.proved:
        return counted + (fewest or ", proved the least cost")
    if result.bought != result.lower_bound or result.cost_bound <= 0:
        return counted + fewest
    # Fewest, but perhaps not cheapest: so many sheets could be had for less as far as is proved.
    over = at_most(100.0 * (result.cost / result.cost_bound - 1.0), 1)
    return f"{counted}{fewest}, at most {over}% dearer than the least cost"
