"""Layouts of a study side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from api.studies.reading import Chosen
from optimizer.domain.brief import Brief
from optimizer.domain.fields import reading_units
from optimizer.domain.layout import Layout, Metrics
from optimizer.explaining.tradeoffs import moved, trade_off
from optimizer.scoring.distance import differences, storage_walls
from optimizer.units import Units


@dataclass(frozen=True, slots=True)
class Figure:
    """A metric: its name, unit and whether more or less of it is better."""

    name: str
    unit: str
    better: str


def figures(units: Units) -> tuple[Figure, ...]:
    """Every metric of a layout, in the order of a layout's own."""
    area = f"{units.value}2"
    kinds = {
        "shelf_area": (area, "more"),
        "items_housed": ("pieces", "more"),
        "material_cost": ("currency", "less"),
        "sheets": ("sheets", "less"),
        "parts": ("parts", "less"),
    }
    return tuple(
        Figure(name, *kinds.get(name, (units.value, "more"))) for name in Metrics.model_fields
    )


def compare(chosen: Chosen) -> dict[str, Any]:
    """The comparison of a study's chosen layouts."""
    brief = Brief.model_validate(chosen.brief)
    with reading_units(brief.units):
        layouts = [Layout.model_validate(layout) for layout in chosen.layouts]
        apart = differences(layouts, brief, storage_walls(brief))
    return {
        "study": chosen.study_id,
        "units": brief.units.value,
        "layouts": [_layout(layouts[0], layout, brief) for layout in layouts],
        "metrics": [_metric(figure, layouts) for figure in figures(brief.units)],
        "terms": _terms(layouts),
        "differences": [list(row) for row in apart],
    }


def _layout(first: Layout, layout: Layout, brief: Brief) -> dict[str, Any]:
    other = layout is not first
    return {
        "rank": layout.rank,
        "score": layout.score,
        "bound": layout.bound,
        "gap": layout.gap,
        "unmet": [unmet.model_dump(mode="json") for unmet in layout.unmet],
        "trade_off": trade_off(first, layout, brief) if other else "",
        "moved": list(moved(first, layout, brief)) if other else [],
    }


def _metric(figure: Figure, layouts: Sequence[Layout]) -> dict[str, Any]:
    values = [
        None if layout.metrics is None else float(getattr(layout.metrics, figure.name))
        for layout in layouts
    ]
    known = [value for value in values if value is not None]
    best = (max if figure.better == "more" else min)(known, default=None)
    return {
        "name": figure.name,
        "unit": figure.unit,
        "better": figure.better,
        "values": values,
        "best": [
            layout.rank
            for layout, value in zip(layouts, values, strict=True)
            if value is not None and value == best
        ],
    }


def _terms(layouts: Sequence[Layout]) -> list[dict[str, Any]]:
    """The lines of the score that all of the layouts have."""
    by_name = [{term.name: term for term in layout.terms} for layout in layouts]
    return [
        {
            "name": term.name.value,
            "weight": term.weight,
            "values": [terms[term.name].value for terms in by_name],
            "points": [terms[term.name].points for terms in by_name],
        }
        for term in layouts[0].terms
        if all(term.name in terms for terms in by_name)
    ]
