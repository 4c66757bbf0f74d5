"""The price book: what stock, pieces, finishes and hours cost. Lengths in it are inches.

The one shipped with the program is invented and says so.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError, model_validator

from optimizer.domain.brief import Brief
from optimizer.domain.construction import Material, RodStock
from optimizer.domain.fields import Record, Size, WithUnits
from optimizer.domain.validation import faults_of
from optimizer.errors import BuildError, Fault, PriceBookError
from optimizer.units import MM_PER_INCH, Units

Money = Annotated[float, Field(ge=0, le=1e6, strict=True)]
Amount = Annotated[float, Field(gt=0, le=1e6, strict=True)]
Rate = Annotated[float, Field(ge=0, le=10, strict=True)]
Minute = Annotated[float, Field(ge=0, le=1e4, strict=True)]

THICKNESS_SLACK_IN = 0.0625
"""How far a sheet's thickness may lie from the line of the book it is priced by."""

SQUARE_INCHES = {"sq ft": 144.0, "m2": (1000.0 / MM_PER_INCH) ** 2}
INCHES = {"ft": 12.0, "m": 1000.0 / MM_PER_INCH}

MAX_BOOK_BYTES = 1_000_000


class About(Record):
    """What the book says of itself."""

    note: Annotated[str, Field(max_length=500)] = ""
    currency: Annotated[str, Field(max_length=10)] = ""


class SheetPrice(Record):
    """Price of sheet goods of one material and thickness."""

    material: Material
    thickness: Size
    price: Money
    per: Literal["sq ft", "m2", "sheet"]
    size: tuple[Size, Size] | None = None

    @model_validator(mode="after")
    def _sized_sheet(self) -> SheetPrice:
        """Refuse a price for a sheet of no size."""
        if self.per == "sheet" and self.size is None:
            raise ValueError('a price per "sheet" needs the size of the sheet')
        return self

    @property
    def per_square_inch(self) -> float:
        """Money for a square inch."""
        if self.per != "sheet":
            return self.price / SQUARE_INCHES[self.per]
        # `_sized_sheet` has refused a sheet without a size: the stand-in is for the type checker.
        length, width = self.size or (1.0, 1.0)
        return self.price / (length * width)


class OffcutOnHand(Record):
    """Sheet pieces left from earlier work; they cost nothing."""

    material: Material
    thickness: Size
    size: tuple[Size, Size]
    count: Annotated[int, Field(ge=1, le=100, strict=True)] = 1


class StripPrice(Record):
    """Price of strips by length."""

    price: Money
    per: Literal["ft", "m"]

    @property
    def per_inch(self) -> float:
        """Money for an inch."""
        return self.price / INCHES[self.per]


class RodPrice(StripPrice):
    """Price of one rod stock by length."""

    stock: RodStock


class PiecePrice(Record):
    """Price of a pack of things that are counted."""

    key: Annotated[str, Field(min_length=1, max_length=40)]
    name: Annotated[str, Field(min_length=1, max_length=100)]
    pack: Annotated[int, Field(ge=1, le=100_000, strict=True)] = 1
    price: Money


class Can(Record):
    """One size of can, in gallons or litres."""

    size: Amount
    price: Money


class FinishPrice(Record):
    """A finish: coats, area that one gallon or litre covers, and the cans it comes in."""

    key: Annotated[str, Field(min_length=1, max_length=40)]
    name: Annotated[str, Field(min_length=1, max_length=100)]
    coats: Annotated[int, Field(ge=0, le=10, strict=True)]
    coverage: Amount
    per: Literal["sq ft/gal", "m2/l"]
    cans: Annotated[tuple[Can, ...], Field(min_length=1, max_length=4)]

    @property
    def unit(self) -> str:
        """Unit of a can's size."""
        return "gal" if self.per == "sq ft/gal" else "l"

    def amount(self, square_inches: float) -> float:
        """Gallons or litres for all coats on an area [sq in]."""
        unit_area = SQUARE_INCHES["sq ft" if self.unit == "gal" else "m2"]
        return square_inches / unit_area * self.coats / self.coverage


class Use(Record):
    """How much of the sundries the work takes."""

    caulk_bead: Size
    sanding_area_per_sheet: Amount
    glue_length_per_bottle: Amount


class Minutes(Record):
    """Minutes of one person for each of what a field names."""

    set_up: Minute
    mark_wall: Minute
    mark_cleat: Minute
    saw_setting: Minute
    sheet_part: Minute
    stick_part: Minute
    notch: Minute
    sand_sq_ft: Minute
    finish_sq_ft: Minute
    hang_back_cleat: Minute
    set_upright: Minute
    fix_side_cleat: Minute
    lay_shelf: Minute
    fix_stiffener: Minute
    hang_rod: Minute
    fit_strip: Minute
    caulk_ft: Minute


class QuoteRates(Record):
    """Rates of the customer's quote; shares, 0.2 is 20 %."""

    labour_rate: Money
    margin: Rate = 0.0
    tax: Rate = 0.0


