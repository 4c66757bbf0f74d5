"""Scenarios, limits and the service's health on the wire."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field

from api.http.wire import JsonObject, Wire
from api.settings import Settings
from api.versions import API_VERSION
from optimizer.briefs.json_text import MAX_DEPTH
from optimizer.versions import versions


class Scenario(Wire):
    """A ready brief of the project's own."""

    name: str
    title: str
    units: str
    walls: int
    brief: JsonObject = Field(description="Ready to be sent to /v1/studies as it stands.")

    @classmethod
    def of(cls, name: str, brief: JsonObject) -> Self:
        """A brief as it stands in its file."""
        return cls(
            name=name,
            title=brief.get("name", name),
            units=brief.get("units", "in"),
            walls=len(brief["room"]["walls"]),
            brief=brief,
        )


class Scenarios(Wire):
    """Every ready brief."""

    items: tuple[Scenario, ...]


class Limits(Wire):
    """What the service takes and how long it keeps things."""

    max_body_bytes: int
    max_depth: int
    max_walls: int
    max_items: int
    max_alternatives: int
    max_time_limit_s: float
    max_active_per_client: int
    max_queue: int
    max_streams_per_client: int
    max_stored_per_client: int = Field(description="Most studies of one client in the store.")
    max_calculations_per_client: int = Field(
        description="Most drawings, packs and checks of one client at once."
    )
    max_pricings: int = Field(description="Most price books sent for the packs of one study.")
    max_requests: int
    max_wait_s: float = Field(description="Longest `Prefer: wait` that is honoured [s].")
    deadline_s: float = Field(description="Default and longest time to a study's end [s].")
    run_allowance_s: float = Field(
        description="Time a run may take beyond the brief's time limit before it is killed [s]."
    )
    calculation_timeout_s: float
    max_attempts: int
    lost_run_s: float = Field(
        description="Longest time until a dead server's study is taken up again [s]."
    )
    retention_days: float = Field(description="Days an ended study is kept, then deleted.")
    idempotency_hours: float

    @classmethod
    def of(cls, settings: Settings) -> Self:
        """What a service under these settings takes at most."""
        # By name: a limit with a name of a setting is that setting.
        own = cls.model_fields.keys() & Settings.model_fields.keys()
        return cls(
            **{name: getattr(settings, name) for name in own},
            max_depth=MAX_DEPTH,
            # The lease runs out, a search sees it, and the one after that at the latest.
            lost_run_s=settings.lease_s + 2 * settings.reap_s,
        )


class Health(Wire):
    """The service answers."""

    alive: bool
    api: str
    versions: dict[str, str]

    @classmethod
    def now(cls) -> Self:
        """What answers here."""
        return cls(alive=True, api=API_VERSION, versions=versions())


class Readiness(Wire):
    """Whether studies can be taken and solved."""

    ready: bool
    reasons: tuple[Literal["store", "no_workers", "stopping"], ...] = Field(
        description="What is not ready: `store` cannot be written to (broken, locked or full); "
        "`no_workers`: none is loaded, here or on another server of the same store; `stopping`."
    )
    store: bool
    workers_ready: int
    workers: int
