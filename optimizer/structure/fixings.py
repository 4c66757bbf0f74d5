"""Which screw or brad fastens what, how long it may be, and what it holds.

Capacities are reference values of the National Design Specification (NDS) for a lasting load,
worked out by `optimizer.structure.fasteners`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from optimizer.domain.construction import Construction, Fastener, Material
from optimizer.domain.room import Wall
from optimizer.domain.studs import stud_centres
from optimizer.errors import BuildError
from optimizer.reference.materials import stock
from optimizer.structure.fasteners import (
    LASTING_LOAD_FACTOR,
    Driven,
    brad,
    lateral,
    reduction,
    withdrawal,
    wood_screw,
    yield_loads,
)
from optimizer.units import Units, format_inches

SCREW_KEY = "cleat_screw"
BRAD_KEY = "cleat_brad"
PANEL_SCREW_KEY = "panel_screw"
STIFFENER_SCREW_KEY = "stiffener_screw"

SCREW_LENGTHS = {
    Units.INCH: (1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0),
    Units.MILLIMETRE: (25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0),
}
"""Lengths that shops stock: common practice."""
BRAD_LENGTHS = {
    Units.INCH: (1.25, 1.5, 1.75, 2.0),
    Units.MILLIMETRE: (30.0, 35.0, 40.0, 45.0, 50.0),
}
"""Lengths of 18 gauge brads: common practice."""
TOUCH_IN = 1e-3
"""Float noise taken at borders [in], as everywhere in the rules of a layout."""
STUD_EDGE_IN = 0.75
"""Least distance of a fastener from the end of a cleat: common practice against splitting."""
BREAK_THROUGH_IN = 0.0625
"""How far a screw stays short of the far face of a panel: common practice."""
DEEP_IN = 1.5
"""How deep a screw goes into the edge of a stiffener at most: common practice."""
PANEL_SCREW_SPACING_IN = 6.0
"""Screws of side cleats and stiffeners are at most this far apart: common practice."""
BRADS_PER_STUD = 3
"""Three brads, or one screw, at each stud: common practice."""
MOST_SCREWS = 2
"""Screws that fit above one another at a stud in a cleat 2 in high: common practice."""
MAX_SIDE_GRAVITY = 0.50
"""Highest specific gravity credited to a panel that a fastener bears on or is driven into: NDS
rates wood structural panels at 0.42 to 0.50 and gives no higher figure for MDF or particleboard
(from memory)."""
STRIP_GRAVITY = stock(Material.WHITE_PINE).gravity
"""Specific gravity credited to cleat strips: the lightest softwood in stock."""


@dataclass(frozen=True, slots=True)
class Fixing:
    """A fastener with its length [brief units] and how many go in at one place."""

    key: str
    driven: Driven
    length: float
    each: int
    units: Units

    @property
    def name(self) -> str:
        """What to ask for: '#8 x 2-1/2" screw', '18 ga x 50 mm brad'."""
        inch = self.units is Units.INCH
        size = format_inches(self.length) if inch else f"{self.length:.0f} mm"
        if self.key.endswith("brad"):
            return f"18 ga x {size} brad"
        number = f"#{round((self.driven.diameter - 0.06) / 0.013)}"
        shank = number if inch else f"{self.driven.diameter * 25.4:.1f} mm ({number})"
        return f"{shank} x {size} screw"


def length_limit(construction: Construction, packing: float = 0.0) -> float:
    """Longest fastener [brief units] through a cleat that stays off cables and pipes.

    Cleat + what it is packed out by + wallboard + `stud_penetration`: 2-1/2 in as a rule.
    """
    return (
        construction.cleat_thickness
        + packing
        + construction.wallboard_thickness
        + construction.stud_penetration
    )


def _longest(lengths: tuple[float, ...], limit: float) -> float | None:
    """The longest of these lengths that keeps within a limit; None where none does."""
    fitting = [length for length in lengths if length <= limit + 1e-9]
    return max(fitting, default=None)


def stud_fixing(
    construction: Construction, units: Units, packing: float = 0.0, *, kind: Fastener | None = None
) -> Fixing:
    """What fastens a cleat to a stud: one #8 screw or three 18 gauge brads (common practice).

    The longest in stock within `length_limit`; BuildError where none is short enough.
    """
    chosen = construction.fastener if kind is None else kind
    screws = chosen is Fastener.SCREWS
    lengths = (SCREW_LENGTHS if screws else BRAD_LENGTHS)[units]
    limit = length_limit(construction, packing)
    length = _longest(lengths, limit)
    if length is None:
        raise BuildError(
            f"cleats: no {chosen.value[:-1]} in stock is as short as {limit:g} {units.value}, the "
            "longest that stays off cables and pipes"
        )
    inches = units.to_inch(length)
    driven = wood_screw(8, inches) if screws else brad(18, inches)
    return Fixing(
        key=SCREW_KEY if screws else BRAD_KEY,
        driven=driven,
        length=length,
        each=1 if screws else BRADS_PER_STUD,
        units=units,
    )


def stud_holds(
    driven: Driven, count: int, construction: Construction, units: Units, packing: float = 0.0
) -> tuple[float, float]:
    """Shear and withdrawal [lb] of `count` fasteners through a cleat into one stud.

    Wallboard and packing count as a gap that bears nothing.
    """
    cleat = units.to_inch(construction.cleat_thickness)
    gap = units.to_inch(construction.wallboard_thickness + packing)
    # What is left of the fastener behind cleat, packing and wallboard: that alone is in the stud.
    embedment = max(0.0, driven.length - cleat - gap)
    factor = count * LASTING_LOAD_FACTOR
    shear = lateral(driven, cleat, embedment, side_gravity=STRIP_GRAVITY, gap=gap)
    return factor * shear, factor * withdrawal(driven, embedment)


def panel_fixing(construction: Construction, units: Units) -> Fixing:
    """The screw of a side cleat into its upright: the longest that does not break through.

    BuildError where cleat and panel are too thin for any in stock.
    """
    limit = (
        construction.cleat_thickness
        + construction.panel_thickness
        - units.from_inch(BREAK_THROUGH_IN)
    )
    length = _longest(SCREW_LENGTHS[units], limit)
    # It would end in the cleat.
    if length is None or length <= construction.cleat_thickness:
        raise BuildError(
            f"side cleats: no screw in stock goes through a cleat {construction.cleat_thickness:g} "
            f"thick into a panel {construction.panel_thickness:g} thick"
        )
    driven = wood_screw(8, units.to_inch(length))
    return Fixing(PANEL_SCREW_KEY, driven, length, 1, units)


def stiffener_fixing(construction: Construction, units: Units) -> Fixing | None:
    """The screw through a board into the edge of its stiffener: the longest that stays in it, up
    to 1-1/2 in deep; None where both are too thin for any in stock."""
    panel = construction.panel_thickness
    deep = min(construction.stiffener_height, units.from_inch(DEEP_IN))
    length = _longest(SCREW_LENGTHS[units], panel + deep - units.from_inch(BREAK_THROUGH_IN))
    if length is None or length <= panel:
        return None
    return Fixing(STIFFENER_SCREW_KEY, wood_screw(8, units.to_inch(length)), length, 1, units)


def panel_screw_shear(construction: Construction, units: Units) -> float:
    """Shear [lb] that one screw of a side cleat holds in the face of an upright.

    NDS asks for 6 diameters of penetration, more than a panel is thick: the yield equations
    are used beyond that, with the real penetration, and the cleat is glued as well.
    """
    fixing = panel_fixing(construction, units)
    cleat = units.to_inch(construction.cleat_thickness)
    loads = yield_loads(
        fixing.driven,
        cleat,
        fixing.driven.length - cleat,
        side_gravity=STRIP_GRAVITY,
        gravity=min(MAX_SIDE_GRAVITY, stock(construction.material).gravity),
    )
    return LASTING_LOAD_FACTOR * min(loads.values()) / reduction(fixing.driven.diameter)


def spaced(length: float, units: Units, spacing_in: float = PANEL_SCREW_SPACING_IN) -> int:
    """Fasteners along `length` [brief units] at most `spacing_in` apart, one at each end."""
    return max(2, math.ceil(units.to_inch(length) / spacing_in - 1e-9) + 1)


def studs_caught(wall: Wall, start: float, end: float, units: Units) -> tuple[float, ...]:
    """Stud centres that a cleat from `start` to `end` can be fastened to.

    A fastener stays 3/4 in clear of the ends of the cleat (common practice).
    """
    edge, slack = units.from_inch(STUD_EDGE_IN), units.from_inch(TOUCH_IN)
    centres = stud_centres(wall, units)
    return tuple(c for c in centres if start + edge - slack <= c <= end - edge + slack)
