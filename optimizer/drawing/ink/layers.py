"""Layers with their line weights and line types, and the styles of lettering and dimensions.

Line weights follow the drafting habit of three: what is cut is heavy, what is seen is
medium, what explains is thin. All is black but for two grey layers, so that a black and
white print loses nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Lock
from typing import Any

import ezdxf

from optimizer.drawing.ink.lettering import CAP_HEIGHT
from optimizer.units import Units

BLACK, GREY = 7, 8
"""Colours of the AutoCAD colour index; 7 is the foreground: black on paper."""

DASHED, CHAIN = "DASHED", "CHAIN"
LETTERING, LETTERING_BOLD = "LETTERING", "LETTERING-BOLD"
DIMSTYLE = "TRADE"

DIM_HEIGHT = 1.8
"""Capitals of dimension figures on paper [mm]: the smallest but one of ISO 3098 (from memory)."""


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer: line weight [1/100 mm], line type, colour and what is on it."""

    name: str
    weight: int
    about: str
    line: str = "CONTINUOUS"
    colour: int = BLACK


WALL = Layer("WALL", 50, "Walls, floor and ceiling")
HATCH = Layer("HATCH", 9, "Hatching of what is cut", colour=GREY)
UPRIGHT = Layer("UPRIGHT", 35, "Uprights")
BOARD = Layer("BOARD", 35, "Shelves and top shelves")
STIFFENER = Layer("STIFFENER", 18, "Stiffeners at the front of boards")
ROD = Layer("ROD", 25, "Closet rods")
ROD_LINE = Layer("ROD-LINE", 18, "Rod centre lines", CHAIN)
CLEAT = Layer("CLEAT", 13, "Cleats behind and beside boards", DASHED)
CLEAT_END = Layer("CLEAT-END", 18, "Ends of side cleats, rod cleats and joint cleats")
SUPPORT = Layer("SUPPORT", 25, "Mid supports and rod centre brackets")
SECTION = Layer("SECTION", 18, "Boards of the next wall that run through a corner, cut")
KEEP_CLEAR = Layer("KEEP-CLEAR", 13, "Boxes kept clear", DASHED)
FILLER = Layer("FILLER", 18, "Fillers and scribe strips")
CLOTHES = Layer("CLOTHES", 9, "Hung clothes", colour=GREY)
ITEM = Layer("ITEM", 25, "Items in place")
OPENING = Layer("OPENING", 25, "Openings and doors")
SWING = Layer("SWING", 13, "Door swings")
OBSTRUCTION = Layer("OBSTRUCTION", 25, "What is in the way")
STUD = Layer("STUD", 13, "Studs")
BEYOND = Layer("BEYOND", 13, "What lies on another wall or out of sight", DASHED)
DIMENSION = Layer("DIMENSION", 13, "Dimensions")
TEXT = Layer("TEXT", 18, "Lettering")
MASK = Layer("MASK", 9, "Paper kept free for lettering")
CUT = Layer("CUT", 18, "Saw cuts")
PART = Layer("PART", 35, "Parts on sheets and sticks")
OFFCUT = Layer("OFFCUT", 13, "Offcuts", DASHED)
FRAME = Layer("FRAME", 50, "Frame of the sheet")
BLOCK = Layer("TITLE", 18, "Title block and notes")

LAYERS = (
    WALL, HATCH, UPRIGHT, BOARD, STIFFENER, ROD, ROD_LINE, CLEAT, CLEAT_END, SUPPORT, SECTION,
    KEEP_CLEAR, FILLER, CLOTHES, ITEM, OPENING, SWING, OBSTRUCTION, STUD, BEYOND, DIMENSION, TEXT,
    MASK, CUT, PART, OFFCUT, FRAME, BLOCK,
)  # fmt: skip

_LINES = {
    DASHED: ("Dashed _ _ _ _", (2.0, -1.0)),
    CHAIN: ("Chain __ . __ . __", (5.0, -1.0, 0.0, -1.0)),
}
"""Strokes and gaps of line types on paper [mm]."""


# ezdxf's options are global, and several threads may draw at once.
_options = Lock()


@contextmanager
def fixed_dates() -> Iterator[None]:
    """Have ezdxf write fixed dates and identifiers instead of those of the moment."""
    with _options:
        before = ezdxf.options.write_fixed_meta_data_for_testing
        ezdxf.options.write_fixed_meta_data_for_testing = True
        try:
            yield
        finally:
            ezdxf.options.write_fixed_meta_data_for_testing = before


def new_document(units: Units, unit_per_mm: float) -> Any:
    """An empty DXF document in `units` with our layers and styles.

    `unit_per_mm` is what 1 mm of paper stands for; line types, dimensions and lettering
    keep their size on paper through it.
    """
    inch = units is Units.INCH
    with fixed_dates():
        doc = ezdxf.new("R2010", units=ezdxf.units.IN if inch else ezdxf.units.MM)
    doc.header["$MEASUREMENT"] = 0 if inch else 1
    doc.header["$LTSCALE"] = unit_per_mm
    doc.header["$DIMSCALE"] = unit_per_mm
    for name, (about, strokes) in _LINES.items():
        total = sum(abs(stroke) for stroke in strokes)
        doc.linetypes.add(name, [total, *strokes], description=about)
    doc.styles.add(LETTERING, font="arial.ttf")
    doc.styles.add(LETTERING_BOLD, font="arialbd.ttf")
    for layer in LAYERS:
        doc.layers.add(
            layer.name, color=layer.colour, linetype=layer.line, lineweight=layer.weight
        ).description = layer.about
    _add_dimstyle(doc, units, unit_per_mm)
    return doc


def _add_dimstyle(doc: Any, units: Units, unit_per_mm: float) -> None:
    """Oblique ticks, short extension lines, figures over the line; sizes on paper [mm]."""
    inch = units is Units.INCH
    style = doc.dimstyles.add(DIMSTYLE)
    values = {
        "dimscale": unit_per_mm,
        "dimtxsty": LETTERING,
        "dimtxt": DIM_HEIGHT,
        "dimtsz": 0.7,
        "dimexe": 1.0,
        "dimexo": 0.0,
        "dimfxlon": 1,
        "dimfxl": 1.6,
        "dimdle": 0.0,
        "dimgap": 0.8,
        "dimtad": 1,
        # Figures between the extension lines even where they are tight: `chains` has measured them.
        "dimtix": 1,
        # A figure moved aside takes neither line nor leader along: leaders are our own.
        "dimtmove": 2,
        "dimtih": 0,
        "dimtoh": 0,
        # Architectural units in sixteenths, fractions not stacked; whole millimetres.
        "dimlunit": 4 if inch else 2,
        "dimfrac": 2,
        "dimdec": 4 if inch else 0,
        "dimrnd": units.grid,
        "dimzin": 0,
        "dimclrd": BLACK,
        "dimclre": BLACK,
        "dimclrt": BLACK,
    }
    for name, value in values.items():
        style.set_dxf_attrib(name, value)


def font_size(height: float) -> float:
    """Font size at which capitals are `height` high, in the same unit."""
    return height / CAP_HEIGHT
