"""Studies on the wire: the optimizer's study, with where it stands in the service."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, create_model

from api.http.problem_schemas import StudyProblem
from api.http.wire import Moment, Wire
from api.store.ids import PATTERN
from optimizer.domain.layout import Layout
from optimizer.domain.study import Status, Study

State = Literal["queued", "running", "done"]

StudyId = Annotated[str, Field(pattern=PATTERN, examples=["06d3v8q2k5y7n9b1c4f6g8h0jm"])]
"""Identifier of a study."""


class Progress(Wire):
    """Where a run stands: the layout being sought, and how good it can become at most."""

    stage: str | None = Field(description="What is being done.")
    layouts_found: int
    score: float | None = Field(description="Best score so far of the layout being sought.")
    bound: float | None = Field(description="Proven most that its score can reach.")
    seconds: float | None


class ProgressEvent(Progress):
    """Data of the event `progress`."""


class Instant(Wire):
    """What a rerun could say at once: the earlier layouts under the new priorities."""

    possible: bool
    reason: str | None = Field(description="Why the earlier layouts could not be ranked anew.")
    score: float | None = Field(description="Best score among them.")
    bound: float | None = Field(description="Proven most that a new solve could reach.")
    gain: float | None = Field(description="Proven most that a new solve could gain.")


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


class StudyHead(Wire):
    """A study in a list."""

    id: StudyId
    name: str
    state: State
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


class _StudyFrame(StudyHead):
    """A study: its resolved brief and the layouts so far, ranked; final once it is done."""

    problem: StudyProblem | None
    instant: Instant | None = Field(description="In a rerun: the answer given at once.")
    patch: dict[str, Any] | None = Field(description="In a rerun: the merge patch asked for.")


RESULT_FIELDS = {name: info for name, info in Study.model_fields.items() if name != "status"}
"""What a study's result has beside its status: the optimizer's own fields, whatever they are."""

_fields: dict[str, Any] = {name: (info.annotation, info) for name, info in RESULT_FIELDS.items()}
StudyResource: type[BaseModel] = create_model(
    "StudyResource", __base__=_StudyFrame, __doc__=_StudyFrame.__doc__, **_fields
)


class StudyPage(Wire):
    """Some of the studies, latest first."""

    items: tuple[StudyHead, ...]
    next: Annotated[str, Field(description="Address of the next page.")] | None


class LayoutList(Wire):
    """The layouts of a study, by rank."""

    study: StudyId
    state: State
    layouts: tuple[Layout, ...]


class Relative(Wire):
    """A study among those that go back to one first study."""

    id: StudyId
    parent: StudyId | None
    name: str
    state: State
    status: Status | None
    score: float | None
    created_at: Moment
    patch: dict[str, Any] | None = Field(description="What was changed against the parent.")


class Lineage(Wire):
    """Where a study comes from and what was made of it."""

    study: StudyId
    ancestors: tuple[StudyId, ...] = Field(
        description="From the parent back to the first that is still kept."
    )
    family: tuple[Relative, ...] = Field(description="All of one descent, oldest first.")


class StateEvent(Wire):
    """Data of the event `state`: the study waits, or an attempt at it has begun."""

    state: Literal["queued", "running"]
    attempt: int | None = Field(default=None, description="Number of the attempt, from 1 on.")
    again: bool | None = Field(
        default=None, description="Whether it waits again, its worker being gone."
    )


class LayoutEvent(Wire):
    """Data of the event `layout`: a layout as it was found."""

    rank: int
    layout: Layout


class EndEvent(Wire):
    """Data of the event `end`, the last one."""

    state: Literal["done"]
    status: Status
