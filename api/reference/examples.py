"""Examples of answers about the service itself, for the OpenAPI page."""

from __future__ import annotations

from typing import Any

from api.http.errors import KINDS
from api.reference.views import code_view, limits, scenarios
from api.settings import Settings
from api.versions import API_VERSION, versions
from optimizer.reference.prices import invented_prices


def service_examples() -> dict[str, Any]:
    """Answers by operation id; those about studies are `study_examples`."""
    ready = scenarios()
    return {
        "get_price_book": invented_prices().model_dump(mode="json"),
        "list_scenarios": {"items": list(ready.values())[:1]},
        "get_scenario": next(iter(ready.values()), None),
        "get_limits": limits(Settings.model_construct()),
        "list_problems": {"items": [code_view(code) for code in list(KINDS)[:3]]},
        "get_problem": code_view("queue_full"),
        "get_health": {"alive": True, "api": API_VERSION, "versions": versions()},
        "get_readiness": {
            "ready": True,
            "reasons": [],
            "store": True,
            "workers_ready": 2,
            "workers": 2,
        },
    }
