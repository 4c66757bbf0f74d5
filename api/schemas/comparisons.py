"""Layouts side by side."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from api.schemas.base import StudyId, Wire
from optimizer.domain.layout import TermName, Unmet


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
