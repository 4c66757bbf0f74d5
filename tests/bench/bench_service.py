"""The service: requests a second, times of answers, and what it costs over the bare optimizer.

    python -m tests.bench.bench_service [--seconds S] [--clients N] [--postgres]

One real server process on the loopback, one process that asks. Reads are of one ended study
(in full, and with its ETag), of a list and of a validation; `cached` posts one brief over and
over and is answered from the store; `fresh` posts briefs that differ and waits for each. The
overhead is the time of fresh studies, one after the other, over that of `propose` on the same
briefs in this process, in turn so that both meet the same machine.
"""

from __future__ import annotations

import argparse
import asyncio
import statistics
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx

from optimizer.briefs.reader import read_brief
from optimizer.proposing import propose
from tests.service.harness import Server
from tests.service.postgres import Cluster

Ask = Callable[[httpx.AsyncClient, int], Awaitable[httpx.Response]]


@dataclass(frozen=True)
class Figures:
    """Answers a second and their times [ms]."""

    per_second: float
    middle: float
    slowest: float
    number: int


def closet(number: int) -> dict[str, Any]:
    """A small brief that differs with its number."""
    return {
        "name": f"Closet {number}",
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 60 + number % 37}]},
        "needs": {"short_hang": 24, "shelf_length": 40 + number % 11},
        "options": {"alternatives": 2, "time_limit_s": 10},
    }


async def load(server: Server, ask: Ask, clients: int, seconds: float) -> Figures:
    """Figures of that many clients asking as fast as they are answered."""
    times: list[float] = []
    until = time.perf_counter() + seconds
    counter = iter(range(10**9))
    async with httpx.AsyncClient(base_url=server.url, timeout=60) as client:

        async def one() -> None:
            while time.perf_counter() < until:
                began = time.perf_counter()
                answer = await ask(client, next(counter))
                times.append(time.perf_counter() - began)
                if answer.status_code >= 400:
                    raise RuntimeError(answer.text[:300])

        began = time.perf_counter()
        await asyncio.gather(*(one() for _ in range(clients)))
        spent = time.perf_counter() - began
    times.sort()
    return Figures(
        len(times) / spent,
        1000 * statistics.median(times),
        1000 * times[min(len(times) - 1, int(0.99 * len(times)))],
        len(times),
    )


def asks(study: dict[str, Any], etag: str) -> dict[str, Ask]:
    """What is asked, by name."""
    here = f"/v1/studies/{study['id']}"
    wait = {"Prefer": "wait=30"}
    return {
        "read, whole study": lambda c, _: c.get(here),
        "read, not modified": lambda c, _: c.get(here, headers={"If-None-Match": etag}),
        "read, list of 20": lambda c, _: c.get("/v1/studies"),
        "validation": lambda c, n: c.post("/v1/validations", json=closet(n)),
        "solve, cached": lambda c, _: c.post("/v1/studies", json=closet(0), headers=wait),
        "solve, fresh": lambda c, n: c.post("/v1/studies", json=closet(1 + n), headers=wait),
    }


def overhead(server: Server, briefs: int) -> tuple[float, float]:
    """Seconds of a fresh study over HTTP and of the bare optimizer, medians."""
    over_http, bare = [], []
    scenario = server.client.get("/v1/scenarios/linen-closet").json()["brief"]
    for number in range(briefs):
        data = {**scenario, "name": f"Linen {number}"}
        began = time.perf_counter()
        answer = server.post(data, Prefer="wait=30")
        over_http.append(time.perf_counter() - began)
        if not answer.json()["layouts"]:
            raise RuntimeError(answer.text[:300])
        brief, warnings = read_brief(data)
        began = time.perf_counter()
        propose(brief, warnings=warnings)
        bare.append(time.perf_counter() - began)
    return statistics.median(over_http), statistics.median(bare)


def say(line: str) -> None:
    """Print a line."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def run(server: Server, clients: int, seconds: float) -> None:
    """Print every figure."""
    study = server.accept(closet(0), Prefer="wait=30")
    etag = server.client.get(f"/v1/studies/{study['id']}").headers["ETag"]
    say(f"{'':22}{'clients':>8}{'a second':>10}{'p50 ms':>9}{'p99 ms':>9}{'answers':>9}")
    for name, ask in asks(study, etag).items():
        for number in (1, clients):
            got = asyncio.run(load(server, ask, number, seconds))
            say(
                f"{name:22}{number:8}{got.per_second:10.1f}{got.middle:9.1f}"
                f"{got.slowest:9.1f}{got.number:9}"
            )
    http, bare = overhead(server, 12)
    say(f"fresh study {http:.3f} s, bare optimizer {bare:.3f} s: ratio {http / bare:.2f}")


def main() -> None:
    """Start a server, ask, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=5.0)
    parser.add_argument("--clients", type=int, default=16)
    parser.add_argument("--postgres", action="store_true")
    chosen = parser.parse_args()
    cluster = Cluster().start() if chosen.postgres else None
    with tempfile.TemporaryDirectory() as folder:
        server = Server(
            Path(folder),
            None if cluster is None else cluster.new_database(),
            runner="api.worker.optimizer_runner:OptimizerRunner",
            max_active_per_client=1000,
            log_level="warning",
        )
        try:
            run(server.start(), chosen.clients, chosen.seconds)
        finally:
            server.close()
            if cluster is not None:
                cluster.stop()


if __name__ == "__main__":
    sys.exit(main())
