"""Layouts side by side, what priorities do, and which drawings there are, on the wire."""

from __future__ import annotations

from typing import Literal, Self
from urllib.parse import quote

from pydantic import ConfigDict, Field

from api.http.wire import Wire
from api.studies.schemas import StudyId, StudyState, address
from optimizer.domain.layout import Layout, TermName, Unmet
from optimizer.explaining.preference import Preference
from optimizer.explaining.sensitivity import PriorityRange


def layout_address(study_id: str, rank: int) -> str:
    """Path of a study's layout."""
    return f"{address(study_id)}/layouts/{rank}"


class LayoutLinks(Wire):
    """Addresses of what belongs to a layout, and of what it belongs to."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    itself: str = Field(alias="self", description="The layout alone.")
    study: str = Field(description="The study that proposed it.")
    drawings: str = Field(description="Which drawings it has, each with its addresses.")
    build_pack: str = Field(description="Everything that building it needs.")
    preference: str = Field(description="Which priorities would make it the first.")
    check: str = Field(description="Where to send it, changed by hand, to be checked (POST).")

    @classmethod
    def of(cls, study_id: str, rank: int) -> Self:
        """The addresses of one layout."""
        here = layout_address(study_id, rank)
        return cls(
            itself=here,
            study=address(study_id),
            drawings=f"{here}/drawings",
            build_pack=f"{here}/build-pack",
            preference=f"{address(study_id)}/preference?layout={rank}",
            check="/v1/layout-checks",
        )


class LayoutResource(Layout):
    """A layout with the addresses of what belongs to it."""

    links: LayoutLinks = Field(description="What belongs to it. Checks of layouts pass over it.")


class LayoutList(Wire):
    """The layouts of a study, by rank."""

    study: StudyId = Field(description="The study.")
    state: StudyState = Field(description="Where it stands: its layouts are final once it is done.")
    layouts: tuple[LayoutResource, ...] = Field(description="By rank, each with its links.")


class ComparedLayout(Wire):
    """One of the layouts compared."""

    rank: int
    score: float
    bound: float
    gap: float
    unmet: tuple[Unmet, ...]
    trade_off: str = Field(description="What it gives up against the first chosen, and gains.")
    moved: tuple[str, ...] = Field(description="What stands elsewhere than in the first chosen.")


class ComparedMetric(Wire):
    """One figure of every layout compared, in their order."""

    name: str
    unit: str
    better: Literal["more", "less"]
    values: tuple[float | None, ...]
    best: tuple[int, ...] = Field(description="Ranks of those that have the best value.")


class ComparedTerm(Wire):
    """One line of the score of every layout compared, in their order."""

    name: TermName
    weight: float
    values: tuple[float, ...]
    points: tuple[float, ...]


class Comparison(Wire):
    """Layouts of a study side by side; the first chosen is what the others are held against."""

    study: StudyId
    units: Literal["in", "mm"]
    layouts: tuple[ComparedLayout, ...]
    metrics: tuple[ComparedMetric, ...]
    terms: tuple[ComparedTerm, ...]
    differences: tuple[tuple[float, ...], ...] = Field(
        description="Distance of each two, 0 to 1; empty while the study runs."
    )


View = Literal["plan", "elevation", "isometric"]


class DrawingEntry(Wire):
    """One drawing, with the address of each of its forms."""

    view: View
    wall: str | None = Field(description="Of an elevation: the wall's id.")
    svg: str
    dxf: str
    pdf: str

    @classmethod
    def of(cls, here: str, view: View, wall: str | None = None) -> Self:
        """A drawing among those at an address."""
        # An id of a wall may hold any character.
        query = "" if wall is None else f"?wall={quote(wall)}"
        files = {form: f"{here}/{view}.{form}{query}" for form in ("svg", "dxf", "pdf")}
        return cls(view=view, wall=wall, **files)


class DrawingList(Wire):
    """Every drawing of a layout."""

    study: StudyId
    layout: int
    items: tuple[DrawingEntry, ...]


class Sensitivity(Wire):
    """How far each priority may move alone before another layout comes first."""

    study: StudyId
    ranges: tuple[PriorityRange, ...] = Field(
        description="One for each priority; none where the study has fewer than two layouts."
    )


class StudyPreference(Preference):
    """Which priorities would make a layout the first of its study."""

    study: StudyId
