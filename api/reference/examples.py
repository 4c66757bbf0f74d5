"""Examples of answers about the service itself, for the OpenAPI page."""

from __future__ import annotations

from api.http.problem_schemas import ProblemCode, ProblemCodes
from api.http.wire import JsonObject
from api.reference.schemas import Health, Limits, Readiness, Scenarios
from api.reference.views import scenarios
from api.settings import Settings
from optimizer.reference.prices import invented_prices


def service_examples() -> JsonObject:
    """Answers by operation id; those about studies are `study_examples`."""
    ready = scenarios()
    return {
        "get_price_book": invented_prices().model_dump(mode="json"),
        "list_scenarios": Scenarios(items=tuple(ready.values())[:1]).members(),
        "get_scenario": next((one.members() for one in ready.values()), None),
        # The defaults, whatever this server's environment says: the page is the same everywhere.
        "get_limits": Limits.of(Settings.model_construct()).members(),
        "list_problems": ProblemCodes.all(3).members(),
        "get_problem": ProblemCode.of("queue_full").members(),
        "get_health": Health.now().members(),
        "get_readiness": Readiness(
            ready=True, reasons=(), store=True, workers_ready=2, workers=2
        ).members(),
    }
