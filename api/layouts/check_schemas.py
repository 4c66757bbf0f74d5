"""Briefs and layouts checked without a study."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from api.http.problem_schemas import ErrorEntry
from api.http.wire import Wire
from api.studies.schemas import StudyId
from optimizer.domain.brief import Brief
from optimizer.domain.fields import Whole
from optimizer.domain.layout import Layout, Metrics, Strained, Term, TermName, Unmet
from optimizer.domain.study import Warned


class Validation(Wire):
    """A brief that a study can be made of."""

    valid: bool = Field(description="Always true: what is not valid is answered with 422.")
    brief: Brief = Field(description="As resolved, defaults filled in.")
    warnings: tuple[Warned, ...]


class LayoutCheckRequest(Wire):
    """A layout drawn elsewhere, or one of a study's changed by hand.

    With `study` it is checked under that study's brief and held against its layout of rank
    `against`; without, it comes with the `brief` it is for, and is not scored: the scale of the
    score is what a study found the room could do.
    """

    layout: Layout = Field(
        description="Only its `bays` count; whatever else it says is reckoned anew."
    )
    brief: Brief | None = Field(
        default=None, description="Needed without `study`; with it, equal to that of the study."
    )
    study: Annotated[StudyId, Field(description="An ended study of yours.")] | None = None
    against: Annotated[
        Whole, Field(ge=1, le=1000, description="Rank of the study's layout to hold it against.")
    ] = 1


class TermDifference(Wire):
    """A line of the score in which two layouts differ."""

    name: TermName
    points: float = Field(description="Points more than the study's layout has; fewer: below 0.")


class HeldAgainst(Wire):
    """The layout beside one that a study proposed."""

    study: StudyId
    layout: int = Field(description="Rank of the study's layout.")
    score: float = Field(description="Score of the study's layout.")
    difference: float = Field(description="Points over it; under it: below 0.")
    terms: tuple[TermDifference, ...] = Field(description="Lines of the score that differ.")
    changed: tuple[str, ...] = Field(description="What stands otherwise, in words.")
    bound: float = Field(
        description="What the study has proved that no layout of its brief scores above."
    )
    summary: str = Field(
        description="All of this in a line.",
        examples=["2.1 points under layout 1: easy reach -2.1; wall A: 6 in less of shelves"],
    )


class LayoutCheck(Wire):
    """Whether a layout obeys every rule of its brief, and what it is worth.

    What is null could not be reckoned: `metrics`, `structure` and `unmet` where the layout names
    what is not there, `score`, `terms`, `bound` and `against` without a study with layouts.
    """

    passed: bool
    findings: tuple[ErrorEntry, ...] = Field(
        description="Every broken rule; pointers lead into `layout`, whose bays stand in the order "
        "of the ones sent."
    )
    warnings: tuple[Warned, ...] = Field(description="Of the brief.")
    layout: Layout = Field(
        description="As it was checked: on the grid, uprights shared and ends at their walls where "
        "they were a little off, ids kept. Its score and bound mean nothing without a study."
    )
    snapped: tuple[str, ...] = Field(description="Ids of the bays that differ from what was sent.")
    score: float | None
    terms: tuple[Term, ...] | None = Field(description="The score line by line.")
    bound: float | None = Field(
        description="What no layout of the brief is proved to score above, by the study."
    )
    metrics: Metrics | None = Field(description="What it holds and takes, material cost too.")
    unmet: tuple[Unmet, ...] | None = Field(description="Needs that it does not meet.")
    structure: Strained | None = Field(description="The part nearest to a limit of strength.")
    against: HeldAgainst | None
