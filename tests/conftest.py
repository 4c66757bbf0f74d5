"""Hand-made briefs and studies shared by the tests of commands and texts."""

from __future__ import annotations

import gc
import importlib
import os
import pkgutil
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import settings

import api
import optimizer
from optimizer.domain.brief import Brief
from optimizer.domain.study import Study
from tests.shares import ByUnit, Compiling, turn_of

# No test is timed: a busy machine is no fault. Examples are drawn anew in every run, so that few
# in each are many in a week; `--hypothesis-profile thorough` draws many at once.
settings.register_profile("usual", deadline=None, max_examples=60)
settings.register_profile("thorough", deadline=None, max_examples=1000)
# A few and always the same ones, for `mutmut`, which runs the tests once for each change.
settings.register_profile("few", deadline=None, max_examples=8, derandomize=True)
settings.load_profile("usual")

# Processes of a shared-out run see terminals of other widths: reports are as wide as in a pipe.
os.environ["COLUMNS"] = "100"

# Sums of a few hundred numbers: further threads for them, here and in processes of the tests, are
# started for nothing and take time to wait.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


COMPILING = pytest.StashKey[Compiling]()


def pytest_configure(config: pytest.Config) -> None:
    """Load every module of the project, where tests are run.

    Hypothesis draws numbers that stand in the project's own modules, those that are loaded by
    then: all are, so that a test draws the same alone as among the others.
    """
    if config.getoption("numprocesses", None) and not hasattr(config, "workerinput"):
        return  # it shares the tests out and runs none
    config.stash[COMPILING] = Compiling(config)
    # Until all is loaded: nothing of that is rubbish, and to look takes a sixth of the time.
    gc.disable()
    for package in (optimizer, api):
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if not module.name.endswith("__main__") and ".migrations" not in module.name:
                importlib.import_module(module.name)


def pytest_collection_finish(session: pytest.Session) -> None:
    """All modules are loaded: another process may load what this one has compiled.

    What there is by now stays to the end: all modules and tests, to go through which again and
    again for rubbish took a twentieth of the time of tests that make many objects.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 10, 10)
    gc.enable()
    if compiling := session.config.stash.get(COMPILING, None):
        compiling.end()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes long begins first, with one process or with several."""
    items.sort(key=lambda item: turn_of(item.nodeid))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """With `-n`, tests that share something run in one process."""
    return ByUnit(config, log)


def _hall_brief() -> dict[str, Any]:
    """A reach-in six feet wide with an outlet in its back wall."""
    return {
        "name": "Hall closet",
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "A", "length": 24},
                {"id": "B", "length": 72, "height": 94},
                {"id": "C", "length": 24},
                {"id": "D", "length": 72},
            ],
            "openings": [{"wall": "D", "start": 12, "width": 48, "kind": "bifold"}],
            "obstructions": [
                {"wall": "B", "start": 34, "width": 5, "bottom": 14, "height": 5, "kind": "outlet"}
            ],
        },
        "needs": {
            "long_hang": 36,
            "short_hang": 60,
            "shelf_length": 90,
            "items": [
                {"id": "hamper", "width": 18, "depth": 16, "height": 26},
                {"id": "bin", "width": 11, "depth": 11, "height": 7, "count": 2, "place": "shelf"},
            ],
        },
    }


def _double_hang_bay() -> dict[str, Any]:
    return {
        "id": "B1",
        "wall": "B",
        "start": 0.75,
        "width": 30,
        "depth": 24,
        "height": 84,
        "pattern": "double",
        "zones": [
            {
                "kind": "rod",
                "hang": "short",
                "bottom": 3,
                "top": 43,
                "rod_height": 40,
                "depth": 24,
            },
            {
                "kind": "rod",
                "hang": "short",
                "bottom": 43,
                "top": 83.25,
                "rod_height": 80,
                "depth": 24,
            },
            {"kind": "shelf", "bottom": 84, "top": 94, "depth": 12},
        ],
    }


