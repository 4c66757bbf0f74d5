"""An elevation: one wall as seen standing inside and facing it, left end at the left."""

from __future__ import annotations

import datetime
import math

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.pack import BuildPack
from optimizer.domain.studs import stud_centres, studs_known
from optimizer.drawing.formats.drawing import Drawing
from optimizer.drawing.ink.names import wall_title
from optimizer.drawing.views.elevation_bays import draw_bay, draw_panels
from optimizer.drawing.views.elevation_labels import label_wall
from optimizer.drawing.views.elevation_sizes import draw_sizes
from optimizer.drawing.views.elevation_wall import draw_wall
from optimizer.drawing.views.frame import DrawingArea, Title, compose
from optimizer.drawing.views.mounts import draw_mounts
from optimizer.drawing.views.scene import Scene, WallView
from optimizer.drawing.views.section import draw_section
from optimizer.errors import Fault, LayoutError
from optimizer.files import safe_name
from optimizer.units import Units


def draw_elevation(
    brief: Brief,
    layout: Layout,
    wall_id: str,
    pack: BuildPack | None = None,
    *,
    date: datetime.date | None = None,
    widest: float = math.inf,
) -> Drawing:
    """Elevation of a wall; with a pack, every part of the wall carries its id and the
    cautions for work on walls stand in the notes. It is no wider on paper than `widest` [mm]
    where nothing becomes a keyed note by that.

    LayoutError where the layout contradicts the brief, or there is no such wall.
    """
    view = Scene(brief, layout).walls.get(wall_id)
    if view is None:
        raise LayoutError([Fault("/room/walls", f"there is no wall {wall_id}", "unknown_wall")])
    parts = tuple(part for part in pack.parts if part.wall == wall_id) if pack else ()

    def paint(board: DrawingArea) -> None:
        """Everything of the wall at the board's scale; later things lie over earlier ones."""
        draw_wall(board, view)
        for bay in view.bays:
            draw_bay(board, view, bay, parts)
        draw_panels(board.canvas, view)
        draw_mounts(board.canvas, view)
        label_wall(board, view, parts)
        draw_sizes(board, view, parts)
        _remark(board, view)
        if pack is not None:
            draw_section(board, view, parts)
            board.notes.cautions += [c.text for c in pack.cautions if c.where == "markout"]

    title = Title(brief.name, f"{wall_title(wall_id)}, elevation", brief.units, date)
    name = safe_name(wall_id, (wall.id for wall in brief.room.walls))
    return compose(f"elevation-{name}", title, (view.length, view.top), paint, widest=widest)


def _remark(board: DrawingArea, view: WallView) -> None:
    """General notes of this wall."""
    units = "inches" if view.brief.units is Units.INCH else "millimetres"
    notes = board.notes
    notes.remark(f"Sizes in {units}. Heights are above the floor: tops of boards, rod centres.")
    if view.bays:
        notes.remark("Dashed under boards: cleats; a cross marks a stud behind.")
    if any(bay.mid_supports for bay in view.bays):
        notes.remark(_support_words(view))
    if not studs_known(view.wall) and stud_centres(view.wall, view.brief.units):
        notes.remark("Stud places are assumed: find the studs before fastening.")
    spread = view.wall.reading_spread
    if spread > view.brief.units.from_inch(0.25):
        notes.remark("The wall's readings differ by more than 1/4 in: the least is drawn.")


def _support_words(view: WallView) -> str:
    """What the strips under boards between the ends of a bay are."""
    kind = "triangles" if view.brief.construction.mid_support == "triangle" else "brackets"
    return f"Strips under boards inside a bay: {kind}, each on a stud."
