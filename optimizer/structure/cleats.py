"""Cleats on studs: what the fasteners hold, and what a loaded shelf asks of them.

A cleat is fastened through drywall, which bears little: it counts as a gap. Forces inside
are in pounds, what comes out in pounds for inch briefs and kilograms for millimetre ones.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from optimizer.domain.construction import Construction, Fastener
from optimizer.reference.materials import stock
from optimizer.structure.fasteners import (
    LASTING_LOAD_FACTOR,
    Driven,
    Kind,
    brad,
    lateral,
    withdrawal,
    wood_screw,
)
from optimizer.structure.loads import area_load_psi, board_pressure_psi, weight_out
from optimizer.units import Units

DRYWALL_IN = 0.5
"""Thickness of common wallboard: common practice."""

SAFE_PENETRATION_IN = 1.25
"""How far a fastener may go into a stud, since cables and pipes lie deeper: common practice."""

SCREW_LENGTHS_IN = (1.25, 1.5, 1.75, 2.0, 2.5, 3.0)
"""Lengths that shops stock: common practice."""

BRAD_LENGTH_IN = 2.0
BRADS_PER_STUD = 3
"""Three brads, or one screw, at each stud: common practice."""

MAX_SIDE_GRAVITY = 0.50
"""Highest specific gravity credited to a panel where a fastener bears on it: NDS rates wood
structural panels at 0.42 to 0.50 and gives no higher figure for MDF or particleboard (from
memory)."""


@dataclass(frozen=True, slots=True)
class StudCapacity:
    """What the fasteners at one stud hold under a lasting load [lb or kg].

    `embedment` [brief units] is how far they are in the stud.
    """

    fastener: str
    count: int
    embedment: float
    withdrawal: float
    shear: float


@dataclass(frozen=True, slots=True)
class StudDemand:
    """What a loaded shelf asks of the fasteners at one stud [lb or kg]."""

    shear: float
    withdrawal: float


@dataclass(frozen=True, slots=True)
class CleatCheck:
    """Demand at one stud against screws and brads; shares above 1 fall short."""

    demand: StudDemand
    screws: StudCapacity
    brads: StudCapacity
    screws_share: float
    brads_share: float
    chosen: Fastener

    @property
    def share(self) -> float:
        """Used share of what the chosen fastener holds."""
        return self.screws_share if self.chosen is Fastener.SCREWS else self.brads_share

    @property
    def passes(self) -> bool:
        """Whether the chosen fastener holds the shelf."""
        return self.share <= 1.0

    @property
    def screws_advised(self) -> bool:
        """Whether brads alone fall short where screws would do."""
        return self.brads_share > 1.0 >= self.screws_share


def screw_for(cleat: float, number: int = 8, board: float = DRYWALL_IN) -> Driven:
    """Longest stock screw that keeps within the safe penetration [in], the shortest failing that.

    2-1/2 in for a 3/4 in cleat on 1/2 in wallboard.
    """
    longest = cleat + board + SAFE_PENETRATION_IN + 1e-9
    fitting = [length for length in SCREW_LENGTHS_IN if length <= longest]
    return wood_screw(number, max(fitting, default=SCREW_LENGTHS_IN[0]))


def embedment_in(fastener: Driven, cleat: float, board: float = DRYWALL_IN) -> float:
    """How far a fastener goes into the stud [in]: length less cleat and board, at least 0."""
    return max(0.0, fastener.length - cleat - board)


def _held(
    fastener: Driven, count: int, construction: Construction, units: Units
) -> tuple[float, float]:
    """Withdrawal and shear [lb] that `count` fasteners at one stud hold under a lasting load."""
    cleat = units.to_inch(construction.cleat_thickness)
    embedment = embedment_in(fastener, cleat)
    side = min(MAX_SIDE_GRAVITY, stock(construction.material).gravity)
    factor = count * LASTING_LOAD_FACTOR
    return (
        factor * withdrawal(fastener, embedment),
        factor * lateral(fastener, cleat, embedment, side_gravity=side, gap=DRYWALL_IN),
    )


def stud_capacity(
    fastener: Driven, count: int, construction: Construction, units: Units
) -> StudCapacity:
    """What `count` fasteners through the cleat of a brief hold at one stud."""
    pull, shear = _held(fastener, count, construction, units)
    embedment = embedment_in(fastener, units.to_inch(construction.cleat_thickness))
    return StudCapacity(
        fastener=fastener.name,
        count=count,
        embedment=units.from_inch(embedment),
        withdrawal=weight_out(pull, units),
        shear=weight_out(shear, units),
    )


def _asked(
    construction: Construction, units: Units, depth: float, spacing: float
) -> tuple[float, float]:
    """Shear and withdrawal [lb] at one stud, for a shelf `depth` deep [brief units].

    The back cleat is given half of the shelf: the cleats on the uprights hold the rest. Its
    load sits in the middle of the cleat's thickness and turns it about its lower edge, which
    the fastener at mid-height holds.
    """
    inches = units.to_inch(depth)
    pressure = area_load_psi(construction.shelf_load, units) + board_pressure_psi(
        construction, units
    )
    shear = pressure * inches / 2.0 * units.to_inch(spacing)
    return shear, shear * construction.cleat_thickness / construction.cleat_height


def combined_share(kind: Kind, shear: tuple[float, float], pull: tuple[float, float]) -> float:
    """Used share of a fastener pulled and sheared at once; each pair is demand, capacity.

    NDS 12.4.1: screws by the Hankinson form, nails in a straight line (from memory).
    """
    if shear[1] <= 0.0 or pull[1] <= 0.0:
        return math.inf
    parts = (shear[0] / shear[1], pull[0] / pull[1])
    if kind is Kind.NAIL:
        return sum(parts)
    resultant = math.hypot(shear[0], pull[0])
    if resultant == 0.0:
        return 0.0
    return (parts[0] * shear[0] + parts[1] * pull[0]) / resultant


def cleat_check(
    construction: Construction, units: Units, depth: float, spacing: float | None = None
) -> CleatCheck:
    """A back cleat under a shelf of `depth`, fastened at studs `spacing` apart [brief units].

    Without a spacing, studs are 16 in on centre (common practice).
    """
    apart = units.from_inch(16.0) if spacing is None else spacing
    screw = screw_for(units.to_inch(construction.cleat_thickness))
    nail = brad(18, BRAD_LENGTH_IN)
    shear, pull = _asked(construction, units, depth, apart)

    def share(fastener: Driven, count: int) -> float:
        held_pull, held_shear = _held(fastener, count, construction, units)
        return combined_share(fastener.kind, (shear, held_shear), (pull, held_pull))

    return CleatCheck(
        demand=StudDemand(weight_out(shear, units), weight_out(pull, units)),
        screws=stud_capacity(screw, 1, construction, units),
        brads=stud_capacity(nail, BRADS_PER_STUD, construction, units),
        screws_share=share(screw, 1),
        brads_share=share(nail, BRADS_PER_STUD),
        chosen=construction.fastener,
    )
