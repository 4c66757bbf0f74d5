"""What the document says, section by section; cautions come first where the work is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any, Literal

from reportlab.platypus import Spacer

from optimizer.buildpack import tables
from optimizer.delivering.building import Delivery
from optimizer.delivering.pages import Places, text_page, text_width
from optimizer.delivering.styles import (
    BODY,
    LEFT_SHARE,
    SMALL,
    SUBHEADING,
    TITLE,
    beside,
    bullets,
    caution_boxes,
    heading,
    pack_table,
    paragraph,
    table,
)
from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.domain.pack import CheckStatus, PartKind
from optimizer.domain.sheets import SheetLayout
from optimizer.drawing.naming import wall_title
from optimizer.drawing.sheets import size_text
from optimizer.reference.stored import stored_text
from optimizer.units import format_length, format_short

Where = Literal["cut_list", "sheets", "markout", "assembly", "finish", "structure", "all"]

_GAP = 6
_MOST_CONTENTS = 26
"""Lines of contents that the cover has room for; beyond, only the main sections are listed."""

HEADINGS = (
    "Quote", "Plan", "Cut list", "Sheet layouts", "Shopping and hardware", "Mark-out",
    "Assembly", "Structural checks",
)  # fmt: skip


def _width(delivery: Delivery) -> float:
    return text_width(delivery.brief.units)


def _cautions(delivery: Delivery, where: Where) -> list[Any]:
    return caution_boxes([c for c in delivery.pack.cautions if c.where == where])


def cover(delivery: Delivery, places: Places) -> list[Any]:
    """Title, figures at a glance, contents, what to verify first."""
    date = delivery.date.isoformat() if delivery.date else "____________"
    story: list[Any] = [
        paragraph("Build pack", BODY),
        paragraph(delivery.brief.name or "Closet", TITLE),
        paragraph(f"Layout {delivery.layout.rank}. Date: {date}"),
        Spacer(1, _GAP),
        *_cautions(delivery, "all"),
        Spacer(1, _GAP),
        beside(_glance_table(delivery), _contents(delivery, places), _width(delivery)),
    ]
    if delivery.pack.notes:
        story += [paragraph("Verify on site before cutting", SUBHEADING)]
        story += bullets(delivery.pack.notes)
    return story


def _glance_table(delivery: Delivery) -> list[Any]:
    rows = glance(delivery)
    return [table(("At a glance", ""), rows, _width(delivery) * LEFT_SHARE - 12, full=False)]


def _contents(delivery: Delivery, places: Places) -> list[Any]:
    """Sections with their pages; where there are many drawings, the main sections only."""
    rows = [(name, str(page)) for name, page in places.sections.items()]
    if len(rows) > _MOST_CONTENTS:
        rows = [row for row in rows if row[0] in HEADINGS]
    if not rows:
        return []
    return [table(("Contents", "Page"), rows, _width(delivery) * (1 - LEFT_SHARE) - 12, full=False)]


def glance(delivery: Delivery) -> list[tuple[str, str]]:
    """The pack's main figures as pairs of words."""
    pack, layout = delivery.pack, delivery.layout
    walls = dict.fromkeys(bay.wall for bay in layout.bays)
    weights, quote = pack.weights, pack.quote
    money = f" {quote.currency}" if quote.currency else ""
    rows = [("Walls and bays", f"{len(walls)} wall(s), {len(layout.bays)} bay(s)")]
    rows += _storage(delivery)
    rows.append(("Parts", str(sum(part.count for part in pack.parts))))
    plan = delivery.plan
    for name, result in (("Sheets", plan.sheets), ("Strips", plan.strips), ("Rods", plan.rods)):
        if result is not None:
            rows.append((name, result.statement))
    heaviest = f"{weights.heaviest_part} {weights.heaviest:.0f} {weights.unit}"
    rows.append(("Weight", f"{weights.total:.0f} {weights.unit}; heaviest part {heaviest}"))
    rows.append(("Work", f"{quote.hours:.1f} hours of one person"))
    rows.append(("Materials", f"{quote.materials:.2f}{money}"))
    rows.append(("Quote", f"{quote.total:.2f}{money}"))
    rows.append(("Structural checks", _verdicts(delivery)))
    return rows


def _storage(delivery: Delivery) -> list[tuple[str, str]]:
    """Rod and shelf length and pieces housed, summed over the bays."""
    units = delivery.brief.units
    zones = [(bay, zone) for bay in delivery.layout.bays for zone in bay.zones]

    def total(chosen: Iterable[tuple[Bay, Zone]]) -> float:
        return sum(bay.width for bay, _ in chosen)

    rows = []
    for hang in Hang:
        length = total((b, z) for b, z in zones if z.kind is ZoneKind.ROD and z.hang is hang)
        if length:
            rows.append((f"{hang.value.capitalize()} hang", format_length(length, units)))
    shelves = total((b, z) for b, z in zones if z.kind is ZoneKind.SHELF)
    if shelves:
        rows.append(("Shelves", format_length(shelves, units)))
    housed = Counter(name for _, zone in zones for name in zone.items)
    if housed:
        named = ", ".join(name if n == 1 else f"{n} x {name}" for name, n in housed.items())
        rows.append(("Items in place", named))
    stored = Counter[str]()
    for _, zone in zones:
        stored.update({kept.kind: kept.count for kept in zone.stored})
    if stored:
        named = "; ".join(stored_text(kind, count) for kind, count in stored.items())
        rows.append(("On the shelves", named))
    return rows


