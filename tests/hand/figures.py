"""Figures by which a layout drawn by hand and a proposal are compared."""

from __future__ import annotations

from dataclasses import dataclass, fields

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.pack import PartKind
from optimizer.domain.study import Yardstick
from optimizer.model.search.alternatives import Search
from optimizer.proposing.assembly import assembled
from optimizer.reference.prices import invented_prices
from optimizer.stocking import stocked

NEAT_WIDTHS = 0.1
"""Points of score that widths in eighths, equal in equal bays, may cost."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Score, what a layout holds [brief units], and what it takes by its own build pack.

    `sheets` are laid out for real; `sheet_area` is what ends up in parts [square units].
    """

    score: float
    long_hang: float
    medium_hang: float
    short_hang: float
    shelf_length: float
    items_housed: int
    uprights: int
    parts: int
    sheets: int
    sheet_area: float
    material_cost: float


def figures_of(brief: Brief, layout: Layout, yardstick: Yardstick) -> Figures:
    """Figures of a layout, scored on `yardstick`: proposals and drawings by one scale."""
    # Zones made on the way are checked against the limits of the brief's units.
    scored = assembled(Search(brief, yardstick), layout.bays, 0.0, "")
    metrics = scored.metrics
    assert metrics is not None
    found = stocked(brief, layout, invented_prices())
    parts, plan = found.parts, found.plan
    cut_up = plan.sheets.sheets if plan.sheets is not None else ()
    return Figures(
        score=scored.score,
        long_hang=metrics.long_hang,
        medium_hang=metrics.medium_hang,
        short_hang=metrics.short_hang,
        shelf_length=metrics.shelf_length,
        items_housed=metrics.items_housed,
        uprights=sum(part.count for part in parts if part.kind is PartKind.UPRIGHT),
        parts=sum(part.count for part in parts),
        sheets=plan.sheets.bought if plan.sheets is not None else 0,
        sheet_area=sum(sheet.part_area for sheet in cut_up),
        material_cost=metrics.material_cost,
    )


def table_of(columns: dict[str, Figures]) -> str:
    """One line for each figure, one column for each layout."""
    head = f"{'':14}" + "".join(f"{name:>14}" for name in columns)
    lines = [head]
    for item in fields(Figures):
        values = [float(getattr(figures, item.name)) for figures in columns.values()]
        lines.append(f"{item.name:14}" + "".join(f"{value:14.2f}" for value in values))
    return "\n".join(lines)


def where_short(proposed: Figures, by_hand: Figures) -> list[str]:
    """Names of the figures in which a proposal is worse than the layout drawn by hand."""
    worse = ["score"] if proposed.score < by_hand.score - NEAT_WIDTHS else []
    more = ("uprights", "parts", "sheets")
    return worse + [m for m in more if getattr(proposed, m) > getattr(by_hand, m)]
