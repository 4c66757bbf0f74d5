"""The ready briefs of the project."""

from __future__ import annotations

import json
from functools import cache

from api.reference.schemas import Scenario
from optimizer.briefs.scenarios import scenario_file, scenario_names
from optimizer.errors import BriefError


@cache
def scenarios() -> dict[str, Scenario]:
    """Every ready brief by name; none where the project's folder of them is not installed."""
    try:
        names = scenario_names()
    except BriefError:
        return {}
    return {name: _scenario(name) for name in names}


def _scenario(name: str) -> Scenario:
    """One ready brief with its name."""
    return Scenario.of(name, json.loads(scenario_file(name).read_text(encoding="utf-8")))
