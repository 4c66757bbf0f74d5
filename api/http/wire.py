"""What every wire form has in common."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class Wire(BaseModel):
    """A record on the wire: exactly these members."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


Moment = Annotated[datetime, Field(description="A moment in UTC (RFC 3339).")]
"""A point in time."""


def moment(seconds: float | None) -> str | None:
    """Seconds since 1970 as RFC 3339 text in UTC, to the millisecond."""
    if seconds is None:
        return None
    text = datetime.fromtimestamp(seconds, UTC).isoformat(timespec="milliseconds")
    return text.replace("+00:00", "Z")
