"""The survey sheet: what to measure on site, blank, or filled in as far as a room is described.

What a brief says stands in its place; what it leaves to assumption stays blank.
"""

from __future__ import annotations

from typing import Any

from reportlab.lib import colors
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from optimizer.delivery.pages import render, text_width
from optimizer.delivery.styles import SMALL, SUBHEADING, TITLE, bullets, paragraph, table
from optimizer.domain.brief import Brief
from optimizer.domain.room import Obstruction, Opening, Slope, Wall
from optimizer.domain.studs import studs_known
from optimizer.drawing.ink.names import wall_title
from optimizer.units import Units, format_short

MOST_WALLS = 16
_WALLS, _OPENINGS, _THINGS, _STANDING = 4, 3, 8, 4
"""Blank rows where nothing is known yet."""
_SKETCH_LEAST, _SKETCH_MOST = 320.0, 430.0
"""Height of the squared paper with its heading at least, and at most: it takes what is left of a
page that has room for it [points]."""
_GAP = 6
_BLANK = ""

_HOW = (
    "Stand inside and face each wall; number the walls clockwise from the one left of the door. "
    "Measure along each wall from its left end.",
    "Three lengths a wall: at the floor over the baseboard, at the waist, at the height of the "
    "top shelf. Write what the tape says; nothing is rounded up.",
    "Both diagonals of the floor, or one for each corner of a room of other shape: they tell "
    "whether corners are square.",
    "Plumb: a level or a plumb line at both ends of a wall; write the gap at the top, + where the "
    "wall leans into the room.",
    "Cables and pipes can lie in any wall: look for them before drilling to find studs. Leave "
    "electrical and plumbing work to those licensed for it.",
)


def survey_document(
    brief: Brief | None = None, *, units: Units = Units.INCH, walls: int = _WALLS
) -> bytes:
    """The sheet as a PDF: of a described room, or blank with rows for so many walls."""
    told = brief.units if brief else units
    return render(_story(brief, told, walls), (), units=told, title="Survey of a closet")


def _story(brief: Brief | None, units: Units, walls: int) -> list[Any]:
    """The survey sheets from top to bottom; blank without a brief."""
    width = text_width(units)
    name = brief.name if brief and brief.name else "________________________________"
    unit = "inches, to 1/16" if units is Units.INCH else "whole millimetres"
    blanks = "Blank: not told yet, or assumed; measure it." if brief else ""
    return [
        paragraph("Survey", TITLE),
        paragraph(f"Project: {name}    Date: ____________    By: ____________"),
        paragraph(f"All sizes in {unit}. {blanks}"),
        *bullets(_HOW, SMALL),
        *_section("Walls", _walls(brief, units, walls), width),
        *_section("Floor, ceiling, corners", _corners(brief, units, walls), width),
        *_section("Openings", _openings(brief, units), width),
        *_section(
            "Outlets, switches, lights, windows, vents, pipes, beams", _things(brief, units), width
        ),
        *_section("What hangs and stands there now", _standing(), width),
        CondPageBreak(_SKETCH_LEAST),
        paragraph(
            "Sketch: the room from above, then each wall that has anything on it", SUBHEADING
        ),
        _Squares(width, _SKETCH_MOST),
    ]


_Rows = tuple[tuple[str, ...], list[tuple[str, ...]]]


def _section(title: str, made: _Rows, width: float) -> list[Any]:
    """A heading with its table, kept on one page."""
    columns, rows = made
    grid = table(columns, rows, width)
    # Set afterwards, since `table` takes no heights: the head keeps that of its text.
    grid._argH[1:] = [_ROW] * len(rows)
    return [KeepTogether([paragraph(title, SUBHEADING), grid]), Spacer(1, _GAP)]


_ROW = 17.0
"""Height of a row: room for handwriting [points]."""


def _walls(brief: Brief | None, units: Units, count: int) -> _Rows:
    """A row for each wall."""
    columns = (
        "Wall", "Length, floor", "Length, waist", "Length, top shelf", "Height, left",
        "Height, right", "Plumb, left", "Plumb, right", "Studs: first, spacing", "Hollow or bulge",
    )  # fmt: skip
    if brief is None:
        return columns, [(str(n), *[_BLANK] * 9) for n in range(1, count + 1)]
    return columns, [
        (
            wall_title(wall.id).removeprefix("Wall "),
            *_readings(wall, units),
            *_heights(wall, brief),
            _BLANK,
            _BLANK,
            _stud_words(wall, units),
            _BLANK,
        )
        for wall in brief.room.walls
    ]


def _readings(wall: Wall, units: Units) -> tuple[str, str, str]:
    """The three lengths as they were read; one reading stands for the waist alone."""
    if not isinstance(wall.length, tuple):
        return _BLANK, format_short(wall.length, units), _BLANK
    told = [format_short(length, units) for length in wall.length[:3]]
    floor, waist, top = [*told, _BLANK, _BLANK][:3]
    return floor, waist, top


def _heights(wall: Wall, brief: Brief) -> tuple[str, str]:
    """What is known of a wall's height at its left and right end."""
    units = brief.units
    if isinstance(wall.height, Slope):
        return format_short(wall.height.left, units), format_short(wall.height.right, units)
    if wall.height is not None:
        return format_short(wall.height, units), _BLANK
    return _BLANK, _BLANK


