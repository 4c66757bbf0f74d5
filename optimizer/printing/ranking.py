"""The ranked table of a study: one line a layout, then what each trades off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rich.console import Console
from rich.table import Table

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, Metrics
from optimizer.domain.study import Study
from optimizer.figures import at_most
from optimizer.printing.console import fits, make_table, print_bullet
from optimizer.printing.words import clean, strain_share
from optimizer.units import Units, format_short


@dataclass(frozen=True, slots=True)
class TableColumn:
    """One figure of a layout: its heading (short lines) and how it is written."""

    head: str
    cell: Callable[[Layout], str]


def pieces_wanted(brief: Brief) -> int:
    """How many pieces the brief asks to house."""
    return sum(item.count for item in brief.needs.items)


def _figure(write: Callable[[Metrics], str]) -> Callable[[Layout], str]:
    """A cell from the metrics; a dash where a layout comes without."""
    return lambda layout: write(layout.metrics) if layout.metrics else "-"


def score_columns() -> list[TableColumn]:
    """Score, bound and gap: how good a layout is and how well that is proved."""
    return [
        TableColumn("Score", lambda layout: f"{layout.score:.1f}"),
        TableColumn("Bound", lambda layout: at_most(layout.bound, 1)),
        TableColumn("Gap", lambda layout: f"{layout.gap * 100:.2f}%"),
    ]


def holding_columns(brief: Brief) -> list[TableColumn]:
    """What a layout holds, in the brief's units."""
    units, wanted = brief.units, pieces_wanted(brief)

    def length(name: str) -> Callable[[Layout], str]:
        """A column of one length of the metrics."""
        return _figure(lambda metrics: format_short(getattr(metrics, name), units))

    return [
        TableColumn("Long\nhang", length("long_hang")),
        TableColumn("Medium\nhang", length("medium_hang")),
        TableColumn("Short\nhang", length("short_hang")),
        TableColumn("Shelf", length("shelf_length")),
        TableColumn("Open\nfloor", length("open_floor")),
        TableColumn("Items\nin", _figure(lambda metrics: f"{metrics.items_housed}/{wanted}")),
    ]


def making_columns(study: Study) -> list[TableColumn]:
    """What a layout takes to make, and how near to a limit it is where that is told."""
    columns = [
        TableColumn("Cost", _figure(_cost)),
        TableColumn("Sheets", _figure(lambda metrics: f"{metrics.sheets}")),
        TableColumn("Parts", _figure(lambda metrics: f"{metrics.parts}")),
    ]
    if any(layout.structure for layout in study.layouts):
        columns.append(TableColumn("Peak\nload", _peak))
    return columns


def _cost(metrics: Metrics) -> str:
    """Material cost; one that is an estimate is marked."""
    about = "~" if metrics.cost_error > 0.0 else ""
    return f"{about}{metrics.material_cost:.0f}"


def _peak(layout: Layout) -> str:
    """The largest share of any limit; a dash where it is not told."""
    return strain_share(layout.structure.share) if layout.structure else "-"


def _table(study: Study, columns: list[TableColumn], gap: int = 2) -> Table:
    """The table with a row for every layout."""
    table = make_table(gap)
    for head in ["Rank", *(column.head for column in columns)]:
        table.add_column(head, justify="right", no_wrap=True)
    for layout in study.layouts:
        table.add_row(f"{layout.rank}", *(column.cell(layout) for column in columns))
    return table


def ranking_tables(console: Console, study: Study) -> list[Table]:
    """All figures in one table, or in two where the line is too narrow for one."""
    brief = study.brief
    columns = [*score_columns(), *holding_columns(brief), *making_columns(study)]
    # One table, if need be a tighter one: figures of one layout are compared along one line.
    for gap in (2, 1):
        whole = _table(study, columns, gap)
        if fits(console, whole):
            return [whole]
    return [
        _table(study, [*score_columns(), *making_columns(study)]),
        _table(study, holding_columns(brief)),
    ]


def units_line(units: Units) -> str:
    """What the figures of a table are in."""
    return "Lengths in inches." if units is Units.INCH else "Lengths in mm."


def cost_line(study: Study) -> str:
    """What the costs are made of, and how far an estimate may be off."""
    errors = [layout.metrics.cost_error for layout in study.layouts if layout.metrics]
    most = max(errors, default=0.0)
    rough = f" Those with ~ may be off by {most * 100:.0f}%." if most > 0.0 else ""
    return (
        "Cost: whole sheets, lengths, packs and cans as the build pack buys them, at this "
        f"program's invented prices, which have no currency; no labour.{rough}"
    )


PEAK_LINE = "Peak load: largest share that any part has of its limit of strength."


def bound_line(study: Study) -> str:
    """What the bound proves, no more and no less."""
    share = at_most(100 * (study.difference_proved or study.difference_asked), 0) + "%"
    return (
        "Score is out of 100. Bound: proved, no other layout of the bays that this program "
        f"builds scores more under the rules, among those that differ by at least {share} from "
        "every layout ranked above. Gap: bound "
        "less score, as a share of the score."
    )


def print_ranking(console: Console, study: Study) -> None:
    """Print the ranked table and, under it, what each layout gives up for what."""
    for table in ranking_tables(console, study):
        console.print()
        console.print(table)
    console.print()
    for layout in study.layouts:
        if layout.trade_off:
            print_bullet(console, clean(layout.trade_off), f"  {layout.rank}: ")
    peak = f" {PEAK_LINE}" if any(layout.structure for layout in study.layouts) else ""
    console.print(f"{units_line(study.brief.units)} {bound_line(study)}{peak} {cost_line(study)}")
