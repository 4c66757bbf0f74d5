"""Build packs on the wire."""

from __future__ import annotations

from pydantic import Field

from api.schemas.base import StudyId, Wire
from optimizer.domain.pack import BuildPack
from optimizer.domain.sheets import NestingResult, StickResult


class PackDrawing(Wire):
    """A drawing of the pack, with part ids on it."""

    name: str
    title: str
    svg: str
    dxf: str


class PackFile(Wire):
    """A file of the pack."""

    name: str
    media_type: str
    href: str


class BuildPackResource(Wire):
    """Everything that building a layout needs. Lengths are in the units of the brief."""

    study: StudyId
    layout: int
    pack: BuildPack
    sheets: NestingResult | None = Field(description="How parts lie on sheets, and what is proved.")
    strips: StickResult | None = Field(description="How cleats and the like are cut from strips.")
    rods: StickResult | None = Field(description="How rods are cut from their stock.")
    drawings: tuple[PackDrawing, ...]
    files: tuple[PackFile, ...]
    archive: str = Field(description="Address of all files in one archive.")
