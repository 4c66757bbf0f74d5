"""What would mend a failed check, worked out: each mend comes with the share it would use."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.construction import RodStock
from optimizer.domain.layout import Bay, Layout
from optimizer.parts.job import Job
from optimizer.structure.assessment import assess
from optimizer.structure.strain import Strain
from optimizer.units import Units

THICKNESSES = {
    Units.INCH: (0.75, 1.0, 1.25, 1.5),
    Units.MILLIMETRE: (18.0, 22.0, 25.0, 30.0, 36.0),
}
"""Thicknesses to be had, the largest by doubling: common practice."""

_Try = tuple[str, Brief, Layout]


def mends_of(strain: Strain, job: Job) -> tuple[str, ...]:
    """Single changes that would bring a failed part within its limit, in words.

    Each is tried by working the whole layout out again, and told with the share that the part then
    uses. Changes that do not help are left out.
    """
    found = []
    for words, brief, layout in _tries(strain, job):
        # All of the layout anew: a mend here may be a load there.
        share = _share_of(strain, brief, layout)
        if share <= 1.0 + 1e-6:
            found.append(f"{words}: uses {share:.0%}")
    return tuple(found)


def _share_of(strain: Strain, brief: Brief, layout: Layout) -> float:
    """The share that the same part uses under another brief or in another layout."""
    same = [
        s.share for s in assess(brief, layout) if (s.kind, s.part) == (strain.kind, strain.part)
    ]
    return max(same, default=float("inf"))


def _tries(strain: Strain, job: Job) -> Iterator[_Try]:
    """Changes worth trying for what failed: in words, and as a brief and a layout."""
    rules, layout, brief = job.construction, job.layout, job.brief
    for name in strain.bays:
        yield from _at_bay(strain, job, job.layout.bays[job.standing.index[name]])
    if strain.kind == "mid_support" and rules.mid_support == "triangle":
        yield "brackets in place of triangles", _with(brief, mid_support="bracket"), layout
    if strain.kind == "upright":
        half = rules.upright_hold / 2.0
        words = f"its back edge held every {job.short(half)}"
        yield words, _with(brief, upright_hold=half), layout
    if strain.kind == "rod" and rules.rod_stock is RodStock.WOOD_DOWEL:
        steel = _with(brief, rod_stock=RodStock.STEEL_TUBE)
        yield "steel tube in place of the dowel", steel, layout
    if strain.kind in ("board", "upright"):
        # The next thicker stock only.
        for thickness in THICKNESSES[job.units]:
            if thickness > rules.panel_thickness + job.tolerance:
                words = f"stock {job.short(thickness)} thick"
                yield words, _with(brief, panel_thickness=thickness), layout
                break


def _at_bay(strain: Strain, job: Job, bay: Bay) -> Iterator[_Try]:
    """A mid support on the stud nearest to the middle, or a stiffener."""
    rules = job.construction
    studs = [at for at in job.standing.studs[bay.wall] if bay.start < at < bay.end]
    free = [at for at in studs if at not in bay.mid_supports]
    if free and rules.mid_support != "none" and not bay.stiffened:
        middle = bay.start + bay.width / 2.0
        # The one that halves the span as nearly as studs allow.
        at = min(free, key=lambda place: abs(place - middle))
        held = _changed(job, bay, mid_supports=tuple(sorted((*bay.mid_supports, at))))
        where = job.short(at - bay.start)
        yield f"a mid support {where} from the left end of bay {bay.id}", job.brief, held
    # Only for plain boards: a bay has mid supports or a stiffener, not both.
    plain = strain.kind == "board" and not bay.stiffened and not bay.mid_supports
    if plain and rules.stiffener_allowed:
        words = f"a front stiffener {job.short(rules.stiffener_height)} high"
        yield words, job.brief, _changed(job, bay, stiffened=True)


def _with(brief: Brief, **changes: Any) -> Brief:
    """The brief with other rules of construction."""
    rules = brief.construction.model_copy(update=changes)
    return brief.model_copy(update={"construction": rules})


def _changed(job: Job, bay: Bay, **changes: Any) -> Layout:
    """The layout with one bay changed."""
    other = bay.model_copy(update=changes)
    bays = tuple(other if each is bay else each for each in job.layout.bays)
    return job.layout.model_copy(update={"bays": bays})
