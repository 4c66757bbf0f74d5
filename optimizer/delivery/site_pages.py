"""What the wall needs: the mark-out schedules and the order of work."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Spacer

from optimizer.buildpack import tables
from optimizer.delivery.delivery import Delivery
from optimizer.delivery.pages import further_down, text_width
from optimizer.delivery.styles import (
    CELL,
    FINE,
    SMALL,
    TO_FILL,
    caution_boxes,
    folded,
    heading,
    pack_table,
    paragraph,
    table,
)
from optimizer.domain.pack import MarkoutLine
from optimizer.drawing.ink.names import wall_title
from optimizer.units import format_short

_GAP = 6


def markout(delivery: Delivery) -> list[Any]:
    """Cautions at the wall, the datum, and the schedule of each wall.

    Remarks that come again and again are told once, by number.
    """
    pack = delivery.pack
    datum = format_short(pack.datum, delivery.brief.units)
    unit = "" if delivery.brief.units.value == "in" else " mm"
    told = _told_often(pack.markout)
    style = _style(len(pack.markout), _LONG_SCHEDULE)
    story = [
        *further_down(),
        heading("Mark-out"),
        *caution_boxes([c for c in pack.cautions if c.where == "markout"]),
        paragraph(
            f"Strike a level line {datum}{unit} above the highest point of the floor and measure "
            "every height from it: floors slope. Positions run from the wall's left corner as "
            "one faces it."
        ),
    ]
    for wall in dict.fromkeys(line.wall for line in pack.markout):
        lines = [
            _numbered(line, told)
            for line in pack.markout
            if line.wall == wall and line.kind != "datum"
        ]
        made = tables.markout_on_paper(lines, pack.units, f"{wall_title(wall)}: schedule")
        width = text_width(delivery.brief.units)
        # The break keeps a title with its first rows, so the table itself may be parted.
        story += [CondPageBreak(_SCHEDULE_LEAST), *pack_table(made, width, style=style, loose=True)]
    if told:
        story.append(Spacer(1, _GAP))
        words = "; ".join(f"({number}) {text}" for text, number in told.items())
        story.append(paragraph(f"Notes: {words}.", SMALL))
    return story


def _told_often(lines: tuple[MarkoutLine, ...]) -> dict[str, int]:
    """Remarks of more than one line, numbered as they come."""
    counts = Counter(clause for line in lines for clause in _clauses(line))
    often = [clause for clause, count in counts.items() if count > 1 and len(clause) > _SHORT]
    return {clause: number for number, clause in enumerate(often, 1)}


_SHORT = 14
"""Remarks no longer than this are told each time [letters]."""


def _clauses(line: MarkoutLine) -> list[str]:
    """The parts of a line's note."""
    return line.note.split("; ") if line.note else []


def _numbered(line: MarkoutLine, told: dict[str, int]) -> MarkoutLine:
    """A line whose clauses that were told before the table stand in it by number."""
    own = [clause for clause in _clauses(line) if clause not in told]
    numbers = [str(told[clause]) for clause in _clauses(line) if clause in told]
    said = f"({', '.join(numbers)})" if numbers else ""
    return line.model_copy(update={"note": "; ".join([*own, said] if said else own)})


def checks(delivery: Delivery) -> list[Any]:
    """What to measure and find again before the first cut, to be ticked."""
    rows = tuple(
        (check.wall or "", check.what, check.planned, "") for check in delivery.pack.site_checks
    )
    made = tables.Table(" ", ("Wall", "What", "Planned on", TO_FILL), rows)
    return [
        *further_down(),
        heading("Before the first cut"),
        paragraph(
            "Measure again and write down what is found, or a tick: flatness by a straightedge up "
            "and along, corners by 3-4-5 or both diagonals. Where it differs from what was planned "
            "on, change the brief and make the pack anew.",
            SMALL,
        ),
        *folded(made, text_width(delivery.brief.units), style=_style(len(rows), _LONG_CHECKS)),
    ]


_SCHEDULE_LEAST = 25 * mm
"""Paper that a wall's schedule wants to begin on."""

_LONG_SCHEDULE = 45
_LONG_CHECKS = 30
_LONG_WORK = 22
"""Lines of the mark-out, checks on site and steps of the work from which they are in small type,
as large as that of drawings."""


def _style(lines: int, long: int) -> ParagraphStyle:
    """Type of a table with so many lines."""
    return FINE if lines > long else CELL


_STAGES = {"room": "Room", "bench": "Bench", "wall": "Wall", "finish": "Finish"}


def assembly(delivery: Delivery) -> list[Any]:
    """Cautions while building, then the order of work with the parts of each step."""
    rows = tuple(
        (str(step.step), _STAGES[step.stage], f"{step.text} {_of(step.parts)}".strip())
        for step in delivery.pack.work
    )
    units = delivery.brief.units
    made = tables.Table(" ", ("Step", "At", "Work"), rows)
    return [
        *further_down(),
        heading("Order of work"),
        *caution_boxes([c for c in delivery.pack.cautions if c.where == "assembly"]),
        table(made.columns, made.rows, text_width(units), style=_style(len(rows), _LONG_WORK)),
        Spacer(1, 3),
        paragraph("Order of work and sizes of drills: common practice.", SMALL),
    ]


def _of(parts: Sequence[str]) -> str:
    """Parts of a step; many of them are counted: drawings and cut list tell which they are."""
    if len(parts) > _MOST_NAMED:
        return f"[{len(parts)} parts]"
    return f"[{' '.join(parts)}]" if parts else ""


_MOST_NAMED = 8
"""Parts of a step that are named one by one."""
