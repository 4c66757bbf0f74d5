"""What a shelf or a rod does under its load: sag now and later, and stress.

The rule on spans leaves own weight and shear out, as published span tables do. A check judges
by that rule, and reports beside it the sag with own weight counted.
"""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.construction import Construction
from optimizer.reference.materials import (
    PANEL_POISSON,
    creep_of,
    rod,
    rod_creep,
    stock,
)
from optimizer.structure.beams import bending_stress, deflection, largest_moment, patched_span
from optimizer.structure.limits import WOOD_STRESS_SHARE, rod_stress_share, shelf_section
from optimizer.structure.loads import (
    area_load_psi,
    board_pressure_psi,
    line_load_lb_in,
)
from optimizer.structure.plates import free_edge, patched_edge, plate_rigidity
from optimizer.units import Units


@dataclass(frozen=True, slots=True)
class Patch:
    """The load that the end of another wall's board puts on a board's front edge.

    `load` [lb], its own weight counted, is spread over `length` [brief units] from one end.
    """

    length: float
    load: float


@dataclass(frozen=True, slots=True)
class SpanCheck:
    """Sag [brief units] and bending of one span.

    * `sag`: elastic, under the design load, with the lowest stiffness of the stock.
    * `sag_lasting`: the same after creep. The rule on spans is about this one.
    * `sag_mean`: as `sag_lasting`, with the mean stiffness of the stock.
    * `sag_in_all`: as `sag_lasting`, with the own weight added.
    * `limit`: the sag allowed, span / `deflection_ratio`.
    * `stress_share`: bending stress, own weight counted, over what is allowed under a lasting load.
    * `works_as`: what the figures take it for: "plate", "beam" or "stiffened beam".
    """

    span: float
    sag: float
    sag_lasting: float
    sag_mean: float
    sag_in_all: float
    limit: float
    stress_share: float
    works_as: str

    @property
    def sag_share(self) -> float:
        """Lasting sag over its limit."""
        return self.sag_lasting / self.limit

    @property
    def passes(self) -> bool:
        """Whether the lasting sag keeps within the limit."""
        return self.sag_lasting <= self.limit * (1.0 + 1e-9)


@dataclass(frozen=True, slots=True)
class _Bent:
    """Elastic sag [in] and stress [psi] under a pressure of 1 psi; `works_as` as in `SpanCheck`."""

    sag: float
    stress: float
    works_as: str


def _as_plate(
    construction: Construction, units: Units, depth: float, span: float, patch: tuple[float, float]
) -> _Bent:
    """A board as a plate; `patch` is its share of the span and of the whole load."""
    thickness = units.to_inch(construction.panel_thickness)
    modulus = stock(construction.material).modulus_low
    if patch[1] > 0.0:
        edge = patched_edge(depth / span, PANEL_POISSON, *patch)
    else:
        edge = free_edge(depth / span, PANEL_POISSON)
    rigidity = plate_rigidity(modulus, thickness, PANEL_POISSON)
    return _Bent(
        edge.deflection * span**4 / rigidity, 6.0 * edge.moment * span**2 / thickness**2, "plate"
    )


def _as_beam(
    construction: Construction,
    units: Units,
    depth: float,
    span: float,
    patch: tuple[float, float],
    *,
    stiffened: bool,
) -> _Bent:
    """A board as a simple beam, with its stiffener or without; `patch` as in `_as_plate`."""
    # `depth` is in inches here, and the section is asked for in brief units.
    section = shelf_section(construction, units, units.from_inch(depth), stiffened=stiffened)
    rigidity = stock(construction.material).modulus_low * section.inertia
    # A simple span under an even load.
    factors = (5.0 / 384.0, 1.0 / 8.0)
    if patch[1] > 0.0:
        factors = patched_span(*patch)
    moment = factors[1] * depth * span**2
    return _Bent(
        factors[0] * depth * span**4 / rigidity,
        bending_stress(moment, section),
        "stiffened beam" if stiffened else "beam",
    )


def shelf_check(
    construction: Construction,
    units: Units,
    depth: float,
    span: float,
    *,
    stiffened: bool = False,
    backed: bool = True,
    patch: Patch | None = None,
) -> SpanCheck:
    """A shelf board of `depth` over an effective `span` [brief units], under `shelf_load`.

    Stock that is as stiff along as across (MDF, particleboard) is taken for a plate held at three
    edges; any other, and a board that is not `backed` by a cleat, for a simple beam. A stiffened
    board is taken for whichever sags less: the board without its stiffener, or the simple beam with
    it. `patch` is what the next wall's board
    puts on its front edge. Raises ZeroDivisionError for a board without depth.
    """
    board = stock(construction.material)
    inches, deep = units.to_inch(span), units.to_inch(depth)
    load = area_load_psi(construction.shelf_load, units)
    own = board_pressure_psi(construction, units)
    at = (0.0, 0.0)
    if patch is not None and patch.load > 0.0:
        # Own weight counts for stress alone, in what is brought as in what is there.
        at = (min(1.0, patch.length / span), patch.load / ((load + own) * inches * deep))
    # All ways in which the board may work; the least sag and the least stress are kept below.
    found = []
    if stiffened:
        found.append(_as_beam(construction, units, deep, inches, at, stiffened=True))
    if not board.in_plane_alike or not backed:
        found.append(_as_beam(construction, units, deep, inches, at, stiffened=False))
    else:
        found.append(_as_plate(construction, units, deep, inches, at))
    stiff = min(found, key=lambda bent: bent.sag)
    strength = WOOD_STRESS_SHARE * board.rupture
    creep, sag = creep_of(construction), units.from_inch(stiff.sag * load)
    # Of sag and of stress the least each: however the board works, it holds in one of these ways.
    stress = min(bent.stress for bent in found) * (load + own)
    return SpanCheck(
        span=span,
        sag=sag,
        sag_lasting=sag * creep,
        sag_mean=sag * creep * board.modulus_low / board.modulus,
        sag_in_all=sag * creep * (load + own) / load,
        limit=span / construction.deflection_ratio,
        stress_share=stress / strength,
        works_as=stiff.works_as,
    )


def rod_check(construction: Construction, units: Units, span: float) -> SpanCheck:
    """The rod in stock over a piece `span` long [brief units], under `rod_load`.

    Shear is left out of a rod's sag: a rod is at least 12 times as long as it is thick.
    """
    chosen = rod(construction.rod_stock)
    inches = units.to_inch(span)
    load = line_load_lb_in(construction.rod_load, units)
    # Stock lists give pounds a foot.
    own = chosen.weight / 12.0
    sag = units.from_inch(deflection(load * inches, inches, chosen.modulus_low * chosen.inertia))
    creep = rod_creep(construction)
    # Its own weight bends it too; the sag that is limited is that of the clothes.
    moment = largest_moment((load + own) * inches, inches)
    stress = moment * chosen.outside / 2.0 / chosen.inertia
    return SpanCheck(
        span=span,
        sag=sag,
        sag_lasting=sag * creep,
        sag_mean=sag * creep * chosen.modulus_low / chosen.modulus,
        sag_in_all=sag * creep * (load + own) / load,
        limit=span / construction.deflection_ratio,
        stress_share=stress / chosen.rupture / rod_stress_share(construction),
        works_as="beam",
    )