def _stud_words(wall: Wall, units: Units) -> str:
    """What was measured of a wall's studs."""
    if not studs_known(wall) or wall.studs is None:
        return _BLANK
    if wall.studs.positions is not None:
        return ", ".join(format_short(at, units) for at in wall.studs.positions)
    first = format_short(wall.studs.first or 0.0, units)
    return f"{first}, {format_short(wall.studs.spacing, units)}" if wall.studs.spacing else first


def _corners(brief: Brief | None, units: Units, count: int) -> _Rows:
    """What is measured once for the room."""
    columns = ("What", "Reading", "What", "Reading")
    ceiling, board, carpet = _BLANK, _BLANK, _BLANK
    names = [str(n) for n in range(1, count + 1)]
    if brief is not None:
        rules = brief.construction
        ceiling = format_short(brief.room.ceiling_height, units)
        if rules.baseboard_height and rules.baseboard_thickness:
            sizes = (rules.baseboard_height, rules.baseboard_thickness)
            board = " x ".join(format_short(size, units) for size in sizes)
        carpet = format_short(rules.carpet_thickness, units) if rules.carpet_thickness else _BLANK
        names = [wall.id for wall in brief.room.walls]
    return columns, [
        ("Ceiling height, middle", ceiling, "Wallboard, plaster or masonry; thickness", _BLANK),
        ("Diagonal 1", _BLANK, "Diagonal 2", _BLANK),
        ("Baseboard, height x thickness", board, "Carpet or floor, thickness pressed", carpet),
        ("Floor: highest point, wall and place", _BLANK, "Fall from it, to each corner", _BLANK),
        ("Door leaf: swings in, out, slides", _BLANK, "Least way in for sheets", _BLANK),
        (
            f"Corners not square: {' / '.join(names)}"[:90],
            _BLANK,
            "House built before 1978",
            _BLANK,
        ),
    ]


def _told(thing: Opening | Obstruction) -> set[str]:
    """Fields that say something else than what is assumed where nothing is said."""
    fields = type(thing).model_fields
    return {name for name in fields if getattr(thing, name) != fields[name].default}


def _openings(brief: Brief | None, units: Units) -> _Rows:
    """A row for each opening, and some to fill in."""
    columns = ("Wall", "From left", "Clear width", "Clear height", "Casing, width", "Kind", "Hinge")
    found = brief.room.openings if brief else ()
    rows = [_opening(opening, units) for opening in found]
    return columns, [*rows, *_blank(len(columns), _OPENINGS if not rows else 1)]


def _opening(opening: Opening, units: Units) -> tuple[str, ...]:
    """An opening as it was told."""
    told = _told(opening)
    return (
        opening.wall,
        *(format_short(size, units) for size in (opening.start, opening.width)),
        format_short(opening.height, units) if "height" in told else _BLANK,
        format_short(opening.casing, units) if "casing" in told else _BLANK,
        opening.kind.value.replace("_", " ") if "kind" in told else _BLANK,
        opening.hinge if "hinge" in told else _BLANK,
    )


def _things(brief: Brief | None, units: Units) -> _Rows:
    """A row for each obstruction, and some to fill in."""
    columns = (
        "What",
        "Wall",
        "From left",
        "Width",
        "From floor",
        "Height",
        "Out from wall",
        "Note",
    )
    found = brief.room.obstructions if brief else ()
    rows = [_thing(thing, units) for thing in found]
    return columns, [*rows, *_blank(len(columns), _THINGS if not rows else 2)]


def _thing(thing: Obstruction, units: Units) -> tuple[str, ...]:
    """An obstruction as it was told."""
    out = f"{format_short(thing.setback, units)} to {format_short(thing.projection, units)}"
    told = {"setback", "projection"} & _told(thing)
    return (
        thing.kind.value,
        thing.wall,
        *(format_short(s, units) for s in (thing.start, thing.width, thing.bottom, thing.height)),
        out if told else _BLANK,
        "may be covered" if thing.may_cover else _BLANK,
    )


def _standing() -> _Rows:
    """Rows for what hangs and stands in the closet now."""
    columns = ("What", "Wall", "Length on the rod or shelf", "Stays, goes, or is stored", "Note")
    return columns, _blank(len(columns), _STANDING)


def _blank(columns: int, rows: int) -> list[tuple[str, ...]]:
    """Rows to fill in by hand."""
    return [(_BLANK,) * columns] * rows


class _Squares(Flowable):  # type: ignore[misc]
    """Squared paper."""

    def __init__(self, width: float, height: float) -> None:
        """As wide as whole squares within `width`; at most `height` high [points]."""
        super().__init__()
        # 5 mm in points.
        self.step = 14.17
        self.width = int(width / self.step) * self.step
        self.most = height

    def wrap(self, _: float, available: float) -> tuple[float, float]:
        """Whole squares over what is left of the page."""
        self.height = int(min(self.most, available) / self.step) * self.step
        return self.width, self.height

    def draw(self) -> None:
        """Light lines each way."""
        self.canv.setStrokeColor(colors.grey)
        self.canv.setLineWidth(0.25)
        across = [n * self.step for n in range(int(self.width / self.step + 0.5) + 1)]
        up = [n * self.step for n in range(int(self.height / self.step + 0.5) + 1)]
        self.canv.grid(across, up)
