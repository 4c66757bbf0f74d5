"""Drawings of a layout and of its sheets: one document each, written as DXF, SVG or PDF."""

from optimizer.drawing.drawing import Drawing
from optimizer.drawing.elevation import draw_elevation
from optimizer.drawing.isometric import draw_isometric, picture_isometric
from optimizer.drawing.plan import draw_plan
from optimizer.drawing.sheets import draw_sheet_pairs, draw_sheets
from optimizer.drawing.sticks import draw_sticks, picture_sticks
from optimizer.drawing.writing import draw_all, drawing_files, write_drawings

__all__ = [
    "Drawing",
    "draw_all",
    "draw_elevation",
    "draw_isometric",
    "draw_plan",
    "draw_sheet_pairs",
    "draw_sheets",
    "draw_sticks",
    "drawing_files",
    "picture_isometric",
    "picture_sticks",
    "write_drawings",
]
