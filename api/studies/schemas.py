"""Studies on the wire: the optimizer's study, with where it stands in the service."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Annotated, Any, Literal, Self, cast

from pydantic import ConfigDict, Field, create_model

from api.http.problem_schemas import StudyProblem
from api.http.wire import JsonObject, Moment, Wire, moment
from api.store.ids import PATTERN
from api.store.tables import StudyRow
from optimizer.domain.study import Status, Study

StudyState = Literal["queued", "running", "done"]

StudyId = Annotated[str, Field(pattern=PATTERN, examples=["06d3v8q2k5y7n9b1c4f6g8h0jm"])]
"""Identifier of a study."""


def address(study_id: str) -> str:
    """Path of a study."""
    return f"/v1/studies/{study_id}"


class Progress(Wire):
    """Where a run stands: the layout being sought, and how good it can become at most."""

    stage: str | None = Field(description="What is being done.")
    layouts_found: int
    score: float | None = Field(description="Best score so far of the layout being sought.")
    bound: float | None = Field(description="Proven most that its score can reach.")
    seconds: float | None

    @classmethod
    def from_row(cls, row: StudyRow) -> Self:
        """Where the run of a stored study stands."""
        return cls(
            stage=row.stage,
            layouts_found=row.layouts_found,
            score=row.score,
            bound=row.bound,
            seconds=row.seconds,
        )


class Instant(Wire):
    """What a rerun could say at once: the earlier layouts under the new priorities."""

    possible: bool
    reason: str | None = Field(description="Why the earlier layouts could not be ranked anew.")
    score: float | None = Field(description="Best score among them.")
    bound: float | None = Field(description="Proven most that a new solve could reach.")
    gain: float | None = Field(description="Proven most that a new solve could gain.")

    @classmethod
    def without(cls, reason: str) -> Self:
        """Why nothing can be said at once."""
        return cls(possible=False, reason=reason, score=None, bound=None, gain=None)

    @classmethod
    def best_of(cls, score: float, bound: float) -> Self:
        """The best of the earlier layouts ranked anew."""
        return cls(
            possible=True, reason=None, score=score, bound=bound, gain=max(0.0, bound - score)
        )


class StudyLinks(Wire):
    """Addresses of what belongs to a study."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    itself: str = Field(alias="self")
    layouts: str
    events: str
    comparison: str
    reruns: str
    lineage: str
    sensitivity: str
    cancellation: str

    @classmethod
    def of(cls, study_id: str) -> Self:
        """The addresses of one study."""
        here = address(study_id)
        parts = [name for name in cls.model_fields if name != "itself"]
        return cls(itself=here, **{name: f"{here}/{name}" for name in parts})


class StudyHead(Wire):
    """A study in a list."""

    id: StudyId
    name: str
    state: StudyState
    status: Status | None = Field(description="How it ended; null until it has.")
    parent: StudyId | None = Field(description="The study it is a rerun of.")
    answered_from: StudyId | None = Field(
        description="The earlier study of the same brief whose result this is."
    )
    created_at: Moment
    started_at: Moment | None
    finished_at: Moment | None
    deadline_at: Moment
    expires_at: Moment | None = Field(description="When an ended study is deleted.")
    attempts: int
    progress: Progress
    links: StudyLinks

    @classmethod
    def from_row(cls, row: StudyRow, **more: Any) -> Self:
        """A stored study; `more` are the members that a form of it has beside these."""
        return cls(
            id=row.id,
            name=row.name,
            state=cast(StudyState, row.state),
            status=None if row.status is None else Status(row.status),
            parent=row.parent_id,
            answered_from=row.answered_from,
            created_at=moment(row.created_at),
            started_at=moment(row.started_at),
            finished_at=moment(row.finished_at),
            deadline_at=moment(row.deadline_at),
            expires_at=moment(row.expires_at),
            attempts=row.attempts,
            progress=Progress.from_row(row),
            links=StudyLinks.of(row.id),
            **more,
        )


class StudyFrame(StudyHead):
    """A study: its resolved brief and the layouts so far, ranked; final once it is done."""

    problem: StudyProblem | None
    instant: Instant | None = Field(description="In a rerun: the answer given at once.")
    patch: JsonObject | None = Field(description="In a rerun: the merge patch asked for.")


RESULT_FIELDS = {name: info for name, info in Study.model_fields.items() if name != "status"}
"""What a study's result has beside its status: the optimizer's own fields, whatever they are."""

# The type checker cannot follow `create_model`; what it needs to know is the frame.
if TYPE_CHECKING:

    class StudyResource(StudyFrame):
        """A study in full."""

else:
    StudyResource = create_model(
        "StudyResource",
        __base__=StudyFrame,
        __doc__=StudyFrame.__doc__,
        **{name: (info.annotation, info) for name, info in RESULT_FIELDS.items()},
    )


class StudyPage(Wire):
    """Some of the studies, latest first."""

    items: tuple[StudyHead, ...]
    next: Annotated[str, Field(description="Address of the next page.")] | None


class Relative(Wire):
    """A study among those that go back to one first study."""

    id: StudyId
    parent: StudyId | None
    name: str
    state: StudyState
    status: Status | None
    score: float | None
    created_at: Moment
    patch: JsonObject | None = Field(description="What was changed against the parent.")

    @classmethod
    def from_row(cls, row: StudyRow, patch: str | None) -> Self:
        """A stored study with the text of its merge patch."""
        return cls(
            id=row.id,
            parent=row.parent_id,
            name=row.name,
            state=cast(StudyState, row.state),
            status=None if row.status is None else Status(row.status),
            score=row.score,
            created_at=moment(row.created_at),
            patch=json.loads(patch) if patch else None,
        )


class Lineage(Wire):
    """Where a study comes from and what was made of it."""

    study: StudyId
    ancestors: tuple[StudyId, ...] = Field(
        description="From the parent back to the first that is still kept."
    )
    family: tuple[Relative, ...] = Field(description="All of one descent, oldest first.")

    @classmethod
    def from_rows(
        cls, row: StudyRow, family: Sequence[StudyRow], patches: Mapping[str, str | None]
    ) -> Self:
        """A stored study among its family; texts of merge patches by study id."""
        return cls(
            study=row.id,
            ancestors=tuple(_ancestors(row, {member.id: member for member in family})),
            family=tuple(Relative.from_row(member, patches.get(member.id)) for member in family),
        )


def _ancestors(row: StudyRow, by_id: Mapping[str, StudyRow]) -> list[str]:
    """Ids from the parent up to the first study, as far as they are known."""
    found: list[str] = []
    parent = row.parent_id
    # Parents may have expired, and a store edited by hand may go in a ring.
    while parent is not None and parent in by_id and parent not in found:
        found.append(parent)
        parent = by_id[parent].parent_id
    return found
