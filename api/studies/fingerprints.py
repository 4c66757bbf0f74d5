"""Fingerprints: equal for requests that have the same answer."""

from __future__ import annotations

import hashlib

from api.http.conditional import canonical
from optimizer.domain.brief import Brief
from optimizer.versions import versions


def fingerprint(
    brief: Brief, *, runner: str, parent: str | None = None, stability: float = 0.0
) -> str:
    """Fingerprint of a study: its resolved brief, what it starts from and keeps, all versions."""
    value = {
        "brief": brief.model_dump(mode="json"),
        "parent": parent,
        "stability": stability,
        # Another runner, as in tests, is another answer.
        "runner": runner,
        "versions": versions(),
    }
    return hashlib.sha256(canonical(value)).hexdigest()
