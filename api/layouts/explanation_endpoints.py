"""Layouts compared, and what priorities do."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.concurrency import run_in_threadpool

from api.http.conditional import Answer, json_bytes, versioned, versioned_bytes
from api.http.deps import ClientDep, StateDep
from api.http.documentation import as_asked, problems
from api.http.errors import InvalidBodyError, ServiceError
from api.layouts.comparison import compare
from api.layouts.schemas import Comparison, Sensitivity, StudyPreference
from api.studies.calculations import calculated
from api.studies.deps import StudyIdDep
from api.studies.lookup import choose, ended_study
from optimizer.errors import Fault

router = APIRouter(prefix="/v1/studies/{study_id}", tags=["explanations"])


@router.get(
    "/comparison",
    operation_id="compare_layouts",
    summary="Layouts side by side",
    response_model=Comparison,
    responses={
        **as_asked(etag=True),
        **problems("study_not_found", "layout_not_found", "not_comparable"),
    },
)
def compare_layouts(
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    layouts: Annotated[
        str | None,
        Query(
            pattern=r"^[1-9][0-9]{0,2}(,[1-9][0-9]{0,2}){0,19}$",
            description="Ranks by commas, the one to hold the others against first; all without.",
            examples=["1,2"],
        ),
    ] = None,
) -> Answer[Comparison]:
    """Metrics side by side, the score term by term, what moved, distance and trade-offs."""
    ranks = None if layouts is None else _ranks(layouts)
    with state.database.reading() as session:
        chosen = choose(session, client, study_id, ranks)
    if not chosen.layouts:
        raise ServiceError("not_comparable", "the study has no layouts")
    return versioned(request, compare(chosen))


@router.get(
    "/sensitivity",
    operation_id="get_sensitivity",
    summary="How far priorities may move before the first place changes",
    response_model=Sensitivity,
    responses={
        **as_asked(etag=True),
        **problems("study_not_found", "study_not_ended", "calculation"),
    },
)
async def get_sensitivity(
    request: Request, state: StateDep, client: ClientDep, study_id: StudyIdDep
) -> Answer[Sensitivity]:
    """The range of each priority within which the first layout stays first."""
    chosen = await run_in_threadpool(ended_study, state, client, study_id)
    result = await calculated(state, "sensitivity", study=chosen.result)
    return versioned(request, Sensitivity(study=study_id, ranges=result.value))


@router.get(
    "/preference",
    operation_id="get_preference",
    summary="Which priorities would make a layout the first",
    response_model=StudyPreference,
    responses={
        **as_asked(etag=True),
        **problems("study_not_found", "study_not_ended", "layout_not_found", "calculation"),
    },
)
async def get_preference(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    layout: Annotated[
        int, Query(ge=1, le=1000, description="Rank of the layout preferred.", examples=[2])
    ],
) -> Answer[StudyPreference]:
    """The nearest priorities that would put the layout first, or the proof that none do."""
    chosen = await run_in_threadpool(ended_study, state, client, study_id, layout)
    result = await calculated(state, "preference", study=chosen.result, rank=layout)
    return versioned_bytes(
        request, StudyPreference, json_bytes({"study": study_id, **result.value})
    )


def _ranks(text: str) -> tuple[int, ...]:
    """Ranks of a list by commas, each once."""
    ranks = tuple(int(rank) for rank in text.split(","))
    # Beside itself a layout would be called both better and worse.
    if len(set(ranks)) < len(ranks):
        fault = Fault("/query/layouts", "a rank is given twice", "given_twice")
        raise InvalidBodyError("invalid_parameter", [fault])
    return ranks
