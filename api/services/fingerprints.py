"""Fingerprints: equal for requests that have the same answer."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from api.versions import versions
from optimizer.domain.brief import Brief


def canonical(value: Any) -> bytes:
    """JSON with sorted keys and no spaces: one text per value."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), allow_nan=False).encode()


def fingerprint(
    brief: Brief, *, runner: str, parent: str | None = None, stability: float = 0.0
) -> str:
    """Fingerprint of a study: its resolved brief, what it starts from and keeps, all versions."""
    value = {
        "brief": brief.model_dump(mode="json"),
        "parent": parent,
        "stability": stability,
        "runner": runner,
        "versions": versions(),
    }
    return hashlib.sha256(canonical(value)).hexdigest()


def request_digest(method: str, path: str, query: str, body: Any) -> str:
    """Digest of a request, to tell a repetition from another request under one key."""
    return hashlib.sha256(canonical([method, path, query, body])).hexdigest()
