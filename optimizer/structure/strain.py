"""A strain: how much of its strength one part of a layout uses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from optimizer.structure.loads import weight_out
from optimizer.units import Units

SLACK = 1e-6
"""How far past 1 float noise may bring a share."""
MOST = 1e6
"""Largest share that is told, in place of an infinite one, which JSON has no number for."""

StrainKind = Literal["board", "rod", "upright", "cleat", "socket", "mid_support", "joint"]
Figure = tuple[str, float, str]
"""Name, value and unit of a number beside a strain; a share has the unit 1, a count none."""


@dataclass(frozen=True, slots=True)
class Strain:
    """What one part of a layout has to bear against what it can bear.

    `share` is demand over limit, 1 at the limit; both are in `unit`. `check` says which limit it
    is, `formula`, `source` and `figures` how it was worked out. `bays` are the ids of the bays that
    the part belongs to, `index` the place of the first of them in the layout, `part` its id in the
    build pack, `name` what messages call it.
    """

    bays: tuple[str, ...]
    index: int
    kind: StrainKind
    part: str
    name: str
    check: str
    share: float
    demand: float
    limit: float
    unit: str
    formula: str
    source: str
    figures: tuple[Figure, ...] = ()

    @property
    def passes(self) -> bool:
        """Whether it keeps within its limit."""
        return self.share <= 1.0 + SLACK


def weight_unit(units: Units) -> str:
    """Unit of weights: lb in inch briefs, kg in millimetre ones."""
    return "lb" if units is Units.INCH else "kg"


def in_weight(name: str, pounds: float, units: Units) -> Figure:
    """A weight as a figure."""
    return name, weight_out(pounds, units), weight_unit(units)


def load_of_brief(what: str, load: float, units: Units) -> Figure:
    """The brief's own load on shelves (by area) or on rods (by length)."""
    per = ("sq ft", "ft") if units is Units.INCH else ("m2", "m")
    unit = f"{weight_unit(units)}/{per[0 if what == 'shelf' else 1]}"
    return f"{what} load of the brief", load, unit
