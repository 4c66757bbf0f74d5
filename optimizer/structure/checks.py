"""What a shelf or a rod does under its load: sag now and later, and stress.

The rule on spans leaves own weight and shear out, as published span tables do. A check judges
by that rule, and reports beside it the sag with everything counted.
"""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.construction import Construction
from optimizer.reference.materials import rod, stock
from optimizer.structure.beams import (
    Ends,
    bending_stress,
    deflection,
    largest_moment,
    shear_rigidity,
)
from optimizer.structure.loads import (
    CUBIC_INCHES_PER_CUBIC_FOOT,
    area_load_psi,
    line_load_lb_in,
)
from optimizer.structure.spans import rod_creep, shelf_section
from optimizer.units import Units


@dataclass(frozen=True, slots=True)
class SpanCheck:
    """Sag [brief units] and bending of one span.

    Under the design load: `sag`, elastic on simple supports; `sag_clamped`, the least it
    could be, with ends held against turning; `sag_lasting`, after creep, which the rule is
    about; `sag_lasting_low`, the same with the lowest published stiffness, None where there is
    no other. `sag_in_all` adds own weight and shear to `sag_lasting`. `limit` is span /
    `deflection_ratio`. `stress_share` is bending stress, own weight counted, over the modulus
    of rupture (steel: over the yield strength).
    """

    span: float
    sag: float
    sag_clamped: float
    sag_lasting: float
    sag_lasting_low: float | None
    sag_in_all: float
    limit: float
    stress_share: float

    @property
    def passes(self) -> bool:
        """Whether the lasting sag keeps within the limit."""
        return self.sag_lasting <= self.limit * (1.0 + 1e-9)


def shelf_check(
    construction: Construction, units: Units, depth: float, span: float, *, stiffened: bool
) -> SpanCheck:
    """A shelf board of `depth` over a bay `span` wide [brief units], under `shelf_load`."""
    board = stock(construction.material)
    section = shelf_section(construction, units, depth, stiffened=stiffened)
    inches = units.to_inch(span)
    load = area_load_psi(construction.shelf_load, units) * units.to_inch(depth) * inches
    own = section.area * board.density / CUBIC_INCHES_PER_CUBIC_FOOT * inches
    rigidity = board.modulus * section.inertia
    creep = construction.creep_factor
    sag = units.from_inch(deflection(load, inches, rigidity))
    low = board.modulus_low
    shear = shear_rigidity(section, board.shear_modulus)
    moment = largest_moment(load + own, inches)
    return SpanCheck(
        span=span,
        sag=sag,
        sag_clamped=units.from_inch(deflection(load, inches, rigidity, Ends.CLAMPED)),
        sag_lasting=sag * creep,
        sag_lasting_low=None if low is None else sag * creep * board.modulus / low,
        sag_in_all=units.from_inch(deflection(load + own, inches, rigidity, shear=shear)) * creep,
        limit=span / construction.deflection_ratio,
        stress_share=bending_stress(moment, section) / board.rupture,
    )


def rod_check(construction: Construction, units: Units, span: float) -> SpanCheck:
    """The rod in stock over a bay `span` wide [brief units], under `rod_load`.

    Shear is left out of a rod's sag: a rod is at least 12 times as long as it is thick.
    """
    chosen = rod(construction.rod_stock)
    inches = units.to_inch(span)
    load = line_load_lb_in(construction.rod_load, units) * inches
    own = chosen.weight / 12.0 * inches
    rigidity = chosen.modulus * chosen.inertia
    creep = rod_creep(chosen, construction)
    sag = units.from_inch(deflection(load, inches, rigidity))
    stress = largest_moment(load + own, inches) * chosen.outside / 2.0 / chosen.inertia
    return SpanCheck(
        span=span,
        sag=sag,
        sag_clamped=units.from_inch(deflection(load, inches, rigidity, Ends.CLAMPED)),
        sag_lasting=sag * creep,
        sag_lasting_low=None,
        sag_in_all=units.from_inch(deflection(load + own, inches, rigidity)) * creep,
        limit=span / construction.deflection_ratio,
        stress_share=stress / chosen.rupture,
    )
