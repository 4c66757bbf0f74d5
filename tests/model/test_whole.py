"""What our search proves, beside the whole plain model given to HiGHS and to SCIP.

CLOSET_ROOMS=40 tries as many rooms instead of the usual few; some take minutes.
"""

from __future__ import annotations

import math
import os
import time
from pathlib import Path

import pytest
from pyscipopt import Model

from optimizer.domain.brief import Brief, Pin
from optimizer.domain.study import Yardstick
from optimizer.model.search.alternatives import Found, Search
from optimizer.solving import solve
from tests.model.closed import closed_room

FEW = (1, 2, 7, 8, 12, 19)
MANY = int(os.environ.get("CLOSET_ROOMS", "0"))
NEAR = 1e-7
"""Relative gap to which the plain model is solved."""
ASKED = (0.02, 0.0005)
"""Gaps that our own search is asked for: one that ends with less than the best, one whose bound has
to be worked for."""
ROUNDING = 1e-4
PATIENCE_S = 120.0


def _by_scip(search: Search, folder: Path) -> tuple[float, float]:
    """Value and bound that SCIP proves of the plain model, read from a file of it."""
    path = folder / "plain.lp"
    search.model.problem.writeLP(str(path))
    model = Model()
    model.hideOutput()
    model.readProblem(str(path))
    model.setParam("limits/gap", NEAR)
    model.setParam("limits/time", PATIENCE_S)
    model.optimize()
    # Out of time it still says between what the optimum lies.
    assert model.getStatus() in ("optimal", "gaplimit") or (MANY and model.getNSols())
    assert model.getObjectiveSense() == "maximize"
    # The file leaves the objective's constant out.
    constant = search.model.problem.objective.constant
    return constant + model.getObjVal(), constant + model.getDualbound()


def _pinned(brief: Brief) -> tuple[Brief, Yardstick]:
    """The brief with a bay of one of its layouts pinned, and the scale of the brief without."""
    search = Search(brief)
    found = search.next(time.monotonic() + PATIENCE_S)
    assert isinstance(found, Found)
    names = ("wall", "start", "width", "pattern", "left", "right")
    pins = tuple(
        Pin.model_validate({name: getattr(bay, name) for name in names}) for bay in found.bays[:1]
    )
    return brief.model_copy(update={"pins": pins}), search.yardstick


@pytest.mark.parametrize("number", range(MANY) if MANY else FEW)
def test_bounds_hold_for_the_whole_plain_model(number: int, tmp_path: Path) -> None:
    """Two solvers that know nothing of kernels, corners and bundles find nothing above our bound,
    and we nothing above theirs; what we call within the gap is within it of their best."""
    brief, yardstick = closed_room(number), None
    if number % 4 < 2:
        brief, yardstick = _pinned(brief)
    plain = Search(brief, yardstick)
    scip, above = _by_scip(plain, tmp_path)
    highs = solve(plain.model.problem, gap=NEAR, time_limit=PATIENCE_S)
    assert highs.status in ("optimal", "within_gap")
    assert highs.objective is not None
    assert scip - ROUNDING <= highs.objective <= above + ROUNDING
    assert MANY or above - scip <= ROUNDING
    for gap in ASKED:
        options = brief.options.model_copy(update={"gap": gap})
        search = Search(brief.model_copy(update={"options": options}), plain.yardstick)
        _require_between(search, gap, max(highs.objective, scip), min(highs.objective, above))


def _require_between(search: Search, gap: float, least: float, most: float) -> None:
    """The best of what the model allows, between `least` and `most` points, lies between what our
    search finds and what it proves, at every moment that it tells of."""
    told: list[float] = []

    def seen(_: float, bound: float) -> None:
        told.append(bound)

    found = search.next(time.monotonic() + PATIENCE_S, seen)
    assert isinstance(found, Found)
    ours, bound = found.outcome.objective, found.outcome.bound
    assert ours is not None
    assert bound is not None
    assert ours <= most + ROUNDING
    assert bound >= least - ROUNDING
    if search.exact:
        assert min(told, default=math.inf) >= least - ROUNDING
        assert bound <= ours + gap * max(1.0, ours) + ROUNDING
        assert found.outcome.status in ("optimal", "within_gap")
