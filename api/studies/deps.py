"""The study that a path names."""

from __future__ import annotations

from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import Depends, Path

from api import logs
from api.http.errors import ServiceError
from api.store.ids import PATTERN, is_identifier


async def study_id_of(
    study_id: Annotated[
        str,
        Path(
            description="Identifier of the study.",
            # Told, not enforced: what cannot be an identifier is just not found.
            json_schema_extra={"pattern": PATTERN},
            examples=["06d3v8q2k5y7n9b1c4f6g8h0jm"],
        ),
    ],
) -> AsyncIterator[str]:
    """The study named in the path, noted in the logs."""
    if not is_identifier(study_id):
        raise ServiceError("study_not_found", f"{study_id[:40]!r} is no study's identifier")
    token = logs.study_id.set(study_id)
    try:
        yield study_id
    finally:
        logs.study_id.reset(token)


StudyIdDep = Annotated[str, Depends(study_id_of)]
