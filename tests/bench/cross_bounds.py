"""Do the bounds of a study hold against what studies of the same brief with other seeds find?

    python tests/bench/cross_bounds.py [--rooms 30] [--from 0] [--seeds 3] [--time-limit 10]

Of the walk-ins and the scenarios, and so many ordinary rooms. Nothing that is far enough from the
layouts before it may score above a layout's bound: each layout of one study is held against each
bound of the others. Prints a line a room; the exit status is 1 where a bound does not hold.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from itertools import permutations
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from rich.console import Console

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study
from optimizer.errors import BriefError
from optimizer.proposing import propose
from optimizer.scoring.distance import differences, storage_walls
from tests.bench.ordinary_rooms import ordinary_brief
from tests.bench.rooms import scenarios, walk_ins

SAY = Console(highlight=False, soft_wrap=True, markup=False)
ROUNDING = 1e-4
"""Points: solvers' tolerances."""


def broken(study: Study, others: Study) -> Iterator[str]:
    """Bounds of a study that layouts of another one exceed, though they are far enough from all
    that come before."""
    walls = storage_walls(study.brief)
    for layout in others.layouts:
        far = differences([layout, *study.layouts], study.brief, walls)[0][1:]
        for place, bounded in enumerate(study.layouts):
            if min(far[:place], default=1.0) < study.difference_proved:
                break
            if layout.score > bounded.bound + ROUNDING:
                yield f"layout {place + 1} bounded by {bounded.bound:.4f}, found {layout.score:.4f}"


def crossed(name: str, brief: Brief, seeds: int, limit: float) -> bool:
    """Whether a room's bounds hold against each other seed's layouts."""
    studies = []
    for seed in range(seeds):
        options = {"seed": seed, "time_limit_s": limit, "gap": 0.005}
        varied = brief.model_copy(update={"options": brief.options.model_copy(update=options)})
        studies.append(propose(varied, repairs=False))
    faults = [fault for one, other in permutations(studies, 2) for fault in broken(one, other)]
    told = "; ".join(_told(study.layouts) for study in studies)
    SAY.print(name, "BROKEN: " + ", ".join(faults) if faults else "holds", told, sep=" | ")
    return not faults


def _told(layouts: tuple[Layout, ...]) -> str:
    """Scores and bounds of layouts."""
    return " ".join(f"{layout.score:.2f}/{layout.bound:.2f}" for layout in layouts)


def _rooms(first: int, count: int) -> Iterator[tuple[str, Brief]]:
    """The rooms by name."""
    yield from walk_ins().items()
    yield from scenarios().items()
    for seed in range(first, first + count):
        try:
            yield f"ordinary {seed}", read_brief(ordinary_brief(seed))[0]
        except BriefError:
            continue


def main() -> int:
    """Cross them all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rooms", type=int, default=30)
    parser.add_argument("--from", dest="first", type=int, default=0, help="seed of the first room")
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--time-limit", type=float, default=10.0)
    given = parser.parse_args()
    held = [
        crossed(name, brief, given.seeds, given.time_limit)
        for name, brief in _rooms(given.first, given.rooms)
    ]
    SAY.print(f"{sum(held)} of {len(held)} hold")
    return 0 if all(held) else 1


if __name__ == "__main__":
    raise SystemExit(main())
