"""The survey sheet of a study's room."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.http.conditional import conditional
from api.http.deps import ClientDep, StateDep
from api.http.documentation import file_answer, problems
from api.studies.deps import StudyIdDep
from api.studies.lookup import choose
from optimizer.delivery.survey import survey_document
from optimizer.domain.brief import Brief

router = APIRouter(prefix="/v1/studies/{study_id}", tags=["studies"])


@router.get(
    "/survey.pdf",
    operation_id="get_study_survey",
    summary="A survey sheet of the study's room",
    response_class=Response,
    responses={
        **file_answer("application/pdf", "Readings in place, blanks where something is assumed."),
        **problems("study_not_found"),
    },
)
async def get_study_survey(
    *, request: Request, state: StateDep, client: ClientDep, study_id: StudyIdDep
) -> Response:
    """What to measure again on site: the brief's readings, and blanks for what it assumes."""

    def made() -> bytes:
        """The survey sheets of the study's room as PDF."""
        with state.database.reading() as session:
            # No layout is needed, so that a study under way will do.
            brief = choose(session, client, study_id, ()).brief
        return survey_document(Brief.model_validate(brief))

    sheet = await run_in_threadpool(made)
    return conditional(request, sheet, "application/pdf", filename="survey.pdf")
