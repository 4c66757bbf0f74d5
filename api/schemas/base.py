"""What every wire form has in common."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from api.store.identifiers import PATTERN


class Wire(BaseModel):
    """A record on the wire: exactly these members."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


StudyId = Annotated[str, Field(pattern=PATTERN, examples=["06d3v8q2k5y7n9b1c4f6g8h0jm"])]
"""Identifier of a study."""

Moment = Annotated[datetime, Field(description="A moment in UTC (RFC 3339).")]
"""A point in time."""


def moment(seconds: float | None) -> str | None:
    """Seconds since 1970 as RFC 3339 text in UTC, to the millisecond."""
    if seconds is None:
        return None
    text = datetime.fromtimestamp(seconds, UTC).isoformat(timespec="milliseconds")
    return text.replace("+00:00", "Z")
