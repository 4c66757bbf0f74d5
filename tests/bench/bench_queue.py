"""The queue: studies a second by number of workers, and how soon an idle worker takes one up.

    python -m tests.bench.bench_queue [--studies N] [--wakes N] [--sqlite]

One process serves, others only solve (`python -m api worker`, one worker each), on a PostgreSQL
of their own or on an SQLite file. `busy` studies keep a worker for 0.3 s without using the
processor, as on a machine of one's own; `short` ones end at once: what is left is the queue. The
times are the database's: of throughput from the first start to the last end, of a wake-up from
the acceptance to the start.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import text

from api.store.database import Database
from tests.service.harness import Server, brief
from tests.service.postgres import Cluster

KINDS = {"busy": "slow 0.4", "short": "plain"}
SETTINGS: dict[str, Any] = {
    "max_active_per_client": 10_000,
    "max_queue": 10_000,
    "log_level": "warning",
}


@contextmanager
def running(folder: Path, url: str, workers: int) -> Iterator[Server]:
    """A server without workers, and that many processes with one each, all of them ready."""
    server = Server(folder, url, workers=0, **SETTINGS)
    others = [Server(folder, url, workers=1, **SETTINGS) for _ in range(workers)]
    try:
        server.start()
        for other in others:
            other.command = ["-m", "api", "worker"]
            other.start(ready=False)
        while server.client.get("/readyz").json()["workers_ready"] < workers:
            time.sleep(0.1)
        yield server
    finally:
        for process in (server, *others):
            process.close()


def times(database: Database, ids: list[str]) -> list[tuple[float, float, float]]:
    """When each study was accepted, started and ended, once all have ended."""
    query = text("SELECT id, created_at, started_at, finished_at FROM studies")
    while True:
        with database.reading() as session:
            rows = {row[0]: row[1:] for row in session.execute(query)}
        found = [rows[study_id] for study_id in ids]
        if all(row[2] is not None for row in found):
            return [(row[0], row[1], row[2]) for row in found]
        time.sleep(0.1)


def throughput(server: Server, database: Database, kind: str, number: int) -> float:
    """Studies of a kind a second, all of them posted before the first is looked at."""
    made = [server.accept(brief(f"{KINDS[kind]} {time.time_ns()}")) for _ in range(number)]
    found = times(database, [study["id"] for study in made])
    return number / (max(row[2] for row in found) - min(row[1] for row in found))


def wakes(server: Server, database: Database, number: int) -> list[float]:
    """Milliseconds from acceptance to start, of studies that come to an idle worker one by one."""
    waits = []
    for _ in range(number):
        made = server.accept(brief(f"plain {time.time_ns()}"))
        ((accepted, started, _),) = times(database, [made["id"]])
        waits.append(1000 * (started - accepted))
        time.sleep(0.3)
    return sorted(waits)


def say(line: str) -> None:
    """Print a line."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def run(folder: Path, urls: Iterator[str], studies: int, number: int) -> None:
    """Print every figure."""
    rates: dict[str, list[float]] = {kind: [] for kind in KINDS}
    for workers in (1, 2):
        url = next(urls)
        with running(folder, url, workers) as server:
            database = Database(url)
            for kind, found in rates.items():
                found.append(throughput(server, database, kind, studies))
                say(f"{workers} workers, {kind} studies: {found[-1]:6.1f} a second")
            waits = wakes(server, database, number)
            last = waits[min(number - 1, int(0.99 * number))]
            say(
                f"{workers} workers, wake-up: p50 {statistics.median(waits):.0f} ms, "
                f"p99 {last:.0f} ms"
            )
            database.close()
    for kind, (one, two) in rates.items():
        say(f"{kind}: two workers do {two / one:.2f} times what one does")


def main() -> None:
    """Start a database, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studies", type=int, default=60)
    parser.add_argument("--wakes", type=int, default=30)
    parser.add_argument("--sqlite", action="store_true")
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if chosen.sqlite:
            files = (f"sqlite:///{folder}/{number}.sqlite3" for number in (1, 2))
            run(folder, files, chosen.studies, chosen.wakes)
            return
        cluster = Cluster().start()
        try:
            databases = (cluster.new_database() for _ in (1, 2))
            run(folder, databases, chosen.studies, chosen.wakes)
        finally:
            cluster.stop()


if __name__ == "__main__":
    main()