def _verdicts(delivery: Delivery) -> str:
    counts = Counter(check.status for check in delivery.pack.checks)
    return ", ".join(f"{counts[status]} {status.value}" for status in CheckStatus)


def quote(delivery: Delivery) -> list[Any]:
    """The customer's quote on a page of its own."""
    made = tables.quote_table(delivery.pack)
    return [
        *text_page(),
        heading("Quote"),
        paragraph(delivery.brief.name or "Closet"),
        Spacer(1, _GAP),
        table(made.columns, made.rows, _width(delivery) * 0.5),
        Spacer(1, _GAP),
        paragraph(
            "Hours are those of one person; what they rest on is listed with the hours.", SMALL
        ),
    ]


def cut_list(delivery: Delivery) -> list[Any]:
    """Cautions at the saw, then the parts in cutting order and the settings."""
    width = _width(delivery)
    return [
        *text_page(),
        heading("Cut list"),
        *_cautions(delivery, "cut_list"),
        *pack_table(tables.cut_list_table(delivery.pack), width),
        *pack_table(tables.cuts_table(delivery.pack), width),
    ]


def sheet_layouts(delivery: Delivery) -> list[Any]:
    """Cautions on sheets, and what each sheet gives; the drawings follow."""
    story = [*text_page(), heading("Sheet layouts"), *_cautions(delivery, "sheets")]
    result = delivery.plan.sheets
    if result is None:
        return [*story, paragraph("No part is cut from sheets.")]
    statement = result.statement
    story.append(paragraph(f"{statement[:1].upper()}{statement[1:]} ({result.method})."))
    story.append(Spacer(1, _GAP))
    rows = [_sheet_row(delivery, sheet) for sheet in result.sheets]
    columns = ("Sheet", "Stock", "Parts", "Cuts", "Becomes parts", "Offcuts to keep")
    story.append(table(columns, rows, _width(delivery)))
    return story


def _sheet_row(delivery: Delivery, sheet: SheetLayout) -> tuple[str, ...]:
    units = delivery.brief.units
    size = f"{format_short(sheet.width, units)} x {format_short(sheet.height, units)}"
    keep = [
        f"{size_text(o.width, units)} x {size_text(o.height, units)}"
        for o in sheet.offcuts
        if o.reusable
    ]
    return (
        str(sheet.number),
        sheet.stock.name or size,
        " ".join(part.part for part in sheet.parts),
        str(len(sheet.cuts)),
        f"{sheet.yield_ratio:.0%}",
        ", ".join(keep),
    )


def shopping(delivery: Delivery) -> list[Any]:
    """What to buy, hardware by use, finishes with their cautions, hours."""
    width, pack = _width(delivery), delivery.pack
    return [
        *text_page(),
        heading("Shopping and hardware"),
        *pack_table(tables.shopping_table(pack), width),
        *pack_table(tables.hardware_table(pack), width),
        paragraph("Finish", SUBHEADING),
        *_cautions(delivery, "finish"),
        *_finish(delivery),
        *pack_table(tables.hours_table(pack), width),
    ]


def _finish(delivery: Delivery) -> list[Any]:
    rows = [
        (need.name, f"{need.area:.1f} {need.area_unit}", str(need.coats),
         f"{need.amount:.2f} {need.unit}")
        for need in delivery.pack.finish
    ]  # fmt: skip
    if not rows:
        return []
    return [table(("Finish", "Surface", "Coats", "Amount"), rows, _width(delivery), full=False)]


def markout(delivery: Delivery) -> list[Any]:
    """Cautions at the wall, the datum, and the schedule of each wall."""
    pack = delivery.pack
    datum = format_short(pack.datum, delivery.brief.units)
    unit = "" if delivery.brief.units.value == "in" else " mm"
    story = [
        *text_page(),
        heading("Mark-out"),
        *_cautions(delivery, "markout"),
        paragraph(
            f"Strike a level line {datum}{unit} above the highest point of the floor and measure "
            "every height from it: floors slope. Positions run from the wall's left corner as "
            "one faces it."
        ),
    ]
    for wall in dict.fromkeys(line.wall for line in pack.markout):
        made = tables.markout_table(pack, wall)
        titled = tables.Table(f"{wall_title(wall)}: schedule", made.columns, made.rows)
        story += pack_table(titled, _width(delivery))
    return story


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
        *text_page(),
        heading("Assembly"),
        *_cautions(delivery, "assembly"),
        table(("Step", "Work", "Parts"), rows, _width(delivery)),
        Spacer(1, _GAP),
        paragraph("Order of work: common practice.", SMALL),
    ]


def structure(delivery: Delivery) -> list[Any]:
    """Cautions on loads, every check with its figures, formulas and sources."""
    pack = delivery.pack
    sources = dict.fromkeys((c.kind, c.check, c.formula, c.source) for c in pack.checks)
    story = [
        *text_page(),
        heading("Structural checks"),
        *_cautions(delivery, "structure"),
        *pack_table(tables.checks_table(pack), _width(delivery)),
    ]
    if sources:
        story.append(paragraph("Formulas and sources", SUBHEADING))
        columns = ("Part", "Check", "Formula", "Source")
        story.append(table(columns, list(sources), _width(delivery)))
    story.append(Spacer(1, _GAP))
    story.append(paragraph(CODES))
    return story


CODES = (
    "These checks use published values and common practice. They do not replace local codes, "
    "a building department or a licensed engineer; electrical and plumbing work belongs to "
    "those licensed for it."
)


def text_sections() -> Sequence[Any]:
    """Sections after the drawings of the room and the sheets, in order."""
    return (shopping, markout, assembly, structure)
