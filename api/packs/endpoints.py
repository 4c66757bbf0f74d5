"""The build pack of a layout: as JSON, as one document, as tables, drawings and an archive."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.http.clients import Client
from api.http.conditional import (
    Answer,
    conditional,
    etag_of,
    json_bytes,
    stored,
    versioned_bytes,
)
from api.http.deps import ClientDep, JsonBody, StateDep
from api.http.documentation import (
    BUILD_EXAMPLES,
    as_asked,
    body,
    built_answer,
    file_answer,
    files_answer,
    problems,
)
from api.http.threads import read_in_turn
from api.layouts.endpoints import RankDep
from api.packs.prices import find_pricing, keep_pricing, read_pricing
from api.packs.schemas import PRICING, TYPES, BuildPackResource, PackPlace, media_type_of
from api.packs.service import (
    CUT_LIST,
    DOCUMENT,
    archive_of,
    pack_view,
    read_file,
    take_away,
)
from api.state import State
from api.studies.deps import StudyIdDep
from api.studies.lookup import Chosen, chosen_layout

router = APIRouter(prefix="/v1/studies/{study_id}/layouts/{rank}", tags=["build"])

_CODES = ("study_not_found", "layout_not_found", "cannot_build", "calculation")
_REFUSALS = problems(*_CODES, "pricing_not_found")

PricingKey = Annotated[
    str | None,
    Query(
        pattern=PRICING,
        description="The `pricing` of a pack made with prices of your own; without it the "
        "program's invented ones count.",
    ),
]


@router.post(
    "/build-pack",
    operation_id="create_build_pack",
    summary="The build pack reckoned with your own prices",
    status_code=201,
    response_model=BuildPackResource,
    responses={
        **built_answer(),
        **problems("body", *_CODES, "too_many_pricings"),
    },
    openapi_extra=body("BuildRequest", BUILD_EXAMPLES),
)
async def create_build_pack(
    *, state: StateDep, client: ClientDep, study_id: StudyIdDep, rank: RankDep, data: JsonBody
) -> Answer[BuildPackResource]:
    """Keep the prices with the study, and give the pack: its addresses lead to all forms of it."""
    pricing = await read_in_turn(read_pricing, data)
    chosen = await run_in_threadpool(chosen_layout, state, client, study_id, rank)
    # Made before the prices are kept: a pack that cannot be made leaves nothing behind.
    archive = await archive_of(state, chosen, pricing.asked)
    await run_in_threadpool(keep_pricing, state, chosen.study_id, pricing)
    place = PackPlace(chosen.study_id, rank, pricing.key)
    body = json_bytes(await run_in_threadpool(pack_view, archive, place))
    headers = {"Location": f"{place.address}{place.query}"}
    return stored(BuildPackResource, body, status=201, etag=etag_of(body), headers=headers)


@router.get(
    "/build-pack",
    operation_id="get_build_pack",
    summary="Everything that building a layout needs",
    response_model=BuildPackResource,
    responses={**as_asked(etag=True), **_REFUSALS},
)
async def get_build_pack(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    pricing: PricingKey = None,
) -> Answer[BuildPackResource]:
    """Parts, cut list, sheet layouts, hardware, checks, mark-out, cost, cautions and files."""
    chosen, archive = await _archive(state, client, study_id, rank, pricing)
    place = PackPlace(chosen.study_id, rank, pricing)
    view = await run_in_threadpool(pack_view, archive, place)
    return versioned_bytes(request, BuildPackResource, json_bytes(view))


@router.get(
    "/build-pack.pdf",
    operation_id="get_build_pack_pdf",
    summary="The build pack as one document",
    response_class=Response,
    responses={**file_answer("application/pdf", "All of it, to be printed."), **_REFUSALS},
)
async def get_document(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    pricing: PricingKey = None,
) -> Response:
    """The printable document."""
    _, archive = await _archive(state, client, study_id, rank, pricing)
    return conditional(request, read_file(archive, DOCUMENT), "application/pdf", filename=DOCUMENT)


@router.get(
    "/build-pack.csv",
    operation_id="get_build_pack_csv",
    summary="The cut list as a table",
    response_class=Response,
    responses={**file_answer("text/csv", "The cut list, in cutting order."), **_REFUSALS},
)
async def get_cut_list(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    pricing: PricingKey = None,
) -> Response:
    """The cut list for a spreadsheet; further tables are among the pack's files."""
    _, archive = await _archive(state, client, study_id, rank, pricing)
    return conditional(request, read_file(archive, CUT_LIST), "text/csv", filename=CUT_LIST)


@router.get(
    "/build-pack.zip",
    operation_id="get_build_pack_zip",
    summary="All files of the build pack",
    response_class=Response,
    responses={**file_answer("application/zip", "Document, tables, drawings."), **_REFUSALS},
)
async def get_archive(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    pricing: PricingKey = None,
) -> Response:
    """Every file in one archive."""
    _, archive = await _archive(state, client, study_id, rank, pricing)
    body = await run_in_threadpool(take_away, archive)
    return conditional(request, body, "application/zip", filename="build-pack.zip")


@router.get(
    "/build-pack/files/{name}",
    operation_id="get_build_pack_file",
    summary="One file of the build pack",
    response_class=Response,
    responses={
        **files_answer(tuple(TYPES.values()), "The file."),
        **_REFUSALS,
        **problems("study_not_found", "layout_not_found", "pricing_not_found", "not_found"),
    },
)
async def get_file(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    rank: RankDep,
    name: Annotated[
        str,
        Path(max_length=120, description="From the pack's `files`.", examples=["cut-list.csv"]),
    ],
    pricing: PricingKey = None,
) -> Response:
    """A table, a drawing with part ids, or data of the pack."""
    _, archive = await _archive(state, client, study_id, rank, pricing)
    return conditional(request, read_file(archive, name), media_type_of(name), filename=name)


async def _archive(
    state: State, client: Client, study_id: str, rank: int, pricing: str | None
) -> tuple[Chosen, bytes]:
    """The chosen layout and the archive of its pack."""
    chosen = await run_in_threadpool(chosen_layout, state, client, study_id, rank)
    asked = await run_in_threadpool(find_pricing, state, chosen.study_id, pricing)
    # All forms come out of one archive: they cannot tell different stories.
    return chosen, await archive_of(state, chosen, asked)
