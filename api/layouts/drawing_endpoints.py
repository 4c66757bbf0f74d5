"""Drawings of a layout: made once, then kept."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Query, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.http.clients import Client
from api.http.conditional import Answer, conditional, versioned
from api.http.deps import ClientDep, StateDep
from api.http.documentation import as_asked, file_answer, problems
from api.http.errors import InvalidBodyError
from api.layouts.drawings import drawings_of
from api.layouts.endpoints import RankDep
from api.layouts.schemas import DrawingList
from api.state import State
from api.studies.calculations import kept
from api.studies.deps import StudyIdDep
from api.studies.lookup import chosen_layout
from optimizer.errors import Fault

router = APIRouter(prefix="/v1/studies/{study_id}/layouts/{rank}/drawings", tags=["drawings"])

View = Annotated[Literal["plan", "elevation", "isometric"], Path(description="What is drawn.")]
Wall = Annotated[
    str | None,
    Query(max_length=40, description="Id of the wall, for an elevation.", examples=["B"]),
]
Widest = Annotated[
    int | None,
    Query(
        ge=60,
        le=240,
        multiple_of=10,
        description="At most so many millimetres of paper wide, where a smaller "
        "scale leaves all of its lettering in place. For narrow screens.",
        examples=[130],
    ),
]
_REFUSALS = problems("study_not_found", "layout_not_found", "cannot_build", "calculation")


@router.get(
    "",
    operation_id="list_drawings",
    summary="The drawings that a layout has",
    response_model=DrawingList,
    responses={
        **as_asked(etag=True),
        **problems("study_not_found", "layout_not_found"),
    },
)
def list_drawings(
    request: Request, state: StateDep, client: ClientDep, study_id: StudyIdDep, rank: RankDep
) -> Answer[DrawingList]:
    """Plan, an elevation of each wall that carries storage, isometric view: with addresses."""
    chosen = chosen_layout(state, client, study_id, rank)
    return versioned(request, drawings_of(chosen, rank))


@router.get(
    "/{view}.svg",
    operation_id="get_drawing_svg",
    summary="A drawing as SVG",
    response_class=Response,
    responses={**file_answer("image/svg+xml", "The drawing, with dimensions."), **_REFUSALS},
)
async def get_svg(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    view: View,
    wall: Wall = None,
    widest: Widest = None,
) -> Response:
    """The drawing as SVG, in millimetres of paper."""
    # Left out rather than None: the name of what is kept is made of the arguments.
    asked = {} if widest is None else {"widest": widest}
    body = await _drawn(state, client, study_id, rank, view=view, wall=wall, form="svg", **asked)
    return conditional(request, body, "image/svg+xml")


@router.get(
    "/{view}.dxf",
    operation_id="get_drawing_dxf",
    summary="A drawing as DXF",
    response_class=Response,
    responses={**file_answer("image/vnd.dxf", "The drawing, with dimensions."), **_REFUSALS},
)
async def get_dxf(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    view: View,
    wall: Wall = None,
) -> Response:
    """The drawing as DXF, in the units of the brief."""
    body = await _drawn(state, client, study_id, rank, view=view, wall=wall, form="dxf")
    return conditional(request, body, "image/vnd.dxf")


@router.get(
    "/{view}.pdf",
    operation_id="get_drawing_pdf",
    summary="A drawing as PDF",
    response_class=Response,
    responses={**file_answer("application/pdf", "The drawing, on one page."), **_REFUSALS},
)
async def get_pdf(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    view: View,
    wall: Wall = None,
) -> Response:
    """The drawing as a PDF of one page, to scale."""
    body = await _drawn(state, client, study_id, rank, view=view, wall=wall, form="pdf")
    return conditional(request, body, "application/pdf")


async def _drawn(
    state: State,
    client: Client,
    study_id: str,
    rank: int,
    *,
    view: str,
    wall: str | None,
    **form: Any,
) -> bytes:
    """The file, drawn now or before."""
    chosen = await run_in_threadpool(chosen_layout, state, client, study_id, rank)
    walls = [entry["id"] for entry in chosen.brief["room"]["walls"]]
    # A wall asked for with a plan is a mistake of the caller's, and not passed over.
    if (view == "elevation") != (wall is not None) or (wall is not None and wall not in walls):
        detail = f"an elevation, and nothing else, is of one wall: {', '.join(walls)}"
        raise InvalidBodyError("invalid_parameter", [Fault("/query/wall", detail, "wall")])
    return await kept(state, chosen, "drawing", view=view, wall=wall, **form)
