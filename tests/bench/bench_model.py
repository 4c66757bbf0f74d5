"""How long layouts take, next to a plain grid model in HiGHS and in CP-SAT, and to our own model
given whole to HiGHS and to SCIP, in one run.

    python tests/bench/bench_model.py [--only TEXT] [--peer-seconds 10] [--grid 2] [--no-peers]

Each room runs in a process of its own, so that its peak memory is its own. `first` is the
time to the first solution, `told` to the first layout that is placed, provisional or not, `proof`
to the first layout within the gap, `all` to the end of the asked alternatives; all four count from
the start and include `build`. A peer's ratio is its time over ours to the proof, `>` where it ended
without one; its first solution only, no alternatives. Peers that are given our own model are
reckoned with its `build` as well.
"""

from __future__ import annotations

import argparse
import multiprocessing
import resource
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from rich.console import Console
from rich.table import Table

from optimizer.domain.brief import Brief
from optimizer.model.search.alternatives import Found, Search
from optimizer.model.search.rounds import Times, alternatives
from tests.bench.grid import GridModel
from tests.bench.peers import Answer, by_cp_sat, by_highs, whole_by_highs, whole_by_scip
from tests.bench.rooms import family, scenarios, walk_ins

COLUMNS = (
    "room", "build s", "first s", "told s", "proof s", "all s", "layouts", "score", "gap %",
    "nodes", "MB", "grid s", "grid gap %", "grid x", "CP-SAT s", "CP-SAT gap %", "CP-SAT x",
    "HiGHS s", "HiGHS gap %", "HiGHS x", "SCIP s", "SCIP gap %", "SCIP x",
)  # fmt: skip


@dataclass
class Ours:
    """How the optimizer fared with one room; times in seconds from the start."""

    build: float = 0.0
    first: float | None = None
    told: float | None = None
    proof: float | None = None
    end: float = 0.0
    layouts: int = 0
    score: float | None = None
    gap: float | None = None
    nodes: int = 0
    memory: float = 0.0


@dataclass
class Row:
    """One room: ours, and the peers if they were run."""

    name: str
    ours: Ours
    grid: Answer | None = None
    cp: Answer | None = None
    highs: Answer | None = None
    scip: Answer | None = None


def measure(brief: Brief) -> tuple[Ours, Search]:
    """Build the model and find the asked alternatives."""
    started, ours = time.monotonic(), Ours()
    search = Search(brief)
    ours.build = time.monotonic() - started

    def seen(_: int, __: float, ___: float) -> None:
        if ours.first is None:
            ours.first = time.monotonic() - started

    def told(*_: object) -> None:
        if ours.told is None:
            ours.told = time.monotonic() - started

    deadline, least = started + brief.options.time_limit_s, search.least_difference
    for result in alternatives(search, Times(deadline), least=least, seen=seen, provisional=told):
        ours.nodes += result.outcome.nodes or 0
        if not isinstance(result, Found):
            continue
        ours.layouts += 1
        now = time.monotonic() - started
        ours.first = now if ours.first is None else ours.first
        ours.told = now if ours.told is None else ours.told
        if ours.layouts == 1:
            ours.score, ours.gap = result.outcome.objective, result.outcome.gap
            proved = ours.gap is not None and ours.gap <= brief.options.gap + 1e-9
            ours.proof = now if proved else None
    ours.end = time.monotonic() - started
    # Kilobytes on Linux; the peak of this process before any peer runs in it.
    ours.memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return ours, search


def run(name: str, raw: str, options: argparse.Namespace) -> Row:
    """One room in this process."""
    brief = Brief.model_validate_json(raw)
    ours, search = measure(brief)
    row = Row(name, ours)
    if options.peers:
        # The peers see the room as surveyed, without what was forbidden on the way.
        fresh = Search(brief, search.yardstick)
        linear = GridModel(fresh, brief.units.from_inch(options.grid)).linear
        limits = {"gap": brief.options.gap, "seconds": options.peer_seconds}
        row.grid = by_highs(linear, **limits)
        row.cp = by_cp_sat(linear, **limits)
        # SCIP first: it leaves the variables as they are, HiGHS puts its solution into them.
        row.scip = _with_build(whole_by_scip(fresh, **limits), ours)
        row.highs = _with_build(whole_by_highs(fresh, **limits), ours)
    return row


def _with_build(answer: Answer, ours: Ours) -> Answer:
    """A peer's answer on our model, which was built first."""
    return replace(answer, seconds=answer.seconds + ours.build)


def _figure(value: float | None, digits: int = 2, scale: float = 1.0) -> str:
    return "-" if value is None else f"{scale * value:.{digits}f}"


def _peer(answer: Answer | None, ours: Ours, gap: float) -> list[str]:
    if answer is None:
        return ["", "", ""]
    proved = answer.gap is not None and answer.gap <= gap + 1e-6
    ratio = None if ours.proof is None else answer.seconds / ours.proof
    mark = "" if proved or ratio is None else "> "
    return [
        _figure(answer.seconds),
        _figure(answer.gap, 2, 100),
        mark + _figure(ratio, 1),
    ]


def cells(row: Row, gap: float) -> list[str]:
    """A row of the table."""
    ours = row.ours
    return [
        row.name,
        _figure(ours.build),
        _figure(ours.first),
        _figure(ours.told),
        _figure(ours.proof),
        _figure(ours.end),
        str(ours.layouts),
        _figure(ours.score, 1),
        _figure(ours.gap, 2, 100),
        str(ours.nodes),
        _figure(ours.memory, 0),
        *_peer(row.grid, ours, gap),
        *_peer(row.cp, ours, gap),
        *_peer(row.highs, ours, gap),
        *_peer(row.scip, ours, gap),
    ]


def options_of(arguments: list[str]) -> argparse.Namespace:
    """What the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--only", default="", help="rooms whose name holds this")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--grid", type=float, default=2.0, help="peers' grid [in]")
    parser.add_argument("--peer-seconds", type=float, default=10.0)
    parser.add_argument("--time-limit", type=float, default=20.0)
    parser.add_argument("--alternatives", type=int, default=5)
    parser.add_argument("--gap", type=float, default=0.005)
    parser.add_argument("--no-peers", dest="peers", action="store_false")
    return parser.parse_args(arguments)


def main(arguments: list[str]) -> None:
    """Run every room asked for and print the table."""
    options = options_of(arguments)
    asked = {
        "alternatives": options.alternatives,
        "gap": options.gap,
        "time_limit_s": options.time_limit,
    }
    console = Console(width=260, highlight=False)
    table = Table(*COLUMNS)
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(1, mp_context=context, max_tasks_per_child=1) as pool:
        for name, brief in {**family(options.seed), **walk_ins(), **scenarios()}.items():
            if options.only not in name:
                continue
            chosen = brief.options.model_copy(update=asked)
            raw = brief.model_copy(update={"options": chosen}).model_dump_json()
            row = pool.submit(run, name, raw, options).result()
            table.add_row(*cells(row, options.gap))
            console.print(" | ".join(cells(row, options.gap)))
    console.print(table)


if __name__ == "__main__":
    main(sys.argv[1:])
