"""Nesting: processor seconds and sheets over the bound, against a packing library in the same run.

    python -m tests.bench.bench_nesting [--lists N] [--steps STEPS]

Closet-like lists are made up from fixed seeds; published instances from `tests.nesting.lists`.
The peer is rectpack: the best of its 18 guillotine heuristics, which cut in any number of
stages and prove nothing. Ratios are ours over theirs.
"""

from __future__ import annotations

import argparse
import math
import statistics
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import rectpack

from optimizer.domain.sheets import SheetPart, StockSheet
from optimizer.nesting import nest
from optimizer.nesting.effort import STEPS
from optimizer.units import Units
from tests.nesting.lists import KERF, SHEET, closet_parts, published, published_case

GUILLOTINE = [getattr(rectpack, name) for name in dir(rectpack) if name.startswith("Guillotine")]
SIZES = (20, 40, 60, 90, 120)


@dataclass(frozen=True)
class Case:
    """One list to cut."""

    group: str
    parts: Sequence[SheetPart]
    sheet: StockSheet
    kerf: float
    units: Units


@dataclass(frozen=True)
class Row:
    """What one case took."""

    sheets: int
    bound: int
    seconds: float
    peer_sheets: int
    peer_seconds: float


def cases(lists: int) -> Iterator[Case]:
    """Closet-like lists by size and turning, then the published instances."""
    for can_turn in (False, True):
        for size in SIZES:
            group = f"closet {size:3d} parts, {'turning' if can_turn else 'grain'}"
            for seed in range(lists):
                parts = closet_parts(1000 * size + seed, size, can_turn)
                yield Case(group, parts, SHEET, KERF, Units.INCH)
    for name in published():
        fixed, sheet = published_case(name)
        free = [part.model_copy(update={"can_turn": True}) for part in fixed]
        yield Case("published, grain", fixed, sheet, 0, Units.MILLIMETRE)
        yield Case("published, turning", free, sheet, 0, Units.MILLIMETRE)


def measure(case: Case, steps: int) -> Row:
    """Cut one case with both."""
    started = time.process_time()
    ours = nest(case.parts, [case.sheet], kerf=case.kerf, units=case.units, steps=steps)
    between = time.process_time()
    theirs = min(packed(case, algorithm) for algorithm in GUILLOTINE)
    return Row(
        ours.bought,
        ours.lower_bound,
        between - started,
        theirs,
        time.process_time() - between,
    )


def packed(case: Case, algorithm: type) -> int:
    """Sheets that one of rectpack's heuristics needs; kerf as growth of parts and sheet."""
    scale = 32 if case.units is Units.INCH else 10
    packer = rectpack.newPacker(
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=algorithm,
        sort_algo=rectpack.SORT_AREA,
        rotation=any(part.can_turn for part in case.parts),
    )
    for part in case.parts:
        for _ in range(part.count):
            packer.add_rect(*(round((a + case.kerf) * scale) for a in (part.length, part.width)))
    sheet = case.sheet
    sizes = (round((side + case.kerf) * scale) for side in (sheet.width, sheet.height))
    packer.add_bin(*sizes, count=math.inf)
    packer.pack()
    return len(packer)


def summary(group: str, rows: Sequence[Row]) -> str:
    """One line of the table."""
    seconds = sorted(row.seconds for row in rows)
    over = [row.sheets - row.bound for row in rows]
    ratio = sum(row.sheets for row in rows) / sum(row.peer_sheets for row in rows)
    slower = statistics.median(row.seconds / row.peer_seconds for row in rows)
    fewer = sum(row.sheets < row.peer_sheets for row in rows)
    more = sum(row.sheets > row.peer_sheets for row in rows)
    return (
        f"{group:28s} {len(rows):4d} {statistics.median(seconds):8.3f} {seconds[-1]:8.2f} "
        f"{over.count(0):7d} {max(over):5d} {ratio:8.3f} {fewer:6d} {more:6d} {slower:8.1f}\n"
    )


def main() -> None:
    """Run all cases and print a line for each group."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--lists", type=int, default=10, help="closet-like lists of each size")
    parser.add_argument("--steps", type=int, default=STEPS, help="budget for each list")
    options = parser.parse_args()
    sys.stdout.write(
        f"{'':28s} {'n':>4s} {'median s':>8s} {'max s':>8s} {'proved':>7s} {'over':>5s} "
        f"{'sheets':>8s} {'fewer':>6s} {'more':>6s} {'time':>8s}\n"
        f"{'':63s} {'ratio to the packing library':>31s}\n"
    )
    groups: dict[str, list[Row]] = {}
    for case in cases(options.lists):
        groups.setdefault(case.group, []).append(measure(case, options.steps))
    for group, rows in groups.items():
        sys.stdout.write(summary(group, rows))


if __name__ == "__main__":
    main()
