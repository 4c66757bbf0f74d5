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
    # Inches for a word that names no units, too: the field `units` is told its own fault, and the
    # lengths have to be read as something until then.
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
        # The deepest place that exists, for a name of a union member leads nowhere and is passed
        # over.
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


PLAIN_WORDS = {
    "string_pattern_mismatch": "this is not of the form that is expected here",
    "less_than_equal": "at most {le} is allowed",
    "less_than": "less than {lt} is expected here",
    "greater_than_equal": "at least {ge} is expected here",
    "greater_than": "more than {gt} is expected here",
    "int_type": "a whole number is expected here",
    "int_parsing": "a whole number is expected here",
    "int_from_float": "a whole number is expected here",
    "float_type": "a number is expected here",
    "float_parsing": "a number is expected here",
    "finite_number": "a number is expected here",
    "bool_type": "true or false is expected here",
    "bool_parsing": "true or false is expected here",
    "string_type": "text in quotes is expected here",
    "string_too_long": "at most {max_length} characters are allowed",
    "string_too_short": "at least {min_length} characters are expected here",
    "enum": "one of these is expected here: {expected}",
    "literal_error": "one of these is expected here: {expected}",
    "list_type": "a list in brackets is expected here",
    "tuple_type": "a list in brackets is expected here",
    "too_long": "at most {max_length} entries are allowed here",
    "too_short": "at least {min_length} entries are expected here",
}
"""What a person is told for pydantic's types of errors, with the values of their context."""


def in_plain_words(entry: Mapping[str, Any]) -> str:
    """What a pydantic error says, for somebody who knows neither pydantic nor expressions."""
    words = PLAIN_WORDS.get(entry["type"])
    if words is None:
        return str(entry["msg"])
    given = entry.get("ctx", {})
    return words.format_map({n: plain_number(v) if _finite(v) else v for n, v in given.items()})


def faults_of(error: ValidationError, data: Any) -> list[Fault]:
    """Every fault pydantic found in `data`, with pointer, value, rule and code."""
    faults = []
    entries = error.errors(include_url=False)
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
