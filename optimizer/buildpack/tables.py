"""The pack's tables, each once, for CSV and for the printed document."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from io import StringIO

from pydantic import TypeAdapter

from optimizer.buildpack.structure_report import alike
from optimizer.domain.pack import (
    BuildPack,
    CheckStatus,
    CutListRow,
    MarkoutLine,
    PriceLine,
    StructuralCheck,
)
from optimizer.units import Units, format_short, plain_number

_FORMULA = re.compile(r"[=@\t\r]|[+-](?!\d[\d./ -]*\"?$)")
"""What a spreadsheet would run: these starts, and signs that do not begin a length."""
_ROWS = TypeAdapter(tuple[CutListRow, ...])


@dataclass(frozen=True, slots=True)
class Table:
    """A heading, column names and rows of text."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def as_csv(table: Table) -> str:
    """A table as CSV (RFC 4180); a cell that a spreadsheet would run as a formula is quoted."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(table.columns)
    # Names come from briefs of anybody: a cell that begins with = would run where it is opened.
    writer.writerows([_harmless(cell) for cell in row] for row in table.rows)
    return out.getvalue()


def _harmless(cell: str) -> str:
    """A cell of CSV with an apostrophe before what a spreadsheet would run as a formula."""
    return f"'{cell}" if _FORMULA.match(cell) else cell


def _number(value: float, unit: str) -> str:
    """A figure to three places, without exponents; shares as per cent, counts as they are."""
    if unit == "1":
        return f"{value:.1%}"
    if not unit:
        return plain_number(value)
    return f"{value:.0f} {unit}" if abs(value) >= 100.0 else f"{value:.3g} {unit}"


def cut_list_table(pack: BuildPack) -> Table:
    """The cut list as a person reads it, sizes in fractions or whole millimetres."""
    return Table(
        title="Cut list",
        columns=(
            "#",
            "Qty",
            "Part",
            *(f"{name} [{pack.units.value}]" for name in ("Length", "Width", "Thickness")),
            "Material",
            "Shows",
            "Ids",
            "Note",
        ),
        rows=tuple(_cut_row(row, pack.units) for row in pack.cut_list),
    )


def _cut_row(row: CutListRow, units: Units) -> tuple[str, ...]:
    """One row of the cut list as text."""
    return (
        str(row.row),
        str(row.count),
        row.name,
        *(format_short(size, units) for size in (row.length, row.width, row.thickness)),
        row.material.replace("_", " ") + (", grain lengthwise" if row.grain == "length" else ""),
        ", ".join(row.shown),
        " ".join(row.parts),
        row.note,
    )


def cut_list_csv(rows: Iterable[CutListRow], units: Units) -> str:
    """The cut list as CSV: sizes as text for the saw and as numbers for a program."""
    unit = units.value
    sizes = ("length", "width", "thickness")
    table = Table(
        title="",
        columns=(
            *("row", "count", "name", "stock", "material", "grain"),
            *(f"{size}_text" for size in sizes),
            *(f"{size}_{unit}" for size in sizes),
            *("edges_shown", "parts", "bays", "note"),
        ),
        rows=tuple(
            (
                *(str(row.row), str(row.count), row.name, row.stock.value, row.material, row.grain),
                *(format_short(getattr(row, size), units) for size in sizes),
                *(f"{getattr(row, size):.10g}" for size in sizes),
                *(" ".join(row.shown), " ".join(row.parts), "; ".join(row.bays), row.note),
            )
            for row in rows
        ),
    )
    return as_csv(table)


def cut_list_json(rows: Sequence[CutListRow]) -> str:
    """The cut list as JSON, an array of rows."""
    return _ROWS.dump_json(tuple(rows), indent=2).decode()


def cuts_table(pack: BuildPack, *, by_row: bool = False) -> Table:
    """Saw settings in order, with the ids of the parts or, `by_row`, rows of the cut list."""
    rows = {part: row.row for row in pack.cut_list for part in row.parts}

    def meant(parts: Sequence[str]) -> str:
        """The parts by their ids, or by the rows of the cut list that they are in."""
        if not by_row:
            return " ".join(parts)
        return ", ".join(str(row) for row in sorted({rows[part] for part in parts if part in rows}))

    return Table(
        title="Saw settings",
        columns=(
            *("Step", "Cut", "Set to", "From strip", "Qty", "Material"),
            "Rows" if by_row else "Ids",
        ),
        rows=tuple(
            (
                str(cut.step),
                cut.kind,
                format_short(cut.setting, pack.units),
                "" if cut.from_width is None else format_short(cut.from_width, pack.units),
                str(cut.count),
                cut.material.replace("_", " "),
                meant(cut.parts),
            )
            for cut in pack.cuts
        ),
    )


def hardware_table(pack: BuildPack) -> Table:
    """Hardware by use."""
    return Table(
        title="Hardware",
        columns=("Qty", "What", "For"),
        rows=tuple((str(line.count), line.name, line.used_for) for line in pack.hardware),
    )


_CHECKS = ("Verdict", "Check", "Parts", "Demand", "Limit", "Used", "Figures", "Mends")

_MOST_NAMED = 6
"""Parts far from their limit that are named one by one on paper."""

TOLD_FROM = 0.9
"""On paper, checks that use up to this share of their limit share a row with their like."""


def checks_table(pack: BuildPack) -> Table:
    """Structural checks, equal ones in one row, the worst verdicts first."""
    rows = tuple(_check_row(check, ids) for check, ids in _ordered(alike(pack.checks)))
    return Table(title="Structural checks", columns=_CHECKS, rows=rows)


def checks_on_paper(pack: BuildPack, numbers: Mapping[tuple[str, str], int]) -> Table:
    """The same in short, with the number of each formula and source.

    Checks far from their limit share a row with others of their kind: that of the worst,
    without figures.
    """
    rows = []
    for check, ids in _ordered(_far_from_limit(pack.checks)):
        row = _check_row(check, ids)
        near = _near_limit(check)
        parts = row[2] if near or len(ids) <= _MOST_NAMED else f"{len(ids)} parts"
        number = str(numbers[check.formula, check.source])
        rows.append((*row[:2], parts, *row[3:6], row[6] if near else "", row[7], number))
    return Table(title="Structural checks", columns=(*_CHECKS, "No."), rows=tuple(rows))


_Alike = tuple[StructuralCheck, tuple[str, ...]]
"""A check that stands for several, and the parts that it is about."""


def _ordered(groups: Iterable[_Alike]) -> list[_Alike]:
    """Groups of checks with the worst verdicts first."""
    order = {"fail": 0, "warn": 1, "pass": 2}
    return sorted(groups, key=lambda group: order[group[0].status])


def _near_limit(check: StructuralCheck) -> bool:
    """Whether a check is told on paper by itself, with its figures."""
    return check.use > TOLD_FROM or check.status is not CheckStatus.PASS


def _far_from_limit(checks: Sequence[StructuralCheck]) -> list[_Alike]:
    """Equal checks together; those far from their limit with all of their kind, the worst first."""
    near = [check for check in checks if _near_limit(check)]
    kinds: dict[tuple[str, ...], list[StructuralCheck]] = {}
    for check in checks:
        if not _near_limit(check):
            key = (check.kind, check.check, check.formula, check.source)
            kinds.setdefault(key, []).append(check)
    far = [
        (max(group, key=lambda check: check.use), tuple(dict.fromkeys(c.part for c in group)))
        for group in kinds.values()
    ]
    return [*alike(near), *far]


def _check_row(check: StructuralCheck, ids: Sequence[str]) -> tuple[str, ...]:
    """One row of checks that are alike, `ids` being their parts."""
    return (
        check.status.value,
        f"{check.kind}: {check.check}",
        " ".join(ids),
        _number(check.demand, check.unit),
        _number(check.limit, check.unit),
        f"{check.use:.0%}" if check.limit else "no capacity",
        "; ".join(
            f"{figure.name} {_number(figure.value, figure.unit)}" for figure in check.figures
        ),
        "; ".join(check.mends),
    )


def markout_table(pack: BuildPack, wall: str) -> Table:
    """The mark-out schedule of one wall."""
    units = pack.units
    return Table(
        title=f"Mark-out of wall {wall}",
        columns=(
            *("#", "What", "Part", "From floor", "From datum", "From left", "To"),
            *("Studs caught", "Fasteners", "Note"),
        ),
        rows=tuple(
            (
                str(line.order),
                line.kind.replace("_", " "),
                line.part,
                format_short(line.height, units),
                _signed(line.from_datum, units),
                format_short(line.start, units),
                format_short(line.end, units),
                *_fixed(line, units),
            )
            for line in pack.markout
            if line.wall == wall
        ),
    )


def markout_on_paper(lines: Sequence[MarkoutLine], units: Units, title: str) -> Table:
    """The schedule of one wall in short: what differs in nothing but its height shares a row."""
    groups: dict[tuple[object, ...], list[MarkoutLine]] = {}
    for line in lines:
        # What may differ within a row is set to one value, and the rest compared as it is printed.
        alike = line.model_copy(update={"order": 1, "part": "", "height": 0.0, "from_datum": 0.0})
        # Bays are told apart, so that no row gets long.
        key = (line.part.rpartition("-")[0], *alike.model_dump(mode="json").values())
        groups.setdefault(tuple(map(str, key)), []).append(line)
    return Table(
        title=title,
        columns=(
            *("What", "Part: height from floor (from datum)", "From left", "To"),
            *("Studs caught", "Fasteners", "Note"),
        ),
        rows=tuple(_markout_row(group, units) for group in groups.values()),
    )


def _markout_row(group: Sequence[MarkoutLine], units: Units) -> tuple[str, ...]:
    """A row of the printed schedule."""
    first = group[0]
    studs, fasteners, note = _fixed(first, units)
    each = " each" if len(group) > 1 and first.fasteners else ""
    return (
        first.kind.replace("_", " "),
        ", ".join(_marked(line, units, full=line is first) for line in group if line.part),
        format_short(first.start, units),
        format_short(first.end, units),
        studs,
        f"{fasteners}{each}",
        note,
    )


def _marked(line: MarkoutLine, units: Units, *, full: bool) -> str:
    """A part and where it is marked; of further ones of its bay the end of the id."""
    name = line.part if full else line.part.rpartition("-")[2]
    return f"{name}: {format_short(line.height, units)} ({_signed(line.from_datum, units)})"


def _fixed(line: MarkoutLine, units: Units) -> tuple[str, str, str]:
    """Studs, fasteners and the note of a line."""
    return (
        ", ".join(format_short(stud, units) for stud in line.studs),
        f"{line.fasteners} x {line.fastener}" if line.fasteners else line.fastener,
        ("! " if line.flagged else "") + line.note,
    )


def _signed(length: float, units: Units) -> str:
    """A length with its sign."""
    if units is Units.MILLIMETRE:
        return f"{length:+.0f}"
    text = format_short(length, units)
    return text if text.startswith("-") else f"+{text}"


_PROVED = frozenset({"sheet", "strip", "rod"})
"""Sections of the shopping list whose notes say what is proved of their number."""


def shopping_table(pack: BuildPack, *, proofs: bool = True) -> Table:
    """The shopping list with its prices and their sum; without `proofs`, which the cover of the
    document tells in full."""
    rows = [
        (
            line.description,
            _needed(line),
            f"{line.quantity} x {line.unit}",
            f"{line.unit_price:.2f}",
            f"{line.amount:.2f}",
            line.note if proofs or line.section not in _PROVED else "",
        )
        for line in pack.shopping
    ]
    total = sum(line.amount for line in pack.shopping)
    rows.append(("Sum", "", "", "", f"{total:.2f}", ""))
    money = f" [{pack.quote.currency}]" if pack.quote.currency else ""
    return Table(
        title="Shopping list",
        columns=("What", "Needed", "Buy", f"Each{money}", f"Amount{money}", "Note"),
        rows=tuple(rows),
    )


def _needed(line: PriceLine) -> str:
    """How much of a line the work takes, one piece as one."""
    unit = "piece" if line.needed == 1 and line.needed_unit == "pieces" else line.needed_unit
    return f"{plain_number(line.needed)} {unit}"


def hours_table(pack: BuildPack) -> Table:
    """Hours by task with what they rest on."""
    rows = [(task.task, f"{task.hours:.2f}", task.basis) for task in pack.hours]
    rows.append(("Sum", f"{sum(task.hours for task in pack.hours):.2f}", "one person"))
    return Table(title="Hours", columns=("Task", "Hours", "Basis"), rows=tuple(rows))


def quote_table(pack: BuildPack) -> Table:
    """The customer's quote; margin and tax only where they are asked for."""
    quote = pack.quote
    rows = [
        ("Materials", f"{quote.materials:.2f}"),
        (f"Labour, {quote.hours:.2f} h at {quote.labour_rate:.2f}", f"{quote.labour:.2f}"),
    ]
    if quote.margin_rate:
        rows.append((f"Margin, {quote.margin_rate:.1%}", f"{quote.margin:.2f}"))
    if quote.tax_rate:
        rows.append((f"Tax, {quote.tax_rate:.1%}", f"{quote.tax:.2f}"))
    rows.append(("Total", f"{quote.total:.2f}"))
    money = f" [{quote.currency}]" if quote.currency else ""
    return Table(title=f"Quote: {pack.name}", columns=("What", f"Amount{money}"), rows=tuple(rows))
