"""Layouts side by side, what priorities do, and which drawings there are, on the wire."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from api.http.wire import Wire
from api.studies.schemas import StudyId
from optimizer.domain.layout import TermName, Unmet
from optimizer.explaining.preference import Preference
from optimizer.explaining.sensitivity import PriorityRange


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


class Sensitivity(Wire):
    """How far each priority may move alone before another layout comes first."""

    study: StudyId
    ranges: tuple[PriorityRange, ...] = Field(
        description="One for each priority; none where the study has fewer than two layouts."
    )


class StudyPreference(Preference):
    """Which priorities would make a layout the first of its study."""

    study: StudyId
