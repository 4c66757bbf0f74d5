"""A layout drawn elsewhere, read with its brief."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from api.http.errors import InvalidBodyError
from api.settings import Settings
from api.studies.accepting import Taken, take_brief
from optimizer.domain.fields import reading_units
from optimizer.domain.layout import Layout
from optimizer.domain.reading import faults_of
from optimizer.errors import Fault

_MEMBERS = ("brief", "layout")


def read_layout_check(settings: Settings, data: Any) -> tuple[Taken, Layout]:
    """The brief and the layout of a check; 422 with every fault of either."""
    if not isinstance(data, Mapping):
        raise InvalidBodyError(
            "invalid_body", [Fault("", "send an object with brief and layout", "not_an_object")]
        )
    faults = [
        Fault(f"/{name}", f"{name} is required", "missing") for name in _MEMBERS if name not in data
    ]
    faults += [
        Fault("", f"unknown key {str(name)[:60]!r}", "extra_forbidden")
        for name in data
        if name not in _MEMBERS
    ]
    if faults:
        raise InvalidBodyError("invalid_body", faults)
    try:
        taken = take_brief(settings, data["brief"])
    except InvalidBodyError as error:
        inner = [replace(fault, pointer=f"/brief{fault.pointer}") for fault in error.errors]
        raise InvalidBodyError(error.code, inner, limit=error.limit) from None
    return taken, _read_layout(taken, data["layout"])


def _read_layout(taken: Taken, data: Any) -> Layout:
    try:
        with reading_units(taken.brief.units):
            return Layout.model_validate(data)
    except ValidationError as error:
        faults = [
            replace(fault, pointer=f"/layout{fault.pointer}") for fault in faults_of(error, data)
        ]
        raise InvalidBodyError("invalid_layout", faults) from None
