"""From an earlier study to the order of its rerun."""

from __future__ import annotations

import asyncio
import json
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from api.http.clients import Client
from api.http.errors import InvalidBodyError, ServiceError
from api.http.wire import JsonObject
from api.state import State
from api.store.tables import DONE, StudyRow
from api.studies.acceptance import AcceptedBrief, take_brief
from api.studies.calculations import calculated
from api.studies.fingerprints import fingerprint
from api.studies.lookup import require
from api.studies.rerun_schemas import KeptBay, RerunRequest
from api.studies.schemas import Instant
from api.studies.service import Order, Rescored
from api.studies.views import whole_result
from optimizer.domain.brief import Pin
from optimizer.domain.layout import Carried
from optimizer.domain.validation import faults_of, units_of_brief
from optimizer.errors import Fault
from optimizer.explaining.repairs import merge

INSTANT_S = 8.0
"""Longest wait for the earlier layouts under the new priorities."""


@dataclass(frozen=True, slots=True)
class Earlier:
    """The study a rerun starts from: its row and its result as JSON."""

    row: StudyRow
    result: JsonObject
    text: str


@dataclass(frozen=True, slots=True)
class Prepared:
    """A rerun that can be made: what was asked, the new brief, and what it starts from."""

    asked: RerunRequest
    taken: AcceptedBrief
    earlier: Earlier


def prepare(state: State, client: Client, study_id: str, data: Any) -> Prepared:
    """The rerun that was asked for; problems name what is wrong with it or with the brief."""
    earlier = _earlier(state, client, study_id)
    asked = _read(data, earlier)
    return Prepared(asked, _patched(state, asked, earlier), earlier)


def order_of(state: State, prepared: Prepared, rescored: Rescored, **asked_for: Any) -> Order:
    """The order of a rerun with its instant answer."""
    earlier, taken = prepared.earlier, prepared.taken
    return Order(
        taken=taken,
        fingerprint=fingerprint(
            taken.brief,
            runner=state.settings.runner,
            parent=earlier.row.id,
            stability=prepared.asked.stability,
        ),
        parent=earlier.row,
        patch=prepared.asked.patch,
        stability=prepared.asked.stability,
        earlier=earlier.text,
        rescored=rescored,
        **asked_for,
    )


async def instant(state: State, prepared: Prepared) -> Rescored:
    """The earlier layouts under the new brief, with what a new solve could gain at most."""
    earlier = prepared.earlier.result
    if not earlier["layouts"]:
        return _without("the earlier study has no layouts")
    brief = prepared.taken.brief.model_dump(mode="json")
    try:
        ranking = calculated(state, "rescore", study=earlier, brief=brief)
        ranked = (await asyncio.wait_for(ranking, INSTANT_S)).value
    except TimeoutError:
        return _without("ranking them anew took too long")
    except ServiceError as error:
        return _without(f"ranking them anew failed: {error.detail}")
    return rescored_of(ranked["layouts"])


def rescored_of(layouts: list[JsonObject]) -> Rescored:
    """What is said at once of the earlier layouts ranked anew."""
    if not layouts:
        return _without("none of the earlier layouts obeys the new brief")
    best = layouts[0]
    return Rescored(Instant.best_of(best["score"], best["bound"]), layouts)


def _earlier(state: State, client: Client, study_id: str) -> Earlier:
    """The study to start from; 404 where there is none, 409 while it has not ended."""
    with state.database.reading() as session:
        row = require(session, client, study_id)
        if row.state != DONE:
            raise ServiceError(
                "study_not_ended", "wait for its end, or cancel it to go on from the best so far"
            )
        result = whole_result(session, row)
    return Earlier(row, result, json.dumps(result))


def _read(data: Any, earlier: Earlier) -> RerunRequest:
    """What the request asks for; 422 with every fault."""
    try:
        return RerunRequest.model_validate(data, context=units_of_brief(earlier.result["brief"]))
    except ValidationError as error:
        raise InvalidBodyError("invalid_body", faults_of(error, data)) from None


def _patched(state: State, asked: RerunRequest, earlier: Earlier) -> AcceptedBrief:
    """The earlier brief with the patch and the pins; faults of it lead into the new brief."""
    before = earlier.result["brief"]
    merged = merge(before, asked.patch)
    if merged.get("units", before["units"]) != before["units"]:
        fault = Fault(
            "/patch/units", "the units of a rerun are those of the earlier brief", "units_fixed"
        )
        raise InvalidBodyError("invalid_body", [fault])
    pins = merged.get("pins", [])
    if isinstance(pins, list):
        asked_for = [_pin(pin, index, earlier) for index, pin in enumerate(asked.pins)]
        there = [_place(pin) for pin in pins]
        # Those of the patched brief stay as they are, the caller's own ones last.
        merged["pins"] = [*pins, *(pin for pin in asked_for if _place(pin) not in there)]
    return take_brief(state.settings, merged)


def _place(pin: Any) -> Any:
    """Where a pin stands and what it is: two of one place are one pin, whatever carries them."""
    if not isinstance(pin, dict):
        return pin
    return [pin.get(name) for name in ("wall", "start", "width", "pattern")]


def _pin(pin: Any, index: int, earlier: Earlier) -> JsonObject:
    """A pin as a brief has it."""
    if not isinstance(pin, KeptBay):
        return dict(pin.model_dump(mode="json"))
    for layout in earlier.result["layouts"]:
        for bay in layout["bays"]:
            if layout["rank"] == pin.layout and bay["id"] == pin.bay:
                return _as_pin(bay)
    fault = Fault(f"/pins/{index}", f"layout {pin.layout} has no bay {pin.bay!r}", "unknown_bay")
    raise InvalidBodyError("invalid_body", [fault])


def _as_pin(bay: JsonObject) -> JsonObject:
    """A bay as a pin that keeps it; one stored before that was told stands between uprights."""
    return (
        {"left": Carried.UPRIGHT.value, "right": Carried.UPRIGHT.value}
        | {name: bay[name] for name in Pin.model_fields if name in bay}
        | {"stored": _shelved(bay)}
    )


def _shelved(bay: JsonObject) -> list[JsonObject]:
    """What stands on the shelves of a bay; nothing in one stored before that was counted."""
    return [
        {"zone": number, **kept}
        for number, zone in enumerate(bay["zones"])
        for kept in zone.get("stored", ())
    ]


def _without(reason: str) -> Rescored:
    """No instant answer, and why."""
    return Rescored(Instant.without(reason), [])
