"""Build packs on the wire."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from typing import Annotated, Any, Self
from urllib.parse import quote

from pydantic import BeforeValidator, Field

from api.http.wire import Wire
from api.layouts.schemas import layout_address
from api.studies.schemas import StudyId
from optimizer.domain.pack import BuildPack
from optimizer.domain.sheets import NestingResult, StickResult
from optimizer.reference.prices import Money, PriceBook, Rate

PRICING = r"^[0-9a-f]{32}$"
"""Form of a pricing's identifier."""


def _read_day(value: Any) -> datetime.date:
    """A day from text such as 2026-03-14, and from nothing else."""
    # pydantic would take a number of seconds since 1970 as well, and a whole moment.
    if not isinstance(value, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        raise ValueError("write a day as YYYY-MM-DD")
    return datetime.date.fromisoformat(value)


class QuoteChange(Wire):
    """Rates of the quote in place of the price book's; shares, 0.2 is 20 %."""

    labour_rate: Annotated[Money, Field(description="Money for an hour.")] | None = None
    margin: Rate | None = None
    tax: Rate | None = None


class BuildRequest(Wire):
    """What a build pack is reckoned with: your own prices, rates and date."""

    prices: (
        Annotated[
            PriceBook,
            Field(
                description="The price book of your shop, whole: take the one of /v1/price-book "
                "and put in what you charge. Its plain numbers for lengths are inches, whatever "
                "the brief's units; a text may say others, such as `18 mm`."
            ),
        ]
        | None
    ) = None
    quote: QuoteChange | None = None
    date: (
        Annotated[
            datetime.date,
            BeforeValidator(_read_day),
            Field(description="The day printed on drawings and document; blank without one."),
        ]
        | None
    ) = None


TYPES = {
    "csv": "text/csv",
    "dxf": "image/vnd.dxf",
    "json": "application/json",
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
}
"""Media type by the end of a file's name."""


def media_type_of(name: str) -> str:
    """Media type of a file of the pack."""
    return TYPES[name.rsplit(".", 1)[-1]]


@dataclass(frozen=True, slots=True)
class PackPlace:
    """Where a pack is: its address, and the prices that it was reckoned with."""

    study_id: str
    rank: int
    pricing: str | None = None

    @property
    def address(self) -> str:
        """Path of the pack."""
        return f"{layout_address(self.study_id, self.rank)}/build-pack"

    @property
    def query(self) -> str:
        """What its addresses end in."""
        return "" if self.pricing is None else f"?pricing={self.pricing}"

    def file(self, name: str) -> str:
        """Address of one of its files."""
        # `safe=''`: a slash in a name would be another path.
        return f"{self.address}/files/{quote(name, safe='')}{self.query}"


class PackDrawing(Wire):
    """A drawing of the pack, with part ids on it."""

    name: str
    title: str
    svg: str
    dxf: str

    @classmethod
    def of(cls, place: PackPlace, name: str, title: str) -> Self:
        """A drawing of the pack at that place."""
        svg, dxf = (place.file(f"{name}.{form}") for form in ("svg", "dxf"))
        return cls(name=name, title=title, svg=svg, dxf=dxf)


class PackFile(Wire):
    """A file of the pack."""

    name: str
    media_type: str
    href: str

    @classmethod
    def of(cls, place: PackPlace, name: str) -> Self:
        """A file of the pack at that place."""
        return cls(name=name, media_type=media_type_of(name), href=place.file(name))


class BuildPackResource(Wire):
    """Everything that building a layout needs. Lengths are in the units of the brief."""

    study: StudyId
    layout: int
    pricing: Annotated[str, Field(pattern=PRICING)] | None = Field(
        description="The prices sent for it: the query parameter of that name gives this pack "
        "again, in every form. Null for the prices that the program came with, which are invented."
    )
    pack: BuildPack
    sheets: NestingResult | None = Field(description="How parts lie on sheets, and what is proved.")
    strips: StickResult | None = Field(description="How cleats and the like are cut from strips.")
    rods: StickResult | None = Field(description="How rods are cut from their stock.")
    drawings: tuple[PackDrawing, ...]
    files: tuple[PackFile, ...]
    archive: str = Field(description="Address of all files in one archive.")
