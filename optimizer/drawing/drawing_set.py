"""Every drawing of a layout, and writing them into a folder."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from pathlib import Path

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.pack import BuildPack
from optimizer.drawing.formats.drawing import Drawing
from optimizer.drawing.views.elevation import draw_elevation
from optimizer.drawing.views.isometric import draw_isometric
from optimizer.drawing.views.plan import draw_plan
from optimizer.drawing.views.scene import Scene
from optimizer.files import write_files


def draw_walls(
    brief: Brief,
    layout: Layout,
    pack: BuildPack | None = None,
    *,
    date: datetime.date | None = None,
) -> tuple[Drawing, ...]:
    """Plan, and an elevation of each wall that carries storage."""
    walls = Scene(brief, layout).used_walls
    elevations = (draw_elevation(brief, layout, wall, pack, date=date) for wall in walls)
    return (draw_plan(brief, layout, pack, date=date), *elevations)


def draw_all(
    brief: Brief,
    layout: Layout,
    pack: BuildPack | None = None,
    *,
    date: datetime.date | None = None,
) -> tuple[Drawing, ...]:
    """Plan, an elevation of each wall that carries storage, and the isometric view."""
    return (
        *draw_walls(brief, layout, pack, date=date),
        draw_isometric(brief, layout, date=date),
    )


def write_drawings(
    brief: Brief,
    layout: Layout,
    folder: Path | str,
    pack: BuildPack | None = None,
    *,
    date: datetime.date | None = None,
) -> list[Path]:
    """Write every drawing as SVG and DXF into `folder`; the paths written.

    LayoutError or BriefError where the layout cannot be drawn, OptimizerError where the
    folder cannot be written; then nothing is written.
    """
    return write_files(folder, drawing_files(draw_all(brief, layout, pack, date=date)))


def drawing_files(drawings: Iterable[Drawing]) -> dict[str, bytes]:
    """File names and contents of drawings, SVG and DXF of each."""
    files: dict[str, bytes] = {}
    for drawing in drawings:
        files[f"{drawing.name}.svg"] = drawing.to_svg().encode()
        files[f"{drawing.name}.dxf"] = drawing.to_dxf()
    return files
