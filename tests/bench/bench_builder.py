"""What the first proposal of every scenario takes to build, and what it holds for it.

    python tests/bench/bench_builder.py [--only TEXT] [--json FILE] [--before FILE]
        [--studies PREFIX] [--holding]

Sheets are laid out as the build pack does, materials and hours are those of its quote; hang
and shelf lengths are in inches whatever the brief. `--json` stores the figures, `--before`
compares with figures stored earlier: every change in per cent of what it was. `--studies`
takes the layouts of studies stored as PREFIX.<scenario>.study.json instead of proposing
anew, their seconds too: figures of a study made by other code, priced by this one. `--holding`
asks each room for what its layout held before, class by class, and then for the least cost and
parts: what the same storage takes to build. By its own priorities a room gets more storage instead.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterable, Mapping
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from rich.console import Console
from rich.table import Table

from optimizer.briefs.scenarios import scenario_names
from optimizer.delivery.delivery import build_pack
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.needs import Hang
from optimizer.domain.pack import PartKind
from optimizer.domain.study import Study
from optimizer.patterns.bay_rules import BayRules
from optimizer.proposing import propose
from optimizer.units import floor_to
from tests.ready_briefs import load_scenario

Figures = dict[str, float]

CHEAP = {
    "hanging": 0.5,
    "shelving": 0.0,
    "open_floor": 0.0,
    "easy_reach": 0.0,
    "low_cost": 3.0,
    "simple_build": 3.0,
}
"""Priorities of whoever wants what was there before, and no more."""
ROUNDED_IN = 0.25
"""How much less of a length will do [in]: studs and the grid take as much."""

COLUMNS = (
    "parts", "uprights", "sheets", "materials", "hours", "score", "long", "medium", "short",
    "shelf", "seconds",
)  # fmt: skip
"""Figures in the order of the table."""

ADDED_UP = tuple(name for name in COLUMNS if name != "score")
"""Figures that make sense as a sum over rooms; of the score the mean is told."""


def figures_of(brief: Brief, layout: Layout, seconds: float) -> Figures:
    """Figures of one layout, its pack laid out for cutting."""
    delivery = build_pack(brief, layout)
    pack, metrics = delivery.pack, layout.metrics
    assert metrics is not None
    sheets, to_inch = delivery.plan.sheets, brief.units.to_inch
    return {
        "parts": sum(part.count for part in pack.parts),
        "uprights": sum(part.count for part in pack.parts if part.kind is PartKind.UPRIGHT),
        "sheets": 0 if sheets is None else sheets.bought,
        "materials": pack.quote.materials,
        "hours": pack.quote.hours,
        "score": layout.score,
        "long": to_inch(metrics.long_hang),
        "medium": to_inch(metrics.medium_hang),
        "short": to_inch(metrics.short_hang),
        "shelf": to_inch(metrics.shelf_length),
        "seconds": seconds,
    }


def proposed(brief: Brief) -> Study:
    """A study of a brief, without the search for repairs."""
    return propose(brief, repairs=False)


def holding(brief: Brief, before: Figures) -> Brief:
    """The brief that asks for as much of each kind of storage as a layout held before, and for
    nothing else but little cost and few parts."""
    rules, units = BayRules(brief), brief.units
    held = {hang: units.from_inch(before[hang.value] - ROUNDED_IN) for hang in Hang}
    needs = {f"{hang.value}_hang": max(rules.required[hang], held[hang]) for hang in Hang}
    shelf = units.from_inch(before["shelf"] - ROUNDED_IN)
    needs["shelf_length"] = max(brief.needs.shelf_length, shelf)
    # Lengths to hang take the place of the garments that they were reckoned from.
    changed = {"garments": (), **{name: floor_to(most, units.grid) for name, most in needs.items()}}
    return brief.model_copy(
        update={
            "needs": brief.needs.model_copy(update=changed),
            "priorities": brief.priorities.model_copy(update=CHEAP),
            "options": brief.options.model_copy(update={"alternatives": 1, "time_limit_s": 25.0}),
        }
    )


def stored(prefix: str, name: str) -> Study:
    """A study stored earlier."""
    text = Path(f"{prefix}.{name}.study.json").read_text(encoding="utf-8")
    return Study.model_validate_json(text)


def measured(
    names: Iterable[str], prefix: str | None, held: Mapping[str, Figures], say: Console
) -> dict[str, Figures]:
    """Figures of every scenario that has a layout, told as they come; of those in `held`, for what
    they held before."""
    found: dict[str, Figures] = {}
    for name in names:
        started = time.monotonic()
        brief = load_scenario(name)
        if name in held:
            brief = holding(brief, held[name])
        study = proposed(brief) if prefix is None else stored(prefix, name)
        seconds = time.monotonic() - started if prefix is None else study.seconds
        if not study.layouts:
            say.print(f"{name}: {study.status}, no layout")
            continue
        found[name] = figures_of(study.brief, study.layouts[0], seconds)
        say.print(f"{name}: {seconds:.1f} s", style="dim")
    return found


def totals(rooms: Mapping[str, Figures]) -> Figures:
    """Sums over rooms, and the mean score."""
    total = {key: sum(room[key] for room in rooms.values()) for key in COLUMNS}
    total["score"] /= max(1, len(rooms))
    return total


def change(now: float, before: float) -> str:
    """Change in per cent, or what there is now where there was nothing."""
    if before == 0:
        return "=" if now == 0 else f"new {now:.0f}"
    return f"{100.0 * (now - before) / before:+.1f} %"


def table_of(title: str, rows: Mapping[str, Mapping[str, str]]) -> Table:
    """One line for each room."""
    table = Table(title=title)
    table.add_column("room")
    for key in COLUMNS:
        table.add_column(key, justify="right")
    for name, row in rows.items():
        table.add_row(name, *(row[key] for key in COLUMNS))
    return table


def _written(figures: Figures) -> dict[str, str]:
    whole = ("parts", "uprights", "sheets")
    return {key: f"{figures[key]:.{0 if key in whole else 1}f}" for key in COLUMNS}


def _compared(now: Figures, before: Figures) -> dict[str, str]:
    return {key: change(now[key], before[key]) for key in COLUMNS}


def show(rooms: Mapping[str, Figures], before: Mapping[str, Figures], say: Console) -> None:
    """The table of figures, and the changes where there is something to compare with."""
    lines = {name: _written(room) for name, room in rooms.items()}
    say.print(table_of("First proposals", {**lines, "all": _written(totals(rooms))}))
    both = [name for name in rooms if name in before]
    if not both:
        return
    now, was = ({name: side[name] for name in both} for side in (rooms, before))
    changes = {name: _compared(now[name], was[name]) for name in both}
    say.print(
        table_of(
            "Change against the figures before",
            {**changes, f"all {len(both)}": _compared(totals(now), totals(was))},
        )
    )


def main() -> None:
    """Measure, store, compare."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--only", default="", help="scenarios whose name contains this")
    parser.add_argument("--json", type=Path, help="write the figures to this file")
    parser.add_argument("--before", type=Path, help="figures stored earlier")
    parser.add_argument("--studies", help="prefix of stored studies to take layouts from")
    parser.add_argument("--holding", action="store_true", help="ask for what was held before")
    asked = parser.parse_args()
    if asked.holding and not asked.before:
        parser.error("--holding needs the figures --before")
    say = Console(width=200)
    before = json.loads(asked.before.read_text(encoding="utf-8")) if asked.before else {}
    held = before if asked.holding else {}
    names = [name for name in scenario_names() if asked.only in name and name in (held or [name])]
    rooms = measured(names, asked.studies, held, say)
    if asked.json:
        asked.json.write_text(json.dumps(rooms, indent=1) + "\n", encoding="utf-8")
    show(rooms, before, say)


if __name__ == "__main__":
    main()
