"""What rod sockets, mid supports and the joint cleats of wrapped corners hold [lb]."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

from optimizer.domain.construction import Construction
from optimizer.errors import BuildError
from optimizer.reference.materials import stock
from optimizer.structure.cleats import (
    Held,
    combined_share,
    screw_room,
    stud_choices,
)
from optimizer.structure.fasteners import (
    LASTING_LOAD_FACTOR,
    Driven,
    reduction,
    withdrawal,
    wood_screw,
    yield_loads,
)
from optimizer.structure.fixings import (
    MAX_SIDE_GRAVITY,
    STRIP_GRAVITY,
    Fixing,
    panel_fixing,
)
from optimizer.units import Units

SOCKET_SCREW_IN = 0.625
SOCKET_FLANGE_IN = 0.0625
SOCKET_SCREWS = 2
"""Screws of a rod socket: two #8 x 5/8 in through a flange of 1/16 in steel (common practice)."""
JOINT_CLEAT_IN = 3.0
"""Width of a joint cleat, half of it under either board: common practice."""
SLANT_PULL, SLANT_SHEAR = 0.67, 0.83
"""Toe-nail factors of fasteners driven at a slant: NDS 2018, 12.5.4 (in a restatement)."""
TOP_SCREWS, FOOT_SCREWS = 2, 1
"""Screws of a mid support into its stud: two at the top, one at the foot (common practice)."""


@lru_cache(maxsize=256)
def socket_strength(construction: Construction, *, on_panel: bool) -> float:
    """Load [lb] that a rod socket holds on the face of a panel, or on a rod cleat.

    Its screws by the yield equations with their real penetration, since a panel is thinner
    than the six diameters NDS asks for.
    """
    gravity = STRIP_GRAVITY
    if on_panel:
        gravity = min(MAX_SIDE_GRAVITY, stock(construction.material).gravity)
    screw = wood_screw(8, SOCKET_SCREW_IN)
    loads = yield_loads(
        screw,
        SOCKET_FLANGE_IN,
        SOCKET_SCREW_IN - SOCKET_FLANGE_IN,
        side_gravity=gravity,
        gravity=gravity,
        steel=True,
    )
    return SOCKET_SCREWS * LASTING_LOAD_FACTOR * min(loads.values()) / reduction(screw.diameter)


def socket(construction: Construction, load: float, *, on_panel: bool) -> Held:
    """A rod socket under the end load [lb] of its rod."""
    return Held(load, load / socket_strength(construction, on_panel=on_panel))


@lru_cache(maxsize=256)
def _joint_screw(construction: Construction, units: Units) -> tuple[Fixing, float] | None:
    """The screw of a joint cleat up into a board, and the withdrawal [lb] it holds there."""
    try:
        fixing = panel_fixing(construction, units)
    except BuildError:
        return None
    gravity = min(MAX_SIDE_GRAVITY, stock(construction.material).gravity)
    into = fixing.driven.length - units.to_inch(construction.cleat_thickness)
    return fixing, LASTING_LOAD_FACTOR * withdrawal(fixing.driven, into, gravity)


def joint_cleat(construction: Construction, units: Units, load: float, length: float) -> Held:
    """A cleat under both boards of a wrapped corner, given the end load [lb] of one of them.

    The load sits in the middle of its half and pries the cleat about its far edge, which the
    screws in the middle of the other half hold: withdrawal is three times the load.
    """
    screw = _joint_screw(construction, units)
    if screw is None or screw[1] <= 0.0:
        return Held(load, math.inf)
    # Two screws where they fit, however light the load; more as far as it asks for them.
    fixing, one = screw
    room = screw_room(units, length)
    # `room` is what the cleat is long enough for.
    count = max(min(2, room), min(room, math.ceil(3.0 * load / one - 1e-9)))
    return Held(load, 3.0 * load / (count * one), replace(fixing, each=count))


def _slanted(choice: tuple[Fixing, float, float], *, slant: bool) -> tuple[Driven, float, float]:
    """One screw of a choice with the shear and pull it holds, driven at a slant or straight."""
    fixing, shear, pull = choice
    factors = (SLANT_SHEAR, SLANT_PULL) if slant else (1.0, 1.0)
    return fixing.driven, shear / fixing.each * factors[0], pull / fixing.each * factors[1]


def _against_stud(
    construction: Construction, units: Units, load: float, pull: float, *, slant: bool
) -> Held:
    """A support that bears `load` [lb] and is pulled off at its top by `pull` [lb]."""
    best = Held(load, math.inf)
    # The last two choices: screws of #8 and of #10, never brads.
    for choice in stud_choices(construction, units)[-2:]:
        driven, shear_one, pull_one = _slanted(choice, slant=slant)
        each = load / (TOP_SCREWS + FOOT_SCREWS)
        share = combined_share(driven.kind, (each, shear_one), (pull / TOP_SCREWS, pull_one))
        best = Held(load, share, replace(choice[0], each=TOP_SCREWS + FOOT_SCREWS))
        if share <= 1.0:
            break
    return best


def mid_support(
    construction: Construction, units: Units, load: float, *, depth: float, leg: float
) -> Held:
    """A triangle or a bracket under a board `depth` deep that gets `load` [lb] of it.

    The load in the middle of the depth turns it about its foot; the screws at the top, driven
    into the stud (through the back cleat, where there is one), hold it there: pull = load x
    (depth / 2) / (`leg` - half the height of a cleat). A triangle's screws go in at a slant, a
    bracket's straight.
    """
    arm = leg - construction.cleat_height / 2.0
    if arm <= 0.0:
        return Held(load, math.inf)
    pull = load * depth / 2.0 / arm
    return _against_stud(
        construction, units, load, pull, slant=construction.mid_support == "triangle"
    )


def rod_bracket(construction: Construction, units: Units, load: float) -> Held:
    """A centre bracket of a rod on a stud, given `load` [lb]: its leg is 3/4 of the set-back."""
    pull = load / 0.75
    return _against_stud(construction, units, load, pull, slant=False)
