"""What one server consists of; `lifespan` puts it together, endpoints ask for its parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from api.metrics import ServiceMetrics
    from api.settings import Settings
    from api.store.database import Database
    from api.studies.flights import Flights
    from api.studies.service import Studies
    from api.studies.streams import Streams
    from api.studies.watcher import Watcher
    from api.worker.calculators import Calculators
    from api.worker.supervisor import Supervisor


@dataclass(slots=True)
class State:
    """The parts of a running server, wired together once."""

    settings: Settings
    database: Database
    metrics: ServiceMetrics
    supervisor: Supervisor
    calculators: Calculators
    studies: Studies
    watcher: Watcher
    streams: Streams
    flights: Flights
