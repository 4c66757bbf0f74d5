"""The layouts of a study."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Path, Query, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.deps import ClientDep, StateDep, StudyIdDep
from api.documentation import file_answer, json_answer, problems
from api.http.answers import conditional, json_bytes
from api.problems import InvalidBodyError
from api.schemas.studies import LayoutList
from api.services.calculating import kept
from api.services.reading import choose, chosen_layout, require
from optimizer.domain.layout import Layout
from optimizer.errors import Fault

router = APIRouter(prefix="/v1/studies/{study_id}/layouts", tags=["layouts"])


def rank_of(
    rank: Annotated[int, Path(ge=1, le=1000, description="Rank of the layout.", examples=[1])],
) -> int:
    """The rank named in the path."""
    return rank


RankDep = Annotated[int, Depends(rank_of)]

TYPES = {"svg": "image/svg+xml", "dxf": "image/vnd.dxf", "pdf": "application/pdf"}


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


@router.get(
    "/{rank}/drawings/{view}.{form}",
    operation_id="get_drawing",
    summary="A drawing of a layout",
    response_class=Response,
    responses={
        **file_answer(
            tuple(TYPES.values()), "The drawing, dimensioned, in the form of the address."
        ),
        **problems("study_not_found", "layout_not_found", "cannot_build", "calculation"),
    },
)
async def get_drawing(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    view: Annotated[Literal["plan", "elevation", "isometric"], Path(description="What is drawn.")],
    form: Annotated[Literal["svg", "dxf", "pdf"], Path(description="Form of the file.")],
    wall: Annotated[
        str | None,
        Query(max_length=40, description="Id of the wall of an elevation.", examples=["B"]),
    ] = None,
) -> Response:
    """Plan, isometric view, or the elevation of a wall, as SVG, DXF or PDF."""
    chosen = await run_in_threadpool(chosen_layout, state, client, study_id, rank)
    walls = [entry["id"] for entry in chosen.brief["room"]["walls"]]
    if (view == "elevation") != (wall is not None) or (wall is not None and wall not in walls):
        detail = f"an elevation, and nothing else, is of one wall: {', '.join(walls)}"
        raise InvalidBodyError("invalid_parameter", [Fault("/query/wall", detail, "wall")])
    body = await kept(state, chosen, "drawing", view=view, wall=wall, form=form)
    return conditional(request, body, TYPES[form])
