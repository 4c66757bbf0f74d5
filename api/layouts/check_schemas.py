"""Briefs and layouts checked without a study."""

from __future__ import annotations

from pydantic import Field

from api.http.problem_schemas import ErrorEntry
from api.http.wire import Wire
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Warned


class Validation(Wire):
    """A brief that a study can be made of."""

    valid: bool = Field(description="Always true: what is not valid is answered with 422.")
    brief: Brief = Field(description="As resolved, defaults filled in.")
    warnings: tuple[Warned, ...]


class LayoutCheckRequest(Wire):
    """A layout drawn elsewhere, with the brief it is for."""

    brief: Brief
    layout: Layout


class LayoutCheck(Wire):
    """Whether a layout obeys every rule of its brief."""

    passed: bool
    findings: tuple[ErrorEntry, ...] = Field(description="Pointers lead into the layout.")
    warnings: tuple[Warned, ...]
