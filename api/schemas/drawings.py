"""Which drawings a layout has."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from api.schemas.base import StudyId, Wire


class DrawingEntry(Wire):
    """One drawing, with the address of each of its forms."""

    view: Literal["plan", "elevation", "isometric"]
    wall: str | None = Field(description="Of an elevation: the wall's id.")
    svg: str
    dxf: str
    pdf: str


class DrawingList(Wire):
    """Every drawing of a layout."""

    study: StudyId
    layout: int
    items: tuple[DrawingEntry, ...]
