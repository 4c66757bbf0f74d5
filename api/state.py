"""What one server consists of, from start to stop."""

from __future__ import annotations

from dataclasses import dataclass, field

from api.jobs.calculators import Calculators
from api.jobs.supervisor import Supervisor
from api.metrics import Metrics
from api.services.creating import Studies
from api.services.streams import Streams
from api.services.waiting import Watcher
from api.settings import Settings
from api.store.database import Database


@dataclass(slots=True)
class State:
    """The parts of a running server, wired together once."""

    settings: Settings
    database: Database
    metrics: Metrics
    supervisor: Supervisor
    calculators: Calculators
    studies: Studies
    watcher: Watcher
    streams: Streams = field(default_factory=Streams)


def build_state(settings: Settings, metrics: Metrics) -> State:
    """The parts of a server, not started yet."""
    database = Database(settings.database_url, timeout_s=settings.store_timeout_s)
    watcher = Watcher(database)
    supervisor = Supervisor(settings, database, metrics, on_end=watcher.poke)
    return State(
        settings=settings,
        database=database,
        metrics=metrics,
        supervisor=supervisor,
        calculators=Calculators(settings),
        studies=Studies(settings, database, metrics, supervisor),
        watcher=watcher,
    )
