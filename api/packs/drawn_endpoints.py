"""The build pack of a layout drawn by hand: made and handed out, nothing is stored."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.http.conditional import answer
from api.http.deps import ClientDep, JsonBody, StateDep
from api.http.documentation import CHECK_EXAMPLES, body, file_answer, problems
from api.http.threads import read_in_turn
from api.layouts.check_requests import appraised, read_layout_check
from api.packs.service import take_away
from api.studies.calculations import calculated

router = APIRouter(prefix="/v1", tags=["build"])

FILE_NAME = "build-pack.zip"


@router.post(
    "/layout-packs",
    operation_id="build_drawn_layout",
    summary="The build pack of a layout drawn by hand",
    response_class=Response,
    responses={
        # Made for this request: there is nothing to ask for again by an ETag.
        200: file_answer("application/zip", "Document, tables, drawings.")[200] | {"headers": {}},
        **problems(
            "body",
            "invalid_brief",
            "invalid_layout",
            "study_not_found",
            "layout_not_found",
            "study_not_ended",
            "cannot_build",
            "calculation",
        ),
    },
    openapi_extra=body("LayoutCheckRequest", CHECK_EXAMPLES),
)
async def build_drawn_layout(state: StateDep, client: ClientDep, data: JsonBody) -> Response:
    """Every file of the pack of a layout that a check would pass, as the check puts it in order.

    It takes what the check of a layout takes; a layout that breaks a rule is refused with all
    that it breaks.
    """
    drawn = await read_in_turn(read_layout_check, state, client, data)
    checked = await appraised(state, drawn)
    result = await calculated(
        state,
        "build",
        brief=drawn.taken.brief.model_dump(mode="json"),
        # The snapped one: what was drawn may be off the grid by a hair.
        layout=checked["layout"],
    )
    archive = await run_in_threadpool(take_away, result.body or b"")
    headers = {"Content-Disposition": f'attachment; filename="{FILE_NAME}"'}
    return answer(archive, media_type="application/zip", headers=headers)
