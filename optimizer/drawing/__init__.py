"""Drawings of a layout and of its sheets: one document each, written as DXF, SVG or PDF.

Three folders build on each other. `ink` draws lines, lettering, labels and dimension chains, and
knows nothing of closets. `formats` turns a finished document into files. `views` decides what is
drawn: plan, elevations, sections, isometric view, sheet and stick layouts. A view is a function
`paint(board)` that `views.frame.compose` calls at one scale after the other until paper and
scale are found, and then once more for good.
"""

from optimizer.drawing.drawing_set import draw_all, draw_walls, drawing_files, write_drawings
from optimizer.drawing.formats.drawing import Drawing
from optimizer.drawing.views.elevation import draw_elevation
from optimizer.drawing.views.isometric import (
    View,
    draw_isometric,
    isometric_views,
    picture_isometric,
)
from optimizer.drawing.views.plan import draw_plan
from optimizer.drawing.views.sheet_layouts import draw_sheet_pairs, draw_sheets
from optimizer.drawing.views.stick_layouts import draw_sticks, picture_sticks

__all__ = [
    "Drawing",
    "View",
    "draw_all",
    "draw_elevation",
    "draw_isometric",
    "draw_plan",
    "draw_sheet_pairs",
    "draw_sheets",
    "draw_sticks",
    "draw_walls",
    "drawing_files",
    "isometric_views",
    "picture_isometric",
    "picture_sticks",
    "write_drawings",
]
