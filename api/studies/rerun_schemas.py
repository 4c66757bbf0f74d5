"""What a rerun is asked with."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from api.http.wire import JsonObject, Wire
from optimizer.domain.brief import Pin
from optimizer.domain.fields import Real, Whole

MAX_PINS = 40


class KeptBay(Wire):
    """A bay of the earlier study to keep exactly where it is."""

    layout: Annotated[Whole, Field(ge=1, le=1000, description="Rank of the layout.")]
    bay: Annotated[str, Field(min_length=1, max_length=40, description="Id of the bay.")]


class RerunRequest(Wire):
    """What changes against the earlier brief, what stays, and how near to keep."""

    patch: Annotated[
        JsonObject,
        Field(
            default_factory=dict,
            description="JSON merge patch (RFC 7396) on the earlier study's resolved brief.",
        ),
    ]
    pins: Annotated[
        tuple[KeptBay | Pin, ...],
        Field(
            max_length=MAX_PINS,
            description="Bays to keep: by layout and id, or as the brief's own pins. They are "
            "added to the pins of the patched brief.",
        ),
    ] = ()
    stability: Annotated[
        Real,
        Field(
            ge=0,
            le=1,
            description="Share of the earlier first layout to keep: of its bays the widest that "
            "make up this share of their width stay where they are. No condition: what "
            "the new brief does not let be is let go. The study's `stability` says what was kept "
            "and what was let go for which reason; its brief has the pins asked for and no more.",
        ),
    ] = 0.0
