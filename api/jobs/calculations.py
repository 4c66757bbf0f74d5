"""Calculations that a child process does for the service, by name."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any

from api.jobs.running import Runner
from api.problems import problem_document
from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study
from optimizer.errors import InputError, OptimizerError

Calculation = Callable[..., tuple[Any, bytes | None]]
_LOG = logging.getLogger("api.jobs.calculations")


def calculate(runner: Runner, task: dict[str, Any]) -> tuple[dict[str, Any], bytes | None]:
    """The answer to a task: a value, with bytes if it says so, or a problem."""
    work = CALCULATIONS[task["name"]]
    try:
        value, body = work(runner, **task["arguments"])
    except OptimizerError as error:
        faults = error.faults if isinstance(error, InputError) else ()
        return {"problem": problem_document("cannot_build", str(error), errors=faults)}, None
    except Exception as error:
        _LOG.exception("the calculation failed")
        detail = f"{type(error).__name__} in the calculation"
        return {"problem": problem_document("internal", detail)}, None
    return {"value": value, "body": body is not None}, body


def rescore(
    runner: Runner, *, study: dict[str, Any], brief: dict[str, Any]
) -> tuple[Any, bytes | None]:
    """The study's layouts ranked anew under the brief's priorities."""
    ranked = runner.rescore(Study.model_validate(study), Brief.model_validate(brief))
    return ranked.model_dump(mode="json"), None


def check(
    _runner: Runner, *, brief: dict[str, Any], layout: dict[str, Any]
) -> tuple[Any, bytes | None]:
    """Every rule that a layout breaks."""
    findings = check_layout(Brief.model_validate(brief), Layout.model_validate(layout))
    return [
        {"pointer": fault.pointer, "detail": fault.detail, "code": fault.code} for fault in findings
    ], None


CALCULATIONS: dict[str, Calculation] = {"rescore": rescore, "check": check}
