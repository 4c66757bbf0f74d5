"""Settings of the service, each from an environment variable with a stated default."""

from __future__ import annotations

import importlib.util
import os
from typing import Annotated, Any, Literal

from pydantic import Field, SecretStr, field_validator
from pydantic_settings import BaseSettings, NoDecode, SettingsConfigDict
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from api.telemetry import is_installed

ENV_PREFIX = "CLOSET_"

_LOCAL = frozenset({"localhost", "127.0.0.1", "[::1]"})

Count = Annotated[int, Field(ge=1)]
Seconds = Annotated[float, Field(gt=0)]


def _default_workers() -> int:
    """One worker per core, at least two so that one long solve does not stop the rest."""
    return max(2, min(8, os.cpu_count() or 1))


class Settings(BaseSettings):
    """Every knob of the service; `python -m api settings` lists them."""

    model_config = SettingsConfigDict(env_prefix=ENV_PREFIX, frozen=True, extra="forbid")

    host: str = Field("127.0.0.1", description="Address to listen on.")
    port: int = Field(8000, ge=0, le=65535, description="Port to listen on; 0 takes a free one.")
    database_url: str = Field(
        "sqlite:///closet.sqlite3",
        description="SQLAlchemy URL: sqlite:///FILE or postgresql://USER@HOST/NAME.",
    )
    log_level: Literal["debug", "info", "warning", "error"] = Field(
        "info", description="Least severe level that is logged."
    )

    api_keys: Annotated[dict[str, SecretStr], NoDecode] = Field(
        default_factory=dict,
        description="Clients as NAME=KEY,NAME=KEY; empty leaves the service open to all.",
    )
    cors_origins: Annotated[tuple[str, ...], NoDecode] = Field(
        (), description="Origins that browsers may call from, by commas; none unless set."
    )
    trusted_proxies: str = Field(
        "", description="Addresses whose X-Forwarded-For is believed, by commas."
    )
    telemetry: bool = Field(
        False, description="Trace requests; OTEL_EXPORTER_OTLP_ENDPOINT says where to."
    )
    hosts: Annotated[tuple[str, ...], NoDecode] = Field(
        (),
        description="Names that the server answers to, by commas; without, a server that listens "
        "on this machine alone answers to localhost and any other to every name.",
    )
    hsts_seconds: int = Field(
        0, ge=0, description="Strict-Transport-Security max-age; set it only behind TLS."
    )

    workers: int = Field(
        default_factory=_default_workers, ge=0, le=64, description="Child processes that solve."
    )
    calculators: int = Field(
        2, ge=1, le=16, description="Child processes for drawings, build packs and checks."
    )
    worker_memory_mb: int = Field(
        4096, ge=0, description="Address space of one child [MiB]; 0 sets no limit."
    )
    runner: str = Field(
        "api.worker.optimizer_runner:OptimizerRunner",
        description="What solves a study, as MODULE:CLASS.",
    )

    max_body_bytes: Count = Field(1_000_000, description="Largest request body [bytes].")
    max_walls: Count = Field(24, description="Most walls in a brief.")
    max_items: Count = Field(40, description="Most kinds of item in a brief.")
    max_alternatives: Count = Field(10, description="Most layouts asked of one study.")
    max_time_limit_s: Seconds = Field(300.0, description="Longest solving time asked for [s].")
    max_active_per_client: Count = Field(
        20, description="Most studies of one client queued or running at once."
    )
    max_stored_per_client: Count = Field(
        5000, description="Most studies of one client in the store."
    )
    max_calculations_per_client: Count = Field(
        16, description="Most drawings, packs and checks of one client at once."
    )
    max_queue: Count = Field(200, description="Most studies waiting in the queue.")
    max_streams_per_client: Count = Field(20, description="Most event streams of one client.")
    max_pricings: Count = Field(20, description="Most price books sent for one study's packs.")
    max_requests: Count = Field(1000, description="Most requests and streams at once.")

    max_wait_s: Seconds = Field(30.0, description="Longest `Prefer: wait` that is honoured [s].")
    run_allowance_s: Seconds = Field(
        60.0,
        description="Time a run may take beyond the brief's time limit, for placing, checking "
        "and repairs, before it is killed [s].",
    )
    deadline_s: Seconds = Field(
        3600.0, description="Default and longest time from acceptance to an end [s]."
    )
    calculation_timeout_s: Seconds = Field(
        60.0, description="Longest drawing, build pack or check before it is killed [s]."
    )
    lease_s: Seconds = Field(
        10.0, le=600, description="A worker's hold on a study without a sign [s]."
    )
    heartbeat_s: Seconds = Field(2.0, description="Time between signs of a living worker [s].")
    reap_s: Seconds = Field(1.0, description="Time between searches for lost studies [s].")
    max_attempts: Count = Field(3, description="Times a study is tried when its worker dies.")
    stop_grace_s: Seconds = Field(
        3.0, description="Time to stop by itself after a cancel or a deadline [s]."
    )
    shutdown_grace_s: Seconds = Field(
        10.0, description="Time running studies get to finish when the service stops [s]."
    )

    retention_days: Annotated[float, Field(gt=0)] = Field(
        30.0, description="Days an ended study is kept."
    )
    idempotency_hours: Annotated[float, Field(gt=0)] = Field(
        24.0, description="Hours an Idempotency-Key is remembered."
    )

    header_timeout_s: Seconds = Field(10.0, description="Longest wait for request headers [s].")
    body_timeout_s: Seconds = Field(20.0, description="Longest wait for a request body [s].")
    send_timeout_s: Seconds = Field(20.0, description="Longest wait for a client to read [s].")
    keep_alive_s: Count = Field(15, description="Idle time before a connection is closed [s].")
    stream_token_s: Count = Field(60, description="Life of a token in a stream's address [s].")
    stream_keepalive_s: Seconds = Field(10.0, description="Silence between stream comments [s].")
    store_timeout_s: Seconds = Field(5.0, description="Longest wait for a busy database [s].")

    @field_validator("api_keys", mode="before")
    @classmethod
    def _read_keys(cls, value: Any) -> Any:
        """`NAME=KEY,NAME=KEY` as a mapping."""
        if not isinstance(value, str):
            return value
        keys = {}
        for pair in filter(None, (part.strip() for part in value.split(","))):
            name, sign, key = pair.partition("=")
            # Sixteen characters: short keys are guessed.
            if not sign or not name.strip() or len(key.strip()) < 16:
                raise ValueError("write NAME=KEY,NAME=KEY with keys of at least 16 characters")
            if name.strip() in keys:
                raise ValueError(f"the client {name.strip()!r} is given twice")
            keys[name.strip()] = SecretStr(key.strip())
        return keys

    @field_validator("cors_origins", "hosts", mode="before")
    @classmethod
    def _read_origins(cls, value: Any) -> Any:
        """Origins by commas as a tuple."""
        if not isinstance(value, str):
            return value
        return tuple(filter(None, (part.strip() for part in value.split(","))))

    @property
    def known_hosts(self) -> frozenset[str]:
        """Names that the server answers to, in small letters; none where it answers to all."""
        if self.hosts:
            return frozenset(name.lower() for name in self.hosts)
        # Against DNS rebinding: a page in the browser could else reach a local server by a name of
        # its own.
        return _LOCAL if self.host in _LOCAL or self.host == "::1" else frozenset()

    @field_validator("telemetry")
    @classmethod
    def _need_telemetry(cls, value: bool) -> bool:
        """What it takes is an extra."""
        if value and not is_installed():
            raise ValueError(
                "install what it takes: pip install 'closet-layout-optimizer[telemetry]'"
            )
        return value

    @field_validator("runner")
    @classmethod
    def _find_runner(cls, value: str) -> str:
        """The module must be there; whether it works is seen when a worker loads it."""
        module, sign, name = value.partition(":")
        try:
            found = bool(sign and name) and importlib.util.find_spec(module) is not None
        except (ImportError, ValueError):
            found = False
        if not found:
            raise ValueError("write MODULE:CLASS with a module that can be imported")
        return value

    @field_validator("database_url")
    @classmethod
    def _check_database(cls, value: str) -> str:
        """SQLite in a file, or PostgreSQL; workers are processes of their own, and a database
        in memory would be one each."""
        try:
            kind = make_url(value).get_backend_name()
        except ArgumentError:
            kind = "none"
        if kind not in {"sqlite", "postgresql"}:
            raise ValueError("write sqlite:///FILE or postgresql://USER@HOST/NAME")
        if value.startswith("sqlite") and (value.endswith("//") or ":memory:" in value):
            raise ValueError("a database in memory cannot be shared with the workers")
        return value


def setting_lines(settings: Settings) -> list[str]:
    """One line per setting: variable, value in force, default and meaning; keys stay hidden."""
    lines = []
    for name, field in Settings.model_fields.items():
        value = getattr(settings, name)
        # Passwords and keys are not shown.
        if name == "database_url":
            value = make_url(value).render_as_string(hide_password=True)
        if name == "api_keys":
            value = ",".join(f"{client}=***" for client in value)
        default = field.get_default(call_default_factory=True, validated_data={})
        shown = "" if default in ({}, ()) else default
        text = ",".join(value) if isinstance(value, tuple) else value
        lines.append(
            f"{ENV_PREFIX}{name.upper()}={text}\n    {field.description} Default: {shown!s}"
        )
    return lines
