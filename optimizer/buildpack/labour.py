"""Hours of one person by task, and the customer's quote."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from optimizer.buildpack.finish import Surfaces
from optimizer.domain.pack import Cut, Part, PartKind, PriceLine, Quote, Stock, TaskHours
from optimizer.parts.job import Job
from optimizer.reference.prices import INCHES, SQUARE_INCHES, Minutes, PriceBook, QuoteRates
from optimizer.units import Units

_SHELVES = (PartKind.SHELF, PartKind.TOP_SHELF)
_ENDS = (PartKind.SIDE_CLEAT, PartKind.ROD_CLEAT, PartKind.JOINT_CLEAT, PartKind.TRIANGLE)
_STRIPS = (PartKind.FILLER, PartKind.SCRIBE)


def hours_of(
    job: Job, parts: Sequence[Part], cuts: Iterable[Cut], surfaces: Surfaces, book: PriceBook
) -> tuple[TaskHours, ...]:
    """Hours by task for one person, each with the counts and minutes that it adds up.

    `cuts` are the saw settings, `surfaces` what is finished; the minutes are the price book's.
    """
    walls, metric = len(job.bays_by_wall), job.units is Units.MILLIMETRE
    times, kinds = book.minutes, Counter[PartKind]()
    for part in parts:
        kinds[part.kind] += part.count
    # It is gone through twice.
    cuts = tuple(cuts)
    settings = Counter(cut.kind for cut in cuts)
    notches = sum(cut.count for cut in cuts if cut.kind == "notch")
    area_unit, line_unit = ("m2", "m") if metric else ("sq ft", "ft")
    area = surfaces.area / SQUARE_INCHES[area_unit]
    bead = surfaces.bead / INCHES[line_unit]
    # The book's minutes are for a square foot and for a foot.
    per_area, per_line = SQUARE_INCHES[area_unit] / 144.0, INCHES[line_unit] / 12.0
    coats = sum(line.coats for line in book.finish)
    sheet = sum(part.count for part in parts if part.stock is Stock.SHEET)
    sticks = sum(part.count for part in parts if part.stock is not Stock.SHEET)
    saw = settings["rip"] + settings["crosscut"]
    return (
        _task("set up and clear away", [(1, "job", times.set_up)]),
        _task(
            "mark out",
            [
                (walls, "wall", times.mark_wall),
                (kinds[PartKind.BACK_CLEAT], "cleat", times.mark_cleat),
            ],
        ),
        _task(
            "cut",
            [
                (saw, "saw setting", times.saw_setting),
                (sheet, "sheet part", times.sheet_part),
                (sticks, "cleat or rod", times.stick_part),
                (notches, "notch", times.notch),
                (settings["diagonal"], "saw setting of triangles", times.saw_setting),
            ],
        ),
        _task("sand", [(area, area_unit, times.sand_sq_ft * per_area)]),
        _task("finish", [(area * coats, f"{area_unit} of coats", times.finish_sq_ft * per_area)]),
        _install(kinds, times, len(job.layout.mounts)),
        _task("caulk", [(bead, line_unit, times.caulk_ft * per_line)]),
    )


def _install(kinds: Counter[PartKind], times: Minutes, mounts: int) -> TaskHours:
    """The hours of putting everything up."""
    return _task(
        "install",
        [
            (kinds[PartKind.UPRIGHT], "upright", times.set_upright),
            (kinds[PartKind.BACK_CLEAT], "back cleat", times.hang_back_cleat),
            (
                sum(kinds[kind] for kind in _ENDS),
                "cleat at an end, or triangle",
                times.fix_side_cleat,
            ),
            (sum(kinds[kind] for kind in _SHELVES), "shelf", times.lay_shelf),
            (kinds[PartKind.STIFFENER], "stiffener", times.fix_stiffener),
            (kinds[PartKind.ROD], "rod", times.hang_rod),
            (sum(kinds[kind] for kind in _STRIPS), "strip", times.fit_strip),
            (mounts, "hook board or mirror", times.hang_back_cleat),
        ],
    )


def _task(task: str, amounts: Sequence[tuple[float, str, float]]) -> TaskHours:
    """One line of hours: `amounts` are (count, what it counts, minutes for each)."""
    # What does not occur is left out of the words, too.
    real = [(count, what, minutes) for count, what, minutes in amounts if count]
    return TaskHours(
        task=task,
        hours=round(sum(count * minutes for count, _, minutes in real) / 60.0, 2),
        basis=", ".join(
            f"{count:.4g} x {what} at {minutes:.3g} min" for count, what, minutes in real
        ),
    )


def quote_of(
    shopping: Iterable[PriceLine],
    hours: Iterable[TaskHours],
    book: PriceBook,
    rates: QuoteRates | None = None,
) -> Quote:
    """What the customer pays: materials, labour, margin on both, and tax on all of it.

    `rates` replace those of the price book. Money is rounded to cents line by line.
    """
    chosen = rates or book.quote
    materials = round(sum(line.amount for line in shopping), 2)
    worked = round(sum(task.hours for task in hours), 2)
    labour = round(worked * chosen.labour_rate, 2)
    margin = round((materials + labour) * chosen.margin, 2)
    tax = round((materials + labour + margin) * chosen.tax, 2)
    return Quote(
        materials=materials,
        hours=worked,
        labour_rate=chosen.labour_rate,
        labour=labour,
        margin_rate=chosen.margin,
        margin=margin,
        tax_rate=chosen.tax,
        tax=tax,
        total=round(materials + labour + margin + tax, 2),
        currency=book.about.currency,
    )
