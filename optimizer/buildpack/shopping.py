"""The shopping list: what to buy, in whole sheets, lengths, packs and cans, and what it costs."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import product

from optimizer.buildpack.finish import Surfaces
from optimizer.domain.pack import Hardware, Part, PriceLine, Stock
from optimizer.domain.sheets import StockSheet, StockStick
from optimizer.parts.job import Job
from optimizer.reference.prices import (
    INCHES,
    SQUARE_INCHES,
    Can,
    FinishPrice,
    PiecePrice,
    PriceBook,
)
from optimizer.stocking.plan import StockPlan
from optimizer.stocking.stock import rod_sticks, stock_sheets, strip_sticks
from optimizer.structure.quantities import Bead, cartridges
from optimizer.units import Units

WASTE = 0.15
"""Share of sheets and sticks that becomes waste where no sheet layout is at hand: common
practice."""
SPARE = 0.1
"""Share of small fasteners bought over the count: common practice."""
_FASTENERS = ("screw", "brad")


def shopping_list(
    job: Job,
    parts: Sequence[Part],
    hardware: Iterable[Hardware],
    surfaces: Surfaces,
    *,
    plan: StockPlan,
    book: PriceBook,
) -> tuple[PriceLine, ...]:
    """Every line to buy, with its price.

    Sheets, strips and rods are counted as `plan` lays them out, or estimated with 15 % waste where
    it has no layout. Raises BuildError that names what has no price in `book`.
    """
    return (
        *_sheet_lines(job, parts, plan, book),
        *_stick_lines(job, parts, plan, book),
        *_hardware_lines(hardware, book),
        *_finish_lines(surfaces, book),
        *_sundry_lines(job, surfaces, book),
        *_unit_lines(job),
    )


def _sheet_lines(
    job: Job, parts: Sequence[Part], plan: StockPlan, book: PriceBook
) -> Iterator[PriceLine]:
    """A line for each size of sheet that is bought; offcuts at hand cost nothing."""
    cut = [part for part in parts if part.stock is Stock.SHEET]
    if not cut:
        return
    area = sum(part.area * part.count for part in cut)
    needed = area * job.units.to_inch(1.0) ** 2 / SQUARE_INCHES[_area_unit(job)]
    # Not laid out: estimated from the area in all.
    if plan.sheets is None:
        sheet = stock_sheets(job.brief, book)[0]
        count = math.ceil(area / (sheet.width * sheet.height) / (1.0 - WASTE) - 1e-9)
        yield _sheet_line(job, sheet, count, needed, f"estimated with {WASTE:.0%} waste")
        return
    bought: dict[StockSheet, int] = Counter(
        layout.stock for layout in plan.sheets.sheets if not layout.stock.offcut
    )
    for sheet, count in bought.items():
        yield _sheet_line(job, sheet, count, needed, plan.sheets.statement)


def _area_unit(job: Job) -> str:
    """The unit in which areas are told."""
    return "sq ft" if job.units is Units.INCH else "m2"


def _sheet_line(job: Job, sheet: StockSheet, count: int, needed: float, note: str) -> PriceLine:
    """The line for `count` sheets of one size; `needed` is the area of all parts."""
    material = job.construction.material.value
    size = f"{job.short(sheet.width)} x {job.short(sheet.height)} x {job.short(job.panel)}"
    return _line(
        section="sheet",
        key=material,
        description=f"{material.replace('_', ' ')} sheet {size}",
        needed=needed,
        needed_unit=f"{_area_unit(job)} of parts",
        quantity=count,
        unit="sheet",
        price=sheet.price or 0.0,
        note=note,
    )


def _stick_lines(
    job: Job, parts: Sequence[Part], plan: StockPlan, book: PriceBook
) -> Iterator[PriceLine]:
    """A line for each length of strip and of rod that is bought."""
    rules = job.construction
    line_unit = "ft" if job.units is Units.INCH else "m"
    strip = f"softwood strip {job.short(rules.cleat_height)} x {job.short(rules.cleat_thickness)}"
    for stock, result, name in (
        (Stock.STRIP, plan.strips, strip),
        (Stock.ROD, plan.rods, f"rod, {rules.rod_stock.value.replace('_', ' ')}"),
    ):
        cut = [part for part in parts if part.stock is stock]
        if not cut:
            continue
        total = sum(part.length * part.count for part in cut)
        # Not laid out: estimated from the length in all.
        if result is None:
            if stock is Stock.STRIP:
                sticks = strip_sticks(job.brief, book)
            else:
                sticks = rod_sticks(job.brief, book, cut[0].id)
            counts = _rough_sticks(cut, sticks, total)
            note = f"estimated with {WASTE:.0%} waste"
        else:
            counts = Counter(layout.stock for layout in result.sticks if not layout.stock.offcut)
            note = result.statement
        for stick, count in counts.items():
            yield _line(
                section="strip" if stock is Stock.STRIP else "rod",
                key=stock.value,
                description=f"{name}, {job.short(stick.length)} long",
                needed=job.units.to_inch(total) / INCHES[line_unit],
                needed_unit=f"{line_unit} of parts",
                quantity=count,
                unit="length",
                price=stick.price or 0.0,
                note=note,
            )


def _rough_sticks(
    cut: Iterable[Part], sticks: Sequence[StockStick], total: float
) -> dict[StockStick, int]:
    """An estimate: the shortest length that takes the longest part, so many as add up."""
    longest = max(part.length for part in cut)
    stick = next((stick for stick in sticks if stick.length >= longest), sticks[-1])
    return {stick: math.ceil(total / stick.length / (1.0 - WASTE) - 1e-9)}


def _hardware_lines(hardware: Iterable[Hardware], book: PriceBook) -> Iterator[PriceLine]:
    """A line for each thing bought by the piece, whatever it is used for."""
    counts: dict[tuple[str, str], int] = defaultdict(int)
    users: dict[tuple[str, str], str] = {}
    for line in hardware:
        counts[line.key, line.name] += line.count
        users.setdefault((line.key, line.name), line.parts[0] if line.parts else line.used_for)
    # Packs are counted over all uses: half a pack here and half there is one pack.
    for (key, name), count in counts.items():
        small = key.endswith(_FASTENERS)
        piece = book.piece_of(key, f"part {users[key, name]}")
        yield _piece_line(
            piece,
            section="fastener" if small else "hardware",
            needed=count,
            spare=SPARE if small else 0.0,
            description=name,
        )


def _piece_line(
    piece: PiecePrice, *, section: str, needed: float, spare: float = 0.0, description: str = ""
) -> PriceLine:
    """A line in whole packs; `spare` is the share bought beyond what is needed."""
    packs = math.ceil(needed * (1.0 + spare) / piece.pack - 1e-9)
    return _line(
        section=section,
        key=piece.key,
        description=description or piece.name,
        needed=needed,
        needed_unit="pieces",
        quantity=packs,
        unit=f"pack of {piece.pack}" if piece.pack > 1 else "piece",
        price=piece.price,
        note=f"{spare:.0%} spare" if spare else "",
    )


def _finish_lines(surfaces: Surfaces, book: PriceBook) -> Iterator[PriceLine]:
    """A line for each size of can of each finish."""
    for line in book.finish:
        amount = line.amount(surfaces.area)
        if amount <= 0.0:
            continue
        for can, count in cheapest_cans(line, amount):
            yield _line(
                section="finish",
                key=line.key,
                description=f"{line.name}, {line.coats} coat{'' if line.coats == 1 else 's'}",
                needed=amount,
                needed_unit=line.unit,
                quantity=count,
                unit=f"can of {can.size:g} {line.unit}",
                price=can.price,
            )


def cheapest_cans(line: FinishPrice, amount: float) -> tuple[tuple[Can, int], ...]:
    """Cans that hold `amount` at the least price, fewest cans among equals.

    The bulk is bought in the can that is cheapest for its size; every choice is tried for
    the last three of the largest cans' worth.
    """
    # Trying all counts of all sizes takes too long for a large amount, so most of it is bought in
    # the can of best value and only the rest is tried out.
    best_value = min(line.cans, key=lambda can: (can.price / can.size, -can.size))
    tried = 3.0 * max(can.size for can in line.cans)
    bulk = max(0, math.floor((amount - tried) / best_value.size))
    rest = amount - bulk * best_value.size
    # Of each size from none to as many as would do alone.
    ranges = [range(math.ceil(rest / can.size - 1e-9) + 1) for can in line.cans]

    def volume(counts: tuple[int, ...]) -> float:
        """What so many cans of each size hold."""
        return sum(n * can.size for n, can in zip(counts, line.cans, strict=True))

    def price(counts: tuple[int, ...]) -> float:
        """What they cost."""
        return round(sum(n * can.price for n, can in zip(counts, line.cans, strict=True)), 6)

    enough = (counts for counts in product(*ranges) if volume(counts) >= rest - 1e-9)
    best = min(enough, key=lambda counts: (price(counts), sum(counts)))
    bought = [
        (can, n + (bulk if can is best_value else 0))
        for can, n in zip(line.cans, best, strict=True)
    ]
    return tuple((can, count) for can, count in bought if count)


def _sundry_lines(job: Job, surfaces: Surfaces, book: PriceBook) -> Iterator[PriceLine]:
    """Caulk, sandpaper and glue."""
    bead = job.units.from_inch(surfaces.bead)
    size = job.units.from_inch(book.use.caulk_bead)
    tubes = cartridges(bead, Bead.FILLET, size, job.units)
    paper = math.ceil(surfaces.area / 144.0 / book.use.sanding_area_per_sheet - 1e-9)
    bottles = math.ceil(surfaces.glue / 12.0 / book.use.glue_length_per_bottle - 1e-9)
    for key, count in (("caulk", tubes), ("sandpaper", paper), ("glue", bottles)):
        if count:
            yield _piece_line(book.piece_of(key, "sundries"), section="sundry", needed=count)


def _unit_lines(job: Job) -> Iterator[PriceLine]:
    """Bought units that stand in the layout, at the price that the brief gives."""
    housed = Counter(name for bay in job.layout.bays for zone in bay.zones for name in zone.items)
    for item in job.brief.needs.items:
        fits, count = item.fits_between, housed[item.id]
        if fits is None or not count:
            continue
        inside = f"{job.short(fits.least)} to {job.short(fits.most)}"
        yield _line(
            section="unit",
            key=item.id,
            description=f"{item.id}, a bought unit for an inside width of {inside}",
            needed=count,
            needed_unit="pieces",
            quantity=count,
            unit="piece",
            price=item.price or 0.0,
            note="" if item.price is not None else "no price given: not in the sum",
        )


def _line(
    *,
    section: str,
    key: str,
    description: str,
    needed: float,
    needed_unit: str,
    quantity: int,
    unit: str,
    price: float,
    note: str = "",
) -> PriceLine:
    """A line of the list; its amount is rounded to cents."""
    return PriceLine.model_validate(
        {
            "section": section,
            "key": key,
            "description": description,
            "needed": round(needed, 3),
            "needed_unit": needed_unit,
            "quantity": quantity,
            "unit": unit,
            "unit_price": price,
            # Line by line, as a till does, so that the lines add up to the sum that is told.
            "amount": round(quantity * price, 2),
            "note": note,
        }
    )
