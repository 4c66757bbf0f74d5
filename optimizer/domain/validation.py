"""Finding the units of raw data, and turning pydantic's errors into faults."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, TypeGuard

from pydantic import ValidationError

from optimizer.errors import Fault
from optimizer.units import Units, plain_number


def units_of_brief(data: Any) -> Units:
    """Units of a raw or parsed brief; inches when it does not say."""
    value = data.get("units") if isinstance(data, Mapping) else getattr(data, "units", None)
    return Units.MILLIMETRE if value == Units.MILLIMETRE else Units.INCH


def units_of_study(data: Any) -> Units:
    """Units of a raw or parsed study."""
    brief = data.get("brief") if isinstance(data, Mapping) else getattr(data, "brief", None)
    return units_of_brief(brief)


def _holds(data: Any, step: str | int) -> bool:
    """Whether `data[step]` is there."""
    if isinstance(data, Mapping):
        return step in data
    return isinstance(data, list | tuple) and isinstance(step, int) and step < len(data)


def pointer_of(location: Sequence[str | int], data: Any) -> str:
    """JSON Pointer (RFC 6901) of a pydantic error location within the raw `data`.

    Pydantic puts names of union members between real keys; a step that is not in the
    data is kept only where it is the last one, since then it names a missing key.
    """
    steps: list[str] = []
    here = data
    for index, step in enumerate(location):
        found = False
        if _holds(here, step):
            here, found = here[step], True
        last = index == len(location) - 1
        if found or (last and isinstance(here, Mapping)):
            steps.append(str(step).replace("~", "~0").replace("/", "~1"))
    return "".join(f"/{step}" for step in steps)


def _shown(value: Any) -> str:
    """A short form of a refused value."""
    text = plain_number(value) if _finite(value) else repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _finite(value: Any) -> TypeGuard[float]:
    """Whether a value is a number that plain digits can say."""
    return isinstance(value, float) and math.isfinite(value)


def in_plain_words(entry: Mapping[str, Any]) -> str:
    """What a pydantic error says, without a regular expression in it."""
    if entry["type"] == "string_pattern_mismatch":
        return "this is not of the form that is expected here"
    return str(entry["msg"])


def faults_of(error: ValidationError, data: Any) -> list[Fault]:
    """Every fault pydantic found in `data`, with pointer, value, rule and code."""
    faults = []
    entries = error.errors(include_url=False, include_context=False)
    around = {e["loc"][:depth] for e in entries for depth in range(len(e["loc"]))}
    for entry in entries:
        if entry["type"] == "too_short" and entry["loc"] in around:
            # Pydantic counts only the sound members; what ails the others is told anyway.
            continue
        detail = in_plain_words(entry)
        if entry["type"] == "extra_forbidden":
            detail = f"unknown key {str(entry['loc'][-1])[:60]!r}"
        elif entry["type"] == "missing":
            detail = f"{entry['loc'][-1]} is required"
        elif entry["type"] in {"model_type", "model_attributes_type"}:
            detail = f"an object in braces is expected here (got {_shown(entry.get('input'))})"
        elif not isinstance(entry.get("input"), Mapping | list | tuple):
            detail = f"{detail} (got {_shown(entry.get('input'))})"
        faults.append(Fault(pointer_of(entry["loc"], data), detail, entry["type"]))
    return faults
