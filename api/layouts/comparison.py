"""Layouts of a study side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from api.layouts.schemas import ComparedLayout, ComparedMetric, ComparedTerm, Comparison
from api.studies.lookup import Chosen
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, Metrics
from optimizer.explaining.tradeoffs import moved, trade_off
from optimizer.scoring.distance import differences, storage_walls
from optimizer.units import Units

Better = Literal["more", "less"]


@dataclass(frozen=True, slots=True)
class MetricKind:
    """A metric: its name, unit and whether more or less of it is better."""

    name: str
    unit: str
    better: Better


def figures(units: Units) -> tuple[MetricKind, ...]:
    """Every metric of a layout, in the order of a layout's own."""
    area = f"{units.value}2"
    # Whatever else a layout measures is a length, and more of it is better.
    kinds: dict[str, tuple[str, Better]] = {
        "shelf_area": (area, "more"),
        "items_housed": ("pieces", "more"),
        "material_cost": ("currency", "less"),
        "sheets": ("sheets", "less"),
        "parts": ("parts", "less"),
    }
    return tuple(
        MetricKind(name, *kinds.get(name, (units.value, "more"))) for name in Metrics.model_fields
    )


def compare(chosen: Chosen) -> Comparison:
    """The comparison of a study's chosen layouts."""
    brief = Brief.model_validate(chosen.brief)
    layouts = [Layout.model_validate(layout, context=brief.units) for layout in chosen.layouts]
    apart = differences(layouts, brief, storage_walls(brief))
    return Comparison(
        study=chosen.study_id,
        units=brief.units.value,
        layouts=tuple(_layout(layouts[0], layout, brief) for layout in layouts),
        metrics=tuple(_metric(figure, layouts) for figure in figures(brief.units)),
        terms=tuple(_terms(layouts)),
        differences=tuple(tuple(row) for row in apart),
    )


def _layout(first: Layout, layout: Layout, brief: Brief) -> ComparedLayout:
    """One layout beside the first."""
    other = layout is not first
    return ComparedLayout(
        rank=layout.rank,
        score=layout.score,
        bound=layout.bound,
        gap=layout.gap,
        unmet=layout.unmet,
        trade_off=trade_off(first, layout, brief) if other else "",
        moved=tuple(moved(first, layout, brief)) if other else (),
    )


def _metric(figure: MetricKind, layouts: Sequence[Layout]) -> ComparedMetric:
    """One metric of all layouts, and which of them are best at it."""
    values = [
        None if layout.metrics is None else float(getattr(layout.metrics, figure.name))
        for layout in layouts
    ]
    known = [value for value in values if value is not None]
    # Equal values are all best: ranks, not one rank.
    best = (max if figure.better == "more" else min)(known, default=None)
    return ComparedMetric(
        name=figure.name,
        unit=figure.unit,
        better=figure.better,
        values=tuple(values),
        best=tuple(
            layout.rank
            for layout, value in zip(layouts, values, strict=True)
            if value is not None and value == best
        ),
    )


def _terms(layouts: Sequence[Layout]) -> list[ComparedTerm]:
    """The lines of the score that all of the layouts have."""
    by_name = [{term.name: term for term in layout.terms} for layout in layouts]
    return [
        ComparedTerm(
            name=term.name,
            weight=term.weight,
            values=tuple(terms[term.name].value for terms in by_name),
            points=tuple(terms[term.name].points for terms in by_name),
        )
        for term in layouts[0].terms
        # A layout stored by an earlier version may lack a term of today's.
        if all(term.name in terms for terms in by_name)
    ]
