"""Whether time limits hold in a room of twenty-four walls, and what is found within them.

    python tests/bench/bench_limits.py [--limits 1 5 30 60]

Sixty outlets, forty kinds of items, ten alternatives. Each limit runs in a process of its own:
`took` is from the start to the whole study, explanations included, `MB` the process's peak memory.
"""

from __future__ import annotations

import argparse
import itertools
import multiprocessing
import resource
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from rich.console import Console
from rich.table import Table

from optimizer.domain.brief import Brief
from optimizer.proposing import propose

LIMITS = (1.0, 5.0, 12.0, 30.0, 60.0)
NICHES = 5
OUTLETS = 60
KINDS = 40


def large_room(limit: float) -> Brief:
    """A room with five niches in one side, things of every size, and a time limit [s]."""
    niche = [(40.0, "outside"), (26.0, "inside"), (60.0, "inside"), (26.0, "outside")]
    rest = [
        (40.0, "inside"),
        (150.0, "inside"),
        (NICHES * 100.0 + 40.0, "inside"),
        (150.0, "inside"),
    ]
    walls: list[dict[str, Any]] = [
        {"id": f"w{number}", "length": length, "corner": corner}
        for number, (length, corner) in enumerate([*(niche * NICHES), *rest])
    ]
    outlets: dict[tuple[str, int], dict[str, Any]] = {}
    for number, wall in zip(range(OUTLETS), itertools.cycle(walls), strict=False):
        turn = number // len(walls)
        start = 3 + (9 * turn + number) % max(1, int(wall["length"] - 10))
        bottom = 12 + number % 3 * 30
        # Two of them in one place would be one.
        outlets[wall["id"], start // 4] = {
            "wall": wall["id"], "start": start, "width": 3, "bottom": bottom, "height": 5,
            "kind": "outlet", "may_cover": True,
        }  # fmt: skip
    items = [
        {
            "id": f"thing {n}", "width": 8 + n % 17, "depth": 8 + n % 9, "height": 6 + n % 23,
            "place": "any" if n % 3 else "floor", "count": 1 + n % 2,
        }
        for n in range(KINDS)
    ]  # fmt: skip
    door = {"wall": "w22", "start": 250, "width": 30, "height": 80, "kind": "hinged_out"}
    return Brief.model_validate(
        {
            "name": "twenty-four walls",
            "units": "in",
            "room": {
                "ceiling_height": 96,
                "walls": walls,
                "openings": [door],
                "obstructions": list(outlets.values()),
            },
            "needs": {
                "long_hang": 60, "short_hang": 300, "shelf_length": 600, "shelf_spacing": 12,
                "shelf_depth": 14, "aisle": 30, "items": items,
            },
            "options": {"alternatives": 10, "time_limit_s": limit},
        }
    )  # fmt: skip


def run(limit: float) -> tuple[str, ...]:
    """One row of the table."""
    started = time.monotonic()
    study = propose(large_room(limit))
    took = time.monotonic() - started
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    scores = ", ".join(f"{layout.score:.1f}" for layout in study.layouts) or "-"
    return f"{limit:g}", f"{took:.2f}", study.status.value, scores, f"{memory:.0f}"


def main() -> None:
    """Run the room under each limit and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--limits", type=float, nargs="+", default=list(LIMITS), metavar="S")
    table = Table("limit s", "took s", "status", "scores", "MB")
    spawn = multiprocessing.get_context("spawn")
    for limit in parser.parse_args().limits:
        with ProcessPoolExecutor(1, mp_context=spawn) as pool:
            table.add_row(*pool.submit(run, limit).result())
    Console(width=120).print(table)


if __name__ == "__main__":
    main()
