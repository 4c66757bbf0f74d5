"""Prices that callers send for build packs: read, kept with the study, found again."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from api.http.conditional import canonical, json_bytes
from api.http.errors import InvalidBodyError, ServiceError
from api.http.wire import JsonObject
from api.packs.schemas import BuildRequest
from api.state import State
from api.studies import repository
from optimizer.domain.validation import faults_of

PREFIX = "pricing:"


@dataclass(frozen=True, slots=True)
class Pricing:
    """What was sent, resolved, with the identifier that it is found by again."""

    key: str
    asked: JsonObject


def read_pricing(data: Any) -> Pricing:
    """The prices in a request body; InvalidBodyError with every fault found."""
    try:
        asked = BuildRequest.model_validate(data).model_dump(mode="json")
    except ValidationError as error:
        raise InvalidBodyError("invalid_body", faults_of(error, data)) from None
    # By content: the same prices sent twice are one pricing with one address.
    return Pricing(hashlib.sha256(canonical(asked)).hexdigest()[:32], asked)


def keep_pricing(state: State, study_id: str, pricing: Pricing) -> None:
    """Keep what a pack was priced with, beside its study, so that its address goes on working.

    Raises ServiceError when the study has as many as it may.
    """
    name, most = f"{PREFIX}{pricing.key}", state.settings.max_pricings
    with state.database.writing() as session:
        if repository.artifact(session, study_id, name) is not None:
            return
        # Each keeps a whole archive beside it.
        if repository.count_artifacts(session, study_id, PREFIX) >= most:
            raise ServiceError(
                "too_many_pricings",
                f"{most} price books were sent for this study already; rerun it to go on",
                limit=most,
            )
        repository.keep_artifact(session, study_id, name, json_bytes(pricing.asked))


def find_pricing(state: State, study_id: str, key: str | None) -> JsonObject | None:
    """What was sent under the identifier; None without one, 404 for one the study has not."""
    if key is None:
        return None
    with state.database.reading() as session:
        body = repository.artifact(session, study_id, f"{PREFIX}{key}")
    if body is None:
        raise ServiceError("pricing_not_found", f"no prices {key[:40]!r} were sent for this study")
    found: JsonObject = json.loads(body)
    return found
