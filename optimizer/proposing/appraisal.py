"""A layout drawn by hand: put in order, checked, measured and held against a study's own.

No solve: what it can come to at most is what the study has proved already.
"""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, TermName
from optimizer.domain.study import Study
from optimizer.errors import BuildError, Fault
from optimizer.explaining.tradeoffs import moved
from optimizer.geometry.outline import outline_of
from optimizer.geometry.stretches import survey
from optimizer.patterns.bay_rules import BayRules
from optimizer.proposing.assembly import measured, scored
from optimizer.proposing.grid_snap import snapped
from optimizer.scoring.terms import Frame

_NOTHING = 0.05
"""Points that are told as a difference, from this on."""


@dataclass(frozen=True, slots=True)
class Against:
    """A drawn layout held against one of the study's.

    `difference` is its score less that one's [points]; `terms` the same line by line, of those
    that differ; `changed` what stands otherwise; `bound` what no layout of the study's brief is
    proved to score above.
    """

    rank: int
    score: float
    difference: float
    terms: dict[TermName, float]
    changed: tuple[str, ...]
    bound: float
    summary: str


@dataclass(frozen=True, slots=True)
class Appraisal:
    """What is to be said of a drawn layout.

    `findings` point into `layout`, which is the drawn one in order: with metrics, strength and
    unmet needs where it can be measured, and scored where a study gives the scale.
    """

    layout: Layout
    findings: tuple[Fault, ...]
    measured: bool
    against: Against | None = None


class _SurveyedBrief:
    """A brief with all that measuring asks for."""

    def __init__(self, brief: Brief) -> None:
        """Surveys the room of `brief`; no patterns and no model are made."""
        self.brief = brief
        self.rules = BayRules(brief)
        self.surveyed = survey(brief, outline_of(brief.room, brief.units))
        self.frame = Frame(self.rules)


def appraise(brief: Brief, drawn: Layout, study: Study | None = None, rank: int = 1) -> Appraisal:
    """Put `drawn` in order, check and measure it; hold it against the study's layout of `rank`.

    Never raises for what is drawn wrongly: that is found and told. The study must be of the
    same brief, and have a layout of that rank where it has any.
    """
    # Only bays and mounts are taken: figures that were sent along are worked out anew.
    layout = snapped(brief, Layout(bays=drawn.bays, mounts=drawn.mounts))
    findings = check_layout(brief, layout)
    if not _measurable(brief, layout):
        return Appraisal(layout, findings, measured=False)
    basis = _SurveyedBrief(brief)
    try:
        layout = measured(basis, layout.bays, layout.mounts)
    except BuildError:
        # Bays in one another or outside their wall have no parts to count: a finding says so.
        return Appraisal(layout, findings, measured=False)
    if study is None or study.yardstick is None or not study.layouts:
        return Appraisal(layout, findings, measured=True)
    # Later layouts are bounded beside earlier ones; the greatest bound holds for any layout.
    bound = max(entry.bound for entry in study.layouts)
    layout = scored(basis, layout, study.yardstick, bound)
    other = next(entry for entry in study.layouts if entry.rank == rank)
    return Appraisal(layout, findings, True, _held(brief, layout, other, bound))


def _measurable(brief: Brief, layout: Layout) -> bool:
    """Whether everything that is named is there to be measured."""
    walls = {wall.id for wall in brief.room.walls}
    items = {item.id for item in brief.needs.items}
    kinds = {stored.kind for stored in brief.needs.stored}
    zones = [zone for bay in layout.bays for zone in bay.zones]
    return (
        all(bay.wall in walls and bay.zones for bay in layout.bays)
        and all(mount.wall in walls for mount in layout.mounts)
        and all(zone.depth is not None for zone in zones)
        and all((zone.kind == "rod") == (zone.rod_height is not None) for zone in zones)
        and all((zone.kind == "rod") == (zone.hang is not None) for zone in zones)
        and all(set(zone.items) <= items for zone in zones)
        and all(kept.kind in kinds for zone in zones for kept in zone.stored)
    )


def _held(brief: Brief, layout: Layout, other: Layout, bound: float) -> Against:
    """The layout beside another: score, terms and bays that differ."""
    difference = layout.score - other.score
    before = {term.name: term.points for term in other.terms}
    terms = {
        term.name: term.points - before.get(term.name, 0.0)
        for term in layout.terms
        if abs(term.points - before.get(term.name, 0.0)) >= _NOTHING
    }
    changed = moved(other, layout, brief)
    summary = _summary(difference, other.rank, terms, changed)
    return Against(other.rank, other.score, difference, terms, changed, bound, summary)


def _summary(
    difference: float, rank: int, terms: dict[TermName, float], changed: tuple[str, ...]
) -> str:
    """One line: how far apart, in which terms, and what stands otherwise."""
    if abs(difference) < _NOTHING:
        said = f"as good as layout {rank}"
    else:
        side = "over" if difference > 0 else "under"
        said = f"{abs(difference):.1f} points {side} layout {rank}"
    most = sorted(terms.items(), key=lambda entry: -abs(entry[1]))
    if most:
        told = ", ".join(f"{name.replace('_', ' ')} {points:+.1f}" for name, points in most)
        said = f"{said}: {told}"
    return f"{said}; {'; '.join(changed) if changed else 'nothing else changed'}"