def _shelf_bay() -> dict[str, Any]:
    shelves: list[dict[str, Any]] = [
        {"kind": "shelf", "bottom": bottom, "top": bottom + 11.25, "depth": 12}
        for bottom in (36, 48, 60, 72)
    ]
    shelves[1]["items"] = ["bin", "bin"]
    return {
        "id": "B2",
        "wall": "B",
        "start": 47.25,
        "width": 24,
        "depth": 16,
        "height": 84,
        "pattern": "shelves",
        "stiffened": True,
        "zones": [
            {"kind": "floor", "bottom": 0, "top": 35.25, "depth": 16, "items": ["hamper"]},
            *shelves,
            {"kind": "shelf", "bottom": 84, "top": 94, "depth": 12},
        ],
    }


def _hall_layout(rank: int, *, double: bool) -> dict[str, Any]:
    bays = [_double_hang_bay(), _shelf_bay()] if double else [_shelf_bay()]
    hang = 60.0 if double else 0.0
    return {
        "rank": rank,
        "score": 80.25 if double else 61.5,
        "bound": 80.5 if double else 62.0,
        "gap": 0.0031 if double else 0.0081,
        "status": "within_gap",
        "terms": [
            {"name": "needs", "weight": 10, "value": 0.8, "points": 40},
            {"name": "hanging", "weight": 3, "value": 0.5, "points": 25.5},
        ],
        "metrics": {
            "long_hang": 0,
            "medium_hang": 0,
            "short_hang": hang,
            "shelf_length": 150 if double else 120,
            "shelf_area": 1800 if double else 1440,
            "open_floor": 0,
            "easy_length": 78,
            "items_housed": 3,
            "material_cost": 212.4 if double else 101.25,
            "sheets": 2 if double else 1,
            "parts": 21 if double else 12,
        },
        "unmet": [
            {
                "need": "long_hang",
                "required": 36,
                "achieved": 0,
                "shortfall": 36,
                "reason": "traded_off",
                "detail": "the rod would take the place of the shelves",
                "price": 6.2,
            }
        ],
        "bays": bays,
        "fillers": [{"wall": "B", "start": 72 - 0.5, "width": 0.5, "kind": "scribe"}],
        "trade_off": "" if double else "60 in less short hang than layout 1, 1 sheet fewer",
    }


def _hall_study() -> dict[str, Any]:
    return {
        "brief": _hall_brief(),
        "status": "within_gap",
        "layouts": [_hall_layout(1, double=True), _hall_layout(2, double=False)],
        "difference_asked": 0.2,
        "differences": [[0, 0.42], [0.42, 0]],
        "repairs": [
            {"change": "shelf spacing 11 in", "effect": "30 in more shelf", "proved": True}
        ],
        "warnings": [
            {"code": "aisle", "pointer": "/needs/aisle", "detail": "24 in is a tight way through"}
        ],
        "versions": {"program": "0.1.0", "solver": "HiGHS 1.16"},
        "seconds": 1.25,
    }


@pytest.fixture
def hall_data() -> dict[str, Any]:
    """The hall study as JSON data, free to be changed."""
    return _hall_study()


@pytest.fixture
def hall_study() -> Study:
    """A study of a hall closet with two layouts."""
    return Study.model_validate(_hall_study())


@pytest.fixture
def hall_brief(hall_study: Study) -> Brief:
    """The brief of the hall closet."""
    return hall_study.brief


@pytest.fixture
def make_bay() -> Callable[..., dict[str, Any]]:
    """A maker of bay data for layouts of a test's own: zones and fields by name."""

    def make(zones: list[dict[str, Any]], **fields: Any) -> dict[str, Any]:
        usual = {"id": "B1", "wall": "B", "start": 0.75, "width": 30, "depth": 24, "height": 84}
        return {**usual, "pattern": "p", "zones": zones, **fields}

    return make
