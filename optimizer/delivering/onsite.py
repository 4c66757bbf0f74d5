"""What the wall needs: the mark-out schedules and the order of work."""

from __future__ import annotations

from collections import Counter
from typing import Any

from reportlab.platypus import Spacer

from optimizer.buildpack import tables
from optimizer.delivering.building import Delivery
from optimizer.delivering.pages import further_down, text_width
from optimizer.delivering.styles import (
    SMALL,
    caution_boxes,
    heading,
    pack_table,
    paragraph,
    table,
)
from optimizer.domain.pack import MarkoutLine, PartKind
from optimizer.drawing.naming import wall_title
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
        lines = [_numbered(line, told) for line in pack.markout if line.wall == wall]
        made = tables.markout_table(pack.model_copy(update={"markout": tuple(lines)}), wall)
        titled = tables.Table(f"{wall_title(wall)}: schedule", made.columns, made.rows)
        story += pack_table(titled, text_width(delivery.brief.units))
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
    return line.note.split("; ") if line.note else []


def _numbered(line: MarkoutLine, told: dict[str, int]) -> MarkoutLine:
    own = [clause for clause in _clauses(line) if clause not in told]
    numbers = [str(told[clause]) for clause in _clauses(line) if clause in told]
    said = f"({', '.join(numbers)})" if numbers else ""
    return line.model_copy(update={"note": "; ".join([*own, said] if said else own)})


_STEPS = (
    ("mark", "Mark the level line, stud centres, cleat lines and uprights on every wall."),
    ("paint", "Prime the parts, sand the fibres that rise, and paint them before they go up."),
    (PartKind.BACK_CLEAT, "Fasten the back cleats into the studs, top edges on their lines."),
    (
        PartKind.SIDE_CLEAT,
        "Fasten the side cleats: those of side walls level with the back cleats, those of uprights "
        "on the bench, before the upright stands.",
    ),
    (PartKind.ROD_CLEAT, "Fasten the rod cleats to the side walls."),
    (
        PartKind.UPRIGHT,
        "Stand the uprights plumb on their marks, bracket their back edges to the wall and screw "
        "the ends of the back cleats to them.",
    ),
    (PartKind.TRIANGLE, "Notch the triangles over the back cleats and screw them to their studs."),
    (
        PartKind.SHELF,
        "Lay the shelves from the bottom up and fasten them to their cleats, back corners first; "
        "in a corner, the boards that run through before those that butt on them.",
    ),
    (
        PartKind.JOINT_CLEAT,
        "Glue and screw the joint cleats half under the front of the boards that run through; lay "
        "the boards that butt on the other half.",
    ),
    (PartKind.STIFFENER, "Glue and fasten the stiffeners along the front of their boards."),
    (PartKind.TOP_SHELF, "Lay the top shelves and fasten them down."),
    (PartKind.FILLER, "Fit the fillers."),
    (PartKind.SCRIBE, "Scribe and fit the strips against the walls."),
    ("finish", "Fill, caulk and touch up."),
    (
        PartKind.HOOK_BOARD,
        "Screw the hook boards to their studs, then the hooks onto the boards; hang mirrors last.",
    ),
    (PartKind.ROD, "Screw the sockets on at the rod heights and hang the rods."),
)
"""Order of assembly, common practice; steps whose part does not occur are left out."""


def assembly(delivery: Delivery) -> list[Any]:
    """Cautions while building, then the order of work with the parts of each step."""
    by_kind: dict[PartKind, list[str]] = {}
    for part in delivery.pack.parts:
        by_kind.setdefault(part.kind, []).append(part.id)
    rows: list[tuple[str, str, str]] = []
    for kind, text in _STEPS:
        if not isinstance(kind, PartKind):
            rows.append((str(len(rows) + 1), text, ""))
        elif kind in by_kind:
            rows.append((str(len(rows) + 1), text, " ".join(by_kind[kind])))
    return [
        *further_down(),
        heading("Assembly"),
        *caution_boxes([c for c in delivery.pack.cautions if c.where == "assembly"]),
        table(("Step", "Work", "Parts"), rows, text_width(delivery.brief.units)),
        Spacer(1, _GAP),
        paragraph("Order of work: common practice.", SMALL),
    ]