class PriceBook(WithUnits):
    """All prices and times of one shop."""

    about: About = About()
    sheet: Annotated[tuple[SheetPrice, ...], Field(max_length=200)]
    offcut: Annotated[tuple[OffcutOnHand, ...], Field(max_length=200)] = ()
    strip: StripPrice
    rod: Annotated[tuple[RodPrice, ...], Field(max_length=20)]
    piece: Annotated[tuple[PiecePrice, ...], Field(max_length=200)]
    finish: Annotated[tuple[FinishPrice, ...], Field(max_length=20)]
    use: Use
    minutes: Minutes
    quote: QuoteRates

    @classmethod
    def units_of(cls, data: Mapping[str, Any]) -> Units:  # noqa: ARG003 - the same for every book
        """Inches, whatever the units of the briefs that it is used for."""
        return Units.INCH

    @model_validator(mode="after")
    def _one_line_a_key(self) -> PriceBook:
        """Refuse two lines of one key."""
        # Pieces and finishes share one list of keys: a shopping line names what it is priced by
        # with it.
        keys = [line.key for line in self.piece] + [line.key for line in self.finish]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise ValueError(f"more than one line has the key {', '.join(twice)}")
        return self

    def sheets_of(self, material: Material, thickness: float) -> tuple[SheetPrice, ...]:
        """Lines for a material within 1/16 in of `thickness` [in], nearest first."""
        near = (
            line
            for line in self.sheet
            if line.material is material
            and abs(line.thickness - thickness) <= THICKNESS_SLACK_IN + 1e-9
        )
        return tuple(sorted(near, key=lambda line: abs(line.thickness - thickness)))

    def sheet_rate(self, material: Material, thickness: float, part: str) -> float:
        """Money for a square inch of sheet; BuildError naming `part` where there is no line."""
        lines = self.sheets_of(material, thickness)
        if not lines:
            raise BuildError(
                f"part {part}: the price book has no sheet of {material.value} "
                f"{thickness:.3g} in ({thickness * MM_PER_INCH:.3g} mm) thick"
            )
        return lines[0].per_square_inch

    def rough_sheet_rate(self, material: Material, thickness: float, part: str) -> float:
        """As `sheet_rate`; between the lines of the book, in proportion to the thickness."""
        own = [line for line in self.sheet if line.material is material]
        if not own or self.sheets_of(material, thickness):
            return self.sheet_rate(material, thickness, part)
        nearest = min(own, key=lambda line: abs(line.thickness - thickness))
        return nearest.per_square_inch * thickness / nearest.thickness

    def stretched(self, brief: Brief) -> PriceBook:
        """The book with a rough line for the brief's sheet stock where it has none."""
        rules = brief.construction
        thickness = brief.units.to_inch(rules.panel_thickness)
        if self.sheets_of(rules.material, thickness):
            return self
        rate = self.rough_sheet_rate(rules.material, thickness, "any panel")
        line = SheetPrice(
            material=rules.material,
            thickness=thickness,
            price=rate * SQUARE_INCHES["sq ft"],
            per="sq ft",
        )
        return self.model_copy(update={"sheet": (*self.sheet, line)})

    def rod_rate(self, stock: RodStock, part: str) -> float:
        """Money for an inch of rod; BuildError naming `part` where there is no line."""
        for line in self.rod:
            if line.stock is stock:
                return line.per_inch
        raise BuildError(f"part {part}: the price book has no rod of {stock.value}")

    def piece_of(self, key: str, part: str) -> PiecePrice:
        """Price of a thing that is counted; BuildError naming `part` where there is none."""
        for line in self.piece:
            if line.key == key:
                return line
        raise BuildError(f"{part}: the price book has no price for {key}")


def parse_price_book(text: str) -> PriceBook:
    """A price book from TOML text; PriceBookError with every fault found."""
    try:
        data: dict[str, Any] = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise PriceBookError([Fault("", f"no valid TOML: {error}", "toml")]) from None
    try:
        return PriceBook.model_validate(data)
    except ValidationError as error:
        raise PriceBookError(faults_of(error, data)) from None


def load_price_book(path: Path) -> PriceBook:
    """A price book from a file; PriceBookError where it cannot be read or breaks a rule."""
    try:
        raw = path.read_bytes()
        if len(raw) > MAX_BOOK_BYTES:
            raise PriceBookError([Fault("", f"{path} is too large for a price book", "size")])
        return parse_price_book(raw.decode("utf-8"))
    except UnicodeDecodeError:
        raise PriceBookError([Fault("", f"{path} is not text in UTF-8", "encoding")]) from None
    except OSError as error:
        reason = error.strerror or "cannot be read"
        raise PriceBookError([Fault("", f"{path}: {reason}", "file")]) from None


@cache
def invented_prices() -> PriceBook:
    """The price book shipped with the program; its prices are invented."""
    return parse_price_book(
        files("optimizer.reference").joinpath("prices.toml").read_text(encoding="utf-8")
    )
