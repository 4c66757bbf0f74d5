"""A child process that solves studies by id: `python -m api.worker.solver FD NAME`."""

from __future__ import annotations

import sys
from typing import Any

from api.settings import Settings
from api.store.database import Database
from api.worker.child import Stop, Work, serve
from api.worker.runners import load_runner
from api.worker.solve import Stores, solve


def prepare(settings: Settings) -> Work:
    """The work of a solver: the runner and the store are opened once."""
    runner = load_runner(settings.runner)
    url, timeout_s = settings.database_url, settings.store_timeout_s
    # On SQLite the end of a study is as durable as can be; what is noted on the way need not wait
    # so long. On PostgreSQL there is no difference, and connections are to be saved.
    ends = Database(url, timeout_s=timeout_s)
    notes = Database(url, timeout_s=timeout_s, synced=False) if ends.is_sqlite else ends
    stores = Stores(ends, notes)

    def work(task: dict[str, Any], stop: Stop) -> tuple[dict[str, Any], bytes | None]:
        """Run one study."""
        return solve(stores, runner, task, stop), None

    return work


def main(descriptor: int) -> None:
    """Serve the socket of that descriptor."""
    serve(descriptor, prepare)


if __name__ == "__main__":
    main(int(sys.argv[1]))
