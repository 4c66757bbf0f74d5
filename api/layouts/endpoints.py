"""The layouts of a study."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request
from starlette.responses import Response

from api.http.conditional import conditional, json_bytes
from api.http.deps import ClientDep, StateDep
from api.http.documentation import json_answer, problems
from api.studies.deps import StudyIdDep
from api.studies.reading import choose, require
from api.studies.schemas import LayoutList
from optimizer.domain.layout import Layout

router = APIRouter(prefix="/v1/studies/{study_id}/layouts", tags=["layouts"])


async def rank_of(
    rank: Annotated[int, Path(ge=1, le=1000, description="Rank of the layout.", examples=[1])],
) -> int:
    """The rank named in the path."""
    return rank


RankDep = Annotated[int, Depends(rank_of)]


@router.get(
    "",
    operation_id="list_layouts",
    summary="List a study's layouts",
    response_class=Response,
    responses={**json_answer(LayoutList, etag=True), **problems("study_not_found")},
)
def list_layouts(
    request: Request, state: StateDep, client: ClientDep, study_id: StudyIdDep
) -> Response:
    """The layouts so far, by rank; final once the study's state is done."""
    with state.database.reading() as session:
        row = require(session, client, study_id)
        chosen = choose(session, client, study_id)
    value = {"study": study_id, "state": row.state, "layouts": chosen.layouts}
    return conditional(request, json_bytes(value))


@router.get(
    "/{rank}",
    operation_id="get_layout",
    summary="Read one layout",
    response_class=Response,
    responses={**json_answer(Layout, etag=True), **problems("study_not_found", "layout_not_found")},
)
def get_layout(
    request: Request, state: StateDep, client: ClientDep, study_id: StudyIdDep, rank: RankDep
) -> Response:
    """The study's layout of that rank."""
    with state.database.reading() as session:
        layout = choose(session, client, study_id, (rank,)).layouts[0]
    return conditional(request, json_bytes(layout))
