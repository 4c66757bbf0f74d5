"""Ready briefs, limits and problem codes."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.http.conditional import Answer, conditional, json_bytes, versioned, versioned_bytes
from api.http.deps import ClientDep, StateDep
from api.http.documentation import as_asked, file_answer, problems
from api.http.errors import KINDS, ServiceError
from api.http.problem_schemas import ProblemCode, ProblemCodes
from api.reference.schemas import Limits, Scenario, Scenarios
from api.reference.views import scenarios
from optimizer.delivery.survey import MOST_WALLS, survey_document
from optimizer.reference.prices import PriceBook, invented_prices
from optimizer.units import Units

router = APIRouter(prefix="/v1", tags=["reference"])


@router.get(
    "/scenarios",
    operation_id="list_scenarios",
    summary="Ready briefs to start from",
    response_model=Scenarios,
    responses={**as_asked(etag=True), **problems()},
)
def list_scenarios(request: Request, _client: ClientDep) -> Answer[Scenarios]:
    """Every ready brief, each to be sent to /v1/studies as it stands."""
    return versioned(request, Scenarios(items=tuple(scenarios().values())))


@router.get(
    "/scenarios/{name}",
    operation_id="get_scenario",
    summary="One ready brief",
    response_model=Scenario,
    responses={**as_asked(etag=True), **problems("scenario_not_found")},
)
def get_scenario(
    request: Request,
    _client: ClientDep,
    name: Annotated[str, Path(max_length=100, description="Name of the scenario.")],
) -> Answer[Scenario]:
    """The ready brief of that name."""
    found = scenarios().get(name)
    if found is None:
        raise ServiceError("scenario_not_found", f"there is no scenario {name[:60]!r}")
    return versioned(request, found)


@router.get(
    "/limits",
    operation_id="get_limits",
    summary="What the service takes at most",
    response_model=Limits,
    responses={**as_asked(etag=True), **problems()},
)
def getlimits(request: Request, state: StateDep, _client: ClientDep) -> Answer[Limits]:
    """Limits on requests and studies, and how long things are kept."""
    return versioned(request, Limits.of(state.settings))


@router.get(
    "/price-book",
    operation_id="get_price_book",
    summary="The program's price book, to start your own from",
    response_model=PriceBook,
    responses={**as_asked(etag=True), **problems()},
)
def get_price_book(request: Request, _client: ClientDep) -> Answer[PriceBook]:
    """Every price and time in it is invented: put in yours, and send it for a build pack."""
    body = json_bytes(invented_prices().model_dump(mode="json"))
    return versioned_bytes(request, PriceBook, body)


@router.get(
    "/survey.pdf",
    operation_id="get_survey_sheet",
    summary="A blank survey sheet",
    response_class=Response,
    responses={**file_answer("application/pdf", "To be printed and filled in."), **problems()},
)
async def get_survey_sheet(
    request: Request,
    units: Annotated[Units, Query(description="Inches on Letter, or millimetres on A4.")] = (
        Units.INCH
    ),
    walls: Annotated[int, Query(ge=1, le=MOST_WALLS, description="Rows for walls.")] = 4,
) -> Response:
    """What to measure on site, to print and fill in."""
    # A few tenths of a second of drawing: not on the event loop.
    sheet = await run_in_threadpool(survey_document, units=units, walls=walls)
    return conditional(request, sheet, "application/pdf", filename="survey.pdf")


@router.get(
    "/problems",
    operation_id="list_problems",
    summary="Every problem code",
    response_model=ProblemCodes,
    responses={**as_asked(etag=True), **problems()},
)
def list_problems(request: Request) -> Answer[ProblemCodes]:
    """What each `code` of a problem means."""
    return versioned(request, ProblemCodes.all())


@router.get(
    "/problems/{code}",
    operation_id="get_problem",
    summary="One problem code",
    response_model=ProblemCode,
    responses={**as_asked(etag=True), **problems("not_found")},
)
def get_problem(
    request: Request,
    code: Annotated[str, Path(max_length=60, description="The code.", examples=["queue_full"])],
) -> Answer[ProblemCode]:
    """What one `code` means; a problem's `type` leads here."""
    if code not in KINDS:
        raise ServiceError("not_found", f"there is no problem code {code[:60]!r}")
    return versioned(request, ProblemCode.of(code))
