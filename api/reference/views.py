"""Ready briefs, limits and problem codes as they appear on the wire."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from api.http.errors import KINDS
from api.reference.schemas import Limits
from api.settings import Settings
from optimizer.briefs.json_text import MAX_DEPTH
from optimizer.briefs.scenarios import scenario_file, scenario_names
from optimizer.errors import BriefError


@cache
def scenarios() -> dict[str, dict[str, Any]]:
    """Every ready brief by name; none where the project's folder of them is not installed."""
    try:
        names = scenario_names()
    except BriefError:
        return {}
    return {name: _scenario(name) for name in names}


def _scenario(name: str) -> dict[str, Any]:
    brief = json.loads(scenario_file(name).read_text(encoding="utf-8"))
    return {
        "name": name,
        "title": brief.get("name", name),
        "units": brief.get("units", "in"),
        "walls": len(brief["room"]["walls"]),
        "brief": brief,
    }


def limits(settings: Settings) -> dict[str, Any]:
    """What the service takes at most."""
    own = {name for name in Limits.model_fields if name in Settings.model_fields}
    return {
        **{name: getattr(settings, name) for name in Limits.model_fields if name in own},
        "max_depth": MAX_DEPTH,
        "lost_run_s": settings.lease_s + 2 * settings.reap_s,
    }


def code_view(code: str) -> dict[str, Any]:
    """A problem code and what it means."""
    return {"code": code, "status": KINDS[code].status, "title": KINDS[code].title}
