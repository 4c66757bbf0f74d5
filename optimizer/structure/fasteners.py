"""Wood screws, lag screws and nails: what they hold in withdrawal and sideways.

National Design Specification for Wood Construction (NDS), chapter 12; lengths in inches,
forces in pounds. Reference values are for ten years of load in dry wood; G is the specific
gravity of the piece that holds the point.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

STUD_GRAVITY = 0.42
"""Spruce-pine-fir studs: NDS 2018, Table 12.3.3A (in a restatement)."""

LASTING_LOAD_FACTOR = 0.9
"""C_D for a permanent load: NDS 2018, Table 2.3.2 (in a restatement)."""


class FastenerKind(StrEnum):
    """Kind of fastener: which formula for withdrawal holds for it."""

    WOOD_SCREW = "wood screw"
    LAG_SCREW = "lag screw"
    NAIL = "nail"


@dataclass(frozen=True, slots=True)
class Driven:
    """A fastener: diameters and length [in], bending yield strength [psi].

    `root` is the diameter that bends and bears sideways: at the root of the thread, or the
    shank of a nail.
    """

    name: str
    kind: FastenerKind
    diameter: float
    root: float
    length: float
    bending_yield: float

    @property
    def thread(self) -> float:
        """Length that holds in withdrawal: all of a nail, 2/3 of a wood screw.

        NDS 2018, Appendix L, Table L3 (in a restatement).
        """
        return self.length * 2.0 / 3.0 if self.kind is FastenerKind.WOOD_SCREW else self.length


def wood_screw(number: int, length: float) -> Driven:
    """A wood screw by its number, 6 to 10, and length [in].

    Root diameters: NDS Table L3; bending yield: NDS Table I1; both from memory, those of
    number 10 seen in the American Wood Council's solved example E2.4.
    """
    root, bending_yield = {6: (0.113, 100e3), 8: (0.131, 90e3), 10: (0.152, 80e3)}[number]
    diameter = 0.060 + 0.013 * number
    return Driven(
        f"#{number} x {length:g} in wood screw",
        FastenerKind.WOOD_SCREW,
        diameter,
        root,
        length,
        bending_yield,
    )


def brad(gauge: int, length: float) -> Driven:
    """A wire brad of 15, 16 or 18 gauge and `length` [in].

    Diameters: steel wire gauge. Bending yield 100,000 psi: NDS Table I1 for the thinnest nails
    it lists, taken for thinner wire too, which tests stronger.
    """
    diameter = {15: 0.072, 16: 0.0625, 18: 0.0475}[gauge]
    return Driven(
        f"{gauge} ga x {length:g} in brad", FastenerKind.NAIL, diameter, diameter, length, 100e3
    )


def withdrawal_per_inch(fastener: Driven, gravity: float = STUD_GRAVITY) -> float:
    """Reference withdrawal [lb per inch of thread or shank] from side grain.

    NDS 12.2: lag screw 1800 G^3/2 D^3/4, wood screw 2850 G^2 D, nail 1380 G^5/2 D.
    """
    if fastener.kind is FastenerKind.LAG_SCREW:
        return 1800.0 * math.pow(gravity, 1.5) * math.pow(fastener.diameter, 0.75)
    if fastener.kind is FastenerKind.WOOD_SCREW:
        return 2850.0 * gravity**2 * fastener.diameter
    return 1380.0 * math.pow(gravity, 2.5) * fastener.diameter


def withdrawal(fastener: Driven, embedment: float, gravity: float = STUD_GRAVITY) -> float:
    """Reference withdrawal [lb] of a fastener `embedment` deep in the holding piece."""
    held = min(max(embedment, 0.0), fastener.thread)
    return withdrawal_per_inch(fastener, gravity) * held


def bearing_strength(gravity: float) -> float:
    """Dowel bearing strength [psi] of wood for fasteners under 1/4 in.

    NDS Table 12.3.3, footnote: 16,600 G^1.84.
    """
    return 16_600.0 * math.pow(gravity, 1.84)


STEEL_BEARING_PSI = 61_850.0
"""Dowel bearing strength of sheet steel, ASTM A653 grade 33: NDS 2018, Appendix I.2
and the notes of Table 12P (in a restatement)."""


def reduction(diameter: float) -> float:
    """R_d for fasteners under 1/4 in: 2.2 up to 0.17 in, else 10 D + 0.5 (NDS Table 12.3.1B).

    For threaded ones with the nominal diameter, which is on the safe side.
    """
    return 2.2 if diameter <= 0.17 else 10.0 * diameter + 0.5


def _root(a: float, b: float, c: float) -> float:
    """Positive root of a P^2 + b P + c = 0."""
    return (-b + math.sqrt(b * b - 4.0 * a * c)) / (2.0 * a)


def yield_loads(
    fastener: Driven,
    side: float,
    embedment: float,
    *,
    side_gravity: float,
    gravity: float = STUD_GRAVITY,
    gap: float = 0.0,
    steel: bool = False,
) -> dict[str, float]:
    """Load [lb] at which a joint in single shear yields, in each of the six ways (modes) it may.

    I: a piece is crushed. II: both are, the fastener turning as a whole. III and IV: the fastener
    bends as well, in one place or in two. m is the main piece, which holds the point, s the side
    piece under the head. General dowel equations of the American Wood Council's Technical Report 12
    (from memory), which allow for a gap; without one they are those of NDS 12.3.1 before division
    by R_d. `side` is the thickness of the outer piece, `gap` what lies between without bearing; a
    `steel` outer piece bears as sheet steel, whatever `side_gravity`.
    """
    outer = STEEL_BEARING_PSI if steel else bearing_strength(side_gravity)
    q_side = outer * fastener.root
    q_main = bearing_strength(gravity) * fastener.root
    moment = fastener.bending_yield * fastener.root**3 / 6.0
    # q: bearing per length of fastener [lb/in]; the moment at which it bends is F_yb D^3 / 6.
    side_part, main_part = q_side * side**2 / 4.0, q_main * embedment**2 / 4.0
    # For each mode the coefficients of its quadratic equation in the load.
    return {
        "Im": q_main * embedment,
        "Is": q_side * side,
        "II": _root(
            1.0 / (4.0 * q_side) + 1.0 / (4.0 * q_main),
            side / 2.0 + gap + embedment / 2.0,
            -side_part - main_part,
        ),
        "IIIm": _root(
            1.0 / (2.0 * q_side) + 1.0 / (4.0 * q_main), embedment / 2.0 + gap, -moment - main_part
        ),
        "IIIs": _root(
            1.0 / (4.0 * q_side) + 1.0 / (2.0 * q_main), side / 2.0 + gap, -side_part - moment
        ),
        "IV": _root(1.0 / (2.0 * q_side) + 1.0 / (2.0 * q_main), gap, -2.0 * moment),
    }


MIN_PENETRATION_DIAMETERS = 6.0
"""Least penetration of nails and wood screws loaded sideways: NDS 2018,
12.1.5.6 and 12.1.6.4 (in a restatement)."""

TIP_DIAMETERS = 2.0
"""Length of the tapered tip. Where a fastener is in by less than 10 diameters all of it is counted
out; NDS 2018, 12.3.5.3 (in a restatement) counts out a half, so this is on the safe side."""


def lateral(
    fastener: Driven,
    side: float,
    embedment: float,
    *,
    side_gravity: float,
    gravity: float = STUD_GRAVITY,
    gap: float = 0.0,
) -> float:
    """Reference strength [lb] of one fastener pushed sideways; 0 where it is not in deep enough.

    `side` is the thickness of the piece under its head, `embedment` how deep it is in the piece
    that holds its point, `gap` what lies between the two without bearing [in].
    """
    # NDS gives no value for less.
    if embedment < MIN_PENETRATION_DIAMETERS * fastener.diameter:
        return 0.0
    bearing = embedment
    if embedment < 10.0 * fastener.diameter:
        bearing -= TIP_DIAMETERS * fastener.diameter
    loads = yield_loads(
        fastener, side, bearing, side_gravity=side_gravity, gravity=gravity, gap=gap
    )
    return min(loads.values()) / reduction(fastener.diameter)
