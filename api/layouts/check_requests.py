"""A layout drawn elsewhere, or a study's changed by hand: read, then appraised by a child."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from api.http.clients import Client
from api.http.errors import InvalidBodyError
from api.http.wire import JsonObject
from api.state import State
from api.store.ids import is_identifier
from api.studies.acceptance import AcceptedBrief, take_brief
from api.studies.calculations import calculated
from api.studies.lookup import Chosen, ended_study
from optimizer.domain.layout import Layout
from optimizer.domain.validation import faults_of
from optimizer.errors import Fault

_MEMBERS = ("layout", "brief", "study", "against")


@dataclass(frozen=True, slots=True)
class Drawn:
    """A layout to be checked, with its brief and what it is held against."""

    taken: AcceptedBrief
    layout: Layout
    study: Chosen | None
    against: int


def read_layout_check(state: State, client: Client, data: Any) -> Drawn:
    """What a check was asked with; 422 with every fault of it, 404 for a study or rank that
    is not there, 409 for a study that has not ended."""
    if not isinstance(data, Mapping):
        raise InvalidBodyError(
            "invalid_body", [Fault("", "send an object with brief and layout", "not_an_object")]
        )
    faults = _faults_of_members(data)
    if faults:
        raise InvalidBodyError("invalid_body", faults)
    against = data.get("against", 1)
    study = None
    if data.get("study") is not None:
        study = ended_study(state, client, data["study"])
        # A study without layouts has no rank to hold against, but its brief still counts.
        if study.result["layouts"]:
            study = ended_study(state, client, data["study"], against)
    taken = _take(state, data, study)
    return Drawn(taken, _read_layout(taken, data["layout"]), study, against)


def _faults_of_members(data: Mapping[str, Any]) -> list[Fault]:
    """Faults of the request's own members; brief and layout have rules of their own."""
    faults = [
        Fault("", f"unknown key {str(name)[:60]!r}", "extra_forbidden")
        for name in data
        if name not in _MEMBERS
    ]
    needed = ("layout",) if data.get("study") is not None else ("brief", "layout")
    faults += [
        Fault(f"/{name}", f"{name} is required", "missing")
        for name in needed
        if data.get(name) is None
    ]
    study, against = data.get("study"), data.get("against", 1)
    if study is not None and not (isinstance(study, str) and is_identifier(study)):
        faults.append(Fault("/study", "not a study's identifier", "identifier"))
    # `True` is an integer to Python.
    if isinstance(against, bool) or not isinstance(against, int) or not 1 <= against <= 1000:
        faults.append(Fault("/against", "a rank is a whole number from 1 on", "rank"))
    return faults


def _take(state: State, data: Mapping[str, Any], study: Chosen | None) -> AcceptedBrief:
    """The brief: the study's own, or the one sent."""
    if study is not None and data.get("brief") is None:
        # Read anew: limits and rules may be stricter than when the study was made.
        return take_brief(state.settings, study.brief)
    try:
        taken = take_brief(state.settings, data["brief"])
    except InvalidBodyError as error:
        # The brief is a member here: its pointers lead through the request.
        inner = [replace(fault, pointer=f"/brief{fault.pointer}") for fault in error.errors]
        raise InvalidBodyError(error.code, inner, limit=error.limit) from None
    # A rank of the study is compared with: a different brief would make that meaningless.
    if study is not None and taken.brief.model_dump(mode="json") != study.brief:
        fault = Fault("/brief", "not the study's brief: leave it out, or rerun", "brief_differs")
        raise InvalidBodyError("invalid_brief", [fault])
    return taken


def _read_layout(taken: AcceptedBrief, data: Any) -> Layout:
    """The layout in the request, its texts read in the units of the brief."""
    if isinstance(data, Mapping) and "links" in data:
        # One that was read from a study may be sent as it came.
        data = {name: value for name, value in data.items() if name != "links"}
    try:
        return Layout.model_validate(data, context=taken.brief.units)
    except ValidationError as error:
        faults = [
            replace(fault, pointer=f"/layout{fault.pointer}") for fault in faults_of(error, data)
        ]
        raise InvalidBodyError("invalid_layout", faults) from None


async def appraised(state: State, drawn: Drawn) -> JsonObject:
    """Members of a `LayoutCheck`: what is to be said of a drawn layout."""
    study = drawn.study
    result = await calculated(
        state,
        "appraise",
        brief=drawn.taken.brief.model_dump(mode="json"),
        layout=drawn.layout.model_dump(mode="json"),
        study=None if study is None else [study.study_id, study.result],
        rank=drawn.against,
        warnings=[warned.model_dump(mode="json") for warned in drawn.taken.warnings],
    )
    check: JsonObject = result.value
    return check
