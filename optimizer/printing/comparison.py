"""Layouts of one study side by side, each figure with its difference to the first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import attrgetter

from rich.console import Console

from optimizer.domain.layout import LENGTH_WORDS, Layout, Metrics
from optimizer.domain.room import Wall
from optimizer.domain.study import Study
from optimizer.printing.console import make_table
from optimizer.printing.details import TERM_WORDS, bays_of, unmet_words
from optimizer.printing.words import clean, describe_bay
from optimizer.units import Units, format_length, format_short

_COUNTS = {"items_housed": "items housed", "sheets": "sheets", "parts": "parts"}


def _cells(values: Sequence[float | None], write: Callable[[float], str]) -> list[str]:
    """Each value written out, with its difference to the first where there is one."""
    first = values[0] if values else None
    cells = []
    for value in values:
        if value is None:
            cells.append("-")
            continue
        text = write(value)
        # Told only where it shows at the precision of the text.
        change = write(value - first) if first is not None else ""
        if first is not None and change != write(0.0):
            text += f" ({'+' if value > first else ''}{change})"
        cells.append(text)
    return cells


def _of_metrics(layouts: Sequence[Layout], read: Callable[[Metrics], float]) -> list[float | None]:
    """One figure of every layout; None where a layout has no metrics."""
    return [read(layout.metrics) if layout.metrics else None for layout in layouts]


def _figure_rows(layouts: Sequence[Layout], units: Units) -> list[list[str]]:
    """Score, what each holds and what each takes."""
    rows = [["score", *_cells([layout.score for layout in layouts], lambda v: f"{v:.1f}")]]
    for name, words in LENGTH_WORDS.items():
        values = _of_metrics(layouts, attrgetter(name))
        rows.append([words, *_cells(values, lambda value: format_short(value, units))])
    for name, words in _COUNTS.items():
        values = _of_metrics(layouts, attrgetter(name))
        rows.append([words, *_cells(values, lambda value: f"{value:.0f}")])
    costs = _of_metrics(layouts, lambda metrics: metrics.material_cost)
    rows.append(["material cost", *_cells(costs, lambda value: f"{value:.2f}")])
    return rows


def _term_rows(layouts: Sequence[Layout]) -> list[list[str]]:
    """Points of each score line."""
    rows = []
    for name, words in TERM_WORDS.items():
        points = [
            next((term.points for term in layout.terms if term.name is name), None)
            for layout in layouts
        ]
        if any(value is not None for value in points):
            rows.append([f"points, {words}", *_cells(points, lambda value: f"{value:.1f}")])
    return rows


def _wall_row(layouts: Sequence[Layout], wall: Wall, units: Units) -> list[str]:
    """What stands on one wall, from left to right, in each layout."""
    cells = []
    for layout in layouts:
        bays = bays_of(layout, wall)
        words = [f"{format_length(bay.width, units)} {describe_bay(bay)}" for bay in bays]
        cells.append("\n".join(words) or "-")
    return [f"wall {wall.id}", *cells]


def _unmet_row(layouts: Sequence[Layout], units: Units) -> list[str]:
    """What each layout leaves unmet."""
    cells = []
    for layout in layouts:
        # Without the reason in brackets: the cells are narrow, and `show` has it in full.
        words = [unmet_words(unmet, units).split(" (", maxsplit=1)[0] for unmet in layout.unmet]
        cells.append("\n".join(words) or "none")
    return ["unmet needs", *cells]


def print_comparison(console: Console, study: Study, ranks: Sequence[int]) -> None:
    """Print the layouts of those ranks side by side.

    Raises KeyError for a rank the study does not have.
    """
    by_rank = {layout.rank: layout for layout in study.layouts}
    layouts = [by_rank[rank] for rank in ranks]
    units = study.brief.units
    console.print(
        f"{clean(study.brief.name)}: in brackets, the difference to layout {ranks[0]}",
        style="bold",
    )
    table = make_table()
    table.add_column("", no_wrap=True)
    for rank in ranks:
        table.add_column(f"Layout {rank}")
    # Walls that some layout uses.
    walls = [
        wall for wall in study.brief.room.walls if any(bays_of(layout, wall) for layout in layouts)
    ]
    for row in [
        *_figure_rows(layouts, units),
        *_term_rows(layouts),
        _unmet_row(layouts, units),
        *(_wall_row(layouts, wall, units) for wall in walls),
    ]:
        table.add_row(*row)
    console.print(table)
