"""The layouts of a study."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request

from api.http.conditional import Answer, json_bytes, versioned_bytes
from api.http.deps import ClientDep, StateDep
from api.http.documentation import as_asked, problems
from api.http.wire import JsonObject
from api.layouts.schemas import LayoutLinks, LayoutList, LayoutResource
from api.studies.deps import StudyIdDep
from api.studies.lookup import choose, require

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
    response_model=LayoutList,
    responses={**as_asked(etag=True), **problems("study_not_found")},
)
def list_layouts(
    request: Request, state: StateDep, client: ClientDep, study_id: StudyIdDep
) -> Answer[LayoutList]:
    """The layouts so far, by rank; final once the study's state is done."""
    with state.database.reading() as session:
        row = require(session, client, study_id)
        chosen = choose(session, client, study_id)
    layouts = [linked(study_id, layout) for layout in chosen.layouts]
    # As stored, not through the models: what an earlier version kept need not pass today's rules.
    value = {"study": study_id, "state": row.state, "layouts": layouts}
    return versioned_bytes(request, LayoutList, json_bytes(value))


@router.get(
    "/{rank}",
    operation_id="get_layout",
    summary="Read one layout",
    response_model=LayoutResource,
    responses={**as_asked(etag=True), **problems("study_not_found", "layout_not_found")},
)
def get_layout(
    request: Request, state: StateDep, client: ClientDep, study_id: StudyIdDep, rank: RankDep
) -> Answer[LayoutResource]:
    """The study's layout of that rank."""
    with state.database.reading() as session:
        layout = choose(session, client, study_id, (rank,)).layouts[0]
    return versioned_bytes(request, LayoutResource, json_bytes(linked(study_id, layout)))


def linked(study_id: str, layout: JsonObject) -> JsonObject:
    """Members of a `LayoutResource`: a layout as it is stored, with its addresses."""
    return {**layout, "links": LayoutLinks.of(study_id, layout["rank"]).members()}
