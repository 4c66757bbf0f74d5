"""Briefs and layouts checked without a study: nothing is stored."""

from __future__ import annotations

from fastapi import APIRouter

from api.http.conditional import Answer, json_bytes, reply, stored
from api.http.deps import ClientDep, JsonBody, StateDep
from api.http.documentation import BRIEF_EXAMPLES, CHECK_EXAMPLES, as_asked, body, problems
from api.http.threads import read_in_turn
from api.layouts.check_requests import appraised, read_layout_check
from api.layouts.check_schemas import LayoutCheck, Validation
from api.studies.acceptance import take_brief
from api.studies.pin_faults import require_pins

router = APIRouter(prefix="/v1", tags=["checks"])


@router.post(
    "/validations",
    operation_id="validate_brief",
    summary="Whether a brief would be taken",
    response_model=Validation,
    responses={**as_asked(), **problems("body", "invalid_brief")},
    openapi_extra=body("BriefInput", BRIEF_EXAMPLES),
)
async def validate_brief(state: StateDep, _client: ClientDep, data: JsonBody) -> Answer[Validation]:
    """The brief as resolved, and its warnings; the problem that a study would get otherwise."""
    taken = await read_in_turn(take_brief, state.settings, data)
    await require_pins(state, taken)
    return reply(Validation(valid=True, brief=taken.brief, warnings=taken.warnings))


@router.post(
    "/layout-checks",
    operation_id="check_layout",
    summary="Whether a layout drawn by hand can be built, and what it is worth",
    response_model=LayoutCheck,
    responses={
        **as_asked(),
        **problems(
            "body",
            "invalid_brief",
            "invalid_layout",
            "study_not_found",
            "layout_not_found",
            "study_not_ended",
            "calculation",
        ),
    },
    openapi_extra=body("LayoutCheckRequest", CHECK_EXAMPLES),
)
async def check_layout(state: StateDep, client: ClientDep, data: JsonBody) -> Answer[LayoutCheck]:
    """Every rule that the layout breaks; score, strength and cost; what a study says beside it.

    Quick enough to follow a hand that drags: send the study's layout with one bay changed.
    """
    # It reads the store as well as the body, and so is kept off the event loop.
    drawn = await read_in_turn(read_layout_check, state, client, data)
    return stored(LayoutCheck, json_bytes(await appraised(state, drawn)))
