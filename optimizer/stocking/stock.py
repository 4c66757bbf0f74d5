"""Parts and stock in the form in which sheets and sticks are laid out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from optimizer.domain.brief import Brief
from optimizer.domain.pack import Part, Stock
from optimizer.domain.sheets import SheetPart, StickPart, StockSheet, StockStick
from optimizer.errors import BuildError
from optimizer.parts.triangles import blanks
from optimizer.reference.prices import THICKNESS_SLACK_IN, PriceBook
from optimizer.tolerances import FINE
from optimizer.units import Units, format_short


def sheet_parts(
    parts: Iterable[Part], kerf: float = 0.0, units: Units = Units.INCH
) -> tuple[SheetPart, ...]:
    """Parts cut from sheets, triangles two to a rectangle; where grain counts they do not turn."""
    return tuple(
        SheetPart(
            id=part.id,
            length=part.length,
            width=part.width,
            count=part.count,
            can_turn=part.grain == "none",
        )
        for part in blanks(parts, kerf, units)
        if part.stock is Stock.SHEET
    )


def stick_parts(parts: Iterable[Part], stock: Stock) -> tuple[StickPart, ...]:
    """Parts cut to length from strips or from rods."""
    return tuple(
        StickPart(id=part.id, length=part.length, count=part.count)
        for part in parts
        if part.stock is stock
    )


def stock_sheets(brief: Brief, book: PriceBook, part: str = "any panel") -> tuple[StockSheet, ...]:
    """Sheets to be had: the brief's own size, sizes in the price book, offcuts on hand.

    Raises BuildError, naming `part`, where the book has no price for the brief's stock.
    """
    return tuple(_sheets(brief, book, part))


def _sheets(brief: Brief, book: PriceBook, part: str) -> Iterator[StockSheet]:
    """Sheets that may be bought, and offcuts at hand, which cost nothing."""
    rules, units = brief.construction, brief.units
    thickness = units.to_inch(rules.panel_thickness)
    lines = book.sheets_of(rules.material, thickness)
    rate = book.sheet_rate(rules.material, thickness, part)
    length, width = rules.sheet
    own = (units.to_inch(length), units.to_inch(width))
    sized = [line for line in lines if line.size is not None]
    # The size that the brief names, at the rate by area, where the price book has no line for it.
    if not any(_same(line.size, own) for line in sized):
        # To the cent, as a shop has it: sums of such prices agree between the study and the pack.
        yield _sheet(brief, own, round(rate * own[0] * own[1], 2))
    for line in sized:
        size = line.size or own
        yield _sheet(brief, size, round(line.per_square_inch * size[0] * size[1], 2))
    for piece in book.offcut:
        near = abs(piece.thickness - thickness) <= THICKNESS_SLACK_IN
        if piece.material is rules.material and near:
            yield _sheet(brief, piece.size, 0.0, offcuts=piece.count)


def _same(size: tuple[float, float] | None, other: tuple[float, float]) -> bool:
    """Whether two sizes of sheet are one."""
    return size is not None and all(
        abs(a - b) <= THICKNESS_SLACK_IN for a, b in zip(size, other, strict=True)
    )


def _sheet(
    brief: Brief, size: tuple[float, float], price: float, offcuts: int | None = None
) -> StockSheet:
    """A sheet of stock in the units of the brief."""
    length, width = (brief.units.from_inch(side) for side in size)
    short = " x ".join(format_short(side, brief.units) for side in (length, width))
    kind = "offcut" if offcuts else "sheet"
    return StockSheet(
        width=length,
        height=width,
        count=offcuts,
        price=price,
        offcut=offcuts is not None,
        name=f"{brief.construction.material.value} {kind} {short}",
    )


def strip_sticks(brief: Brief, book: PriceBook) -> tuple[StockStick, ...]:
    """Lengths of strip to be had."""
    return _sticks(brief, brief.construction.strip_lengths, book.strip.per_inch, "strip")


def rod_sticks(brief: Brief, book: PriceBook, part: str = "any rod") -> tuple[StockStick, ...]:
    """Lengths of rod to be had; BuildError, naming `part`, where the book has no price."""
    stock = brief.construction.rod_stock
    rate = book.rod_rate(stock, part)
    return _sticks(brief, brief.construction.rod_lengths, rate, stock.value.replace("_", " "))


def _sticks(
    brief: Brief, lengths: Sequence[float], rate: float, name: str
) -> tuple[StockStick, ...]:
    """Lengths of stock with their prices, the shortest first."""
    to_inch = brief.units.to_inch
    return tuple(
        StockStick(
            length=length,
            price=round(rate * to_inch(length), 2),
            name=f"{name} {format_short(length, brief.units)}",
        )
        for length in sorted(set(lengths))
    )


def refuse_oversize(brief: Brief, parts: Iterable[Part], book: PriceBook) -> None:
    """Raise BuildError, naming the part, where one is longer or wider than any stock."""
    everything = tuple(parts)
    panel = next((part.id for part in everything if part.stock is Stock.SHEET), None)
    sheets = () if panel is None else stock_sheets(brief, book, panel)
    # One trim at each of two opposite edges.
    trim = 2.0 * brief.construction.edge_trim
    longest = {
        Stock.STRIP: max(brief.construction.strip_lengths),
        Stock.ROD: max(brief.construction.rod_lengths),
    }
    for part in everything:
        if part.stock is Stock.SHEET:
            if not any(_holds(sheet, part, trim) for sheet in sheets):
                sizes = ", ".join(sheet.name for sheet in sheets)
                raise BuildError(
                    f"part {part.id} is {_short(part.length, brief)} x "
                    f"{_short(part.width, brief)}: larger than any stock ({sizes})"
                )
        elif part.length > longest[part.stock] + FINE:
            raise BuildError(
                f"part {part.id} is {_short(part.length, brief)} long: the longest "
                f"{part.stock.value} is {_short(longest[part.stock], brief)}"
            )


def _holds(sheet: StockSheet, part: Part, trim: float) -> bool:
    """Whether a part fits on a sheet, either way round where its grain allows it."""
    room = (sheet.width - trim + FINE, sheet.height - trim + FINE)
    # The grain runs along the sheet, and along the length of a part that has one.
    along = part.length <= room[0] and part.width <= room[1]
    across = part.grain == "none" and part.length <= room[1] and part.width <= room[0]
    return along or across


def _short(length: float, brief: Brief) -> str:
    """A length as a person reads it."""
    return format_short(length, brief.units)
