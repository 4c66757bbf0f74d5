"""What a request prefers beside what it asks for: to wait for the result, to be made once."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WaitPreference:
    """How long the caller wants to wait for the result [s], as granted (`Prefer: wait`)."""

    seconds: float
    applied: str | None


@dataclass(frozen=True, slots=True)
class Key:
    """An Idempotency-Key with the digest of the request it came with."""

    text: str
    digest: str
