"""What every wire form has in common."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any, overload

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer, WithJsonSchema

JsonObject = dict[str, Any]
"""A JSON object that is no record of ours: a stored document, a message to a child process, a
merge patch, a piece of a JSON Schema."""


class Wire(BaseModel):
    """A record on the wire: exactly these members."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    def members(self) -> JsonObject:
        """The record as JSON, under the names of the wire."""
        return self.model_dump(mode="json", by_alias=True)


def _moment_text(at: datetime) -> str:
    """RFC 3339 text in UTC, to the millisecond."""
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


Moment = Annotated[
    datetime,
    PlainSerializer(_moment_text, return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "format": "date-time"}),
    Field(description="A moment in UTC (RFC 3339)."),
]
"""A point in time."""


@overload
def moment(seconds: float) -> datetime: ...
@overload
def moment(seconds: None) -> None: ...
def moment(seconds: float | None) -> datetime | None:
    """Seconds since 1970 as a moment."""
    return None if seconds is None else datetime.fromtimestamp(seconds, UTC)
