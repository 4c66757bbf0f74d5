"""Calculations that a child process does for the service, by name."""

from __future__ import annotations

import logging
import math
from collections.abc import Callable
from typing import Any

from api.http.errors import problem_document
from api.http.problem_schemas import ErrorEntry
from api.http.wire import JsonObject
from api.layouts.appraisals import Beside, layout_check
from api.packs.pack_archive import packed
from api.reference.study_examples import study_examples
from api.worker.runners import Runner
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study, Warned
from optimizer.drawing import draw_elevation, draw_isometric, draw_plan
from optimizer.errors import CheckFailedError, InputError, OptimizerError
from optimizer.explaining.preference import preference
from optimizer.explaining.sensitivity import sensitivity

Calculation = Callable[..., tuple[Any, bytes | None]]
_LOG = logging.getLogger("api.worker.tasks")


def calculate(runner: Runner, task: JsonObject) -> tuple[JsonObject, bytes | None]:
    """The answer to a task: a value, with bytes if it says so, or a problem."""
    work = CALCULATIONS[task["name"]]
    try:
        value, body = work(runner, **task["arguments"])
    except OptimizerError as error:
        faults = error.faults if isinstance(error, InputError) else ()
        if isinstance(error, CheckFailedError):
            faults = error.findings
        return {"problem": problem_document("cannot_build", str(error), errors=faults)}, None
    except Exception as error:
        _LOG.exception("the calculation failed")
        # The name alone goes out: messages may quote what a caller sent, or our own paths.
        detail = f"{type(error).__name__} in the calculation"
        return {"problem": problem_document("internal", detail)}, None
    return {"value": value, "body": body is not None}, body


def rescore(runner: Runner, *, study: JsonObject, brief: JsonObject) -> tuple[Any, bytes | None]:
    """The study's layouts ranked anew under the brief's priorities."""
    ranked = runner.rescore(Study.model_validate(study), Brief.model_validate(brief))
    return ranked.model_dump(mode="json"), None


def appraise(
    _runner: Runner,
    *,
    brief: JsonObject,
    layout: JsonObject,
    study: tuple[str, JsonObject] | None,
    rank: int,
    warnings: list[JsonObject],
) -> tuple[Any, bytes | None]:
    """All that is to be said of a layout drawn by hand, beside the study of that id, if any."""
    beside = None if study is None else Beside(study[0], Study.model_validate(study[1]), rank)
    warned = [Warned.model_validate(entry) for entry in warnings]
    return layout_check(*_read(brief, layout), beside, warned).members(), None


def pins(runner: Runner, *, brief: JsonObject) -> tuple[Any, bytes | None]:
    """A fault for every pin that cannot stand where it is put."""
    faults = runner.pin_faults(Brief.model_validate(brief))
    return [ErrorEntry.of(fault).members() for fault in faults], None


def drawing(
    _runner: Runner,
    *,
    brief: JsonObject,
    layout: JsonObject,
    view: str,
    wall: str | None,
    form: str,
    widest: float | None = None,
) -> tuple[Any, bytes | None]:
    """A drawing as a file of the form `svg`, `dxf` or `pdf`; where that can be, no wider than
    `widest` [mm of paper]."""
    read = _read(brief, layout)
    most = math.inf if widest is None else widest
    if view == "elevation":
        made = draw_elevation(*read, wall or "", widest=most)
    elif view == "plan":
        made = draw_plan(*read, widest=most)
    else:
        made = draw_isometric(*read, widest=most)
    if form == "svg":
        return None, made.to_svg().encode()
    return None, made.to_dxf() if form == "dxf" else made.to_pdf()


def sensitivities(_runner: Runner, *, study: JsonObject) -> tuple[Any, bytes | None]:
    """How far each priority may move before the first place changes."""
    ranges = sensitivity(Study.model_validate(study))
    return [entry.model_dump(mode="json") for entry in ranges], None


def preferences(_runner: Runner, *, study: JsonObject, rank: int) -> tuple[Any, bytes | None]:
    """Which priorities would make the layout of that rank the first."""
    return preference(Study.model_validate(study), rank).model_dump(mode="json"), None


def _read(brief: JsonObject, layout: JsonObject) -> tuple[Brief, Layout]:
    """Stored JSON as the optimizer's own records."""
    read = Brief.model_validate(brief)
    return read, Layout.model_validate(layout, context=read.units)


def build(
    _runner: Runner,
    *,
    brief: JsonObject,
    layout: JsonObject,
    pricing: JsonObject | None = None,
    fewer_sheets: str = "",
) -> tuple[Any, bytes | None]:
    """The build pack of a layout under those prices, as an archive."""
    return None, packed(*_read(brief, layout), pricing, fewer_sheets)


def examples(_runner: Runner) -> tuple[Any, bytes | None]:
    """Examples of answers about studies, for the OpenAPI page."""
    return study_examples(), None


CALCULATIONS: dict[str, Calculation] = {
    "rescore": rescore,
    "appraise": appraise,
    "pins": pins,
    "drawing": drawing,
    "build": build,
    "sensitivity": sensitivities,
    "preference": preferences,
    "examples": examples,
}
