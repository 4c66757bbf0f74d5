"""JSON merge patch."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def merge(target: Any, patch: Any) -> Any:
    """`target` with `patch` applied, by RFC 7396, section 2; neither is changed."""
    if not isinstance(patch, Mapping):
        return patch
    merged = dict(target) if isinstance(target, Mapping) else {}
    for name, value in patch.items():
        if value is None:
            merged.pop(name, None)
        else:
            merged[name] = merge(merged.get(name), value)
    return merged
