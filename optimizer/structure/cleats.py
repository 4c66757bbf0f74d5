"""Cleats: what holds a back cleat, a side cleat on an upright or on a wall, and how well.

Everything comes out as *shares* of what is held, 1 being the limit; loads are in pounds. A
full board is W; half of it is given to the back cleat and half to each end, so that any of
them holds if another slackens. A board held at three edges sags at its front and lies on the
front edge of its cleats: the load turns a cleat about its lower edge with the whole thickness
of the cleat for an arm, and the fasteners at mid-height hold it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from optimizer.domain.construction import Construction, Fastener
from optimizer.errors import BuildError
from optimizer.structure.fasteners import Kind, wood_screw
from optimizer.structure.fixings import (
    MOST_SCREWS,
    SCREW_KEY,
    Fixing,
    panel_screw_shear,
    stud_fixing,
    stud_holds,
)
from optimizer.units import Units

ANCHOR_LOAD_LB = 25.0
"""What one hollow-wall anchor rated 50 lb is trusted with: half of it, common practice."""
ANCHOR_PITCH_IN = 3.0
"""Hollow-wall anchors in a back cleat are at least this far apart: common practice."""
MOST_END_ANCHORS = 4
"""Hollow-wall anchors in the front half of a side cleat: as many as fit, four at most."""
SCREW_PITCH_IN = 1.5
"""Screws of a side cleat are at least this far apart: common practice against splitting."""
_END_IN = 0.75
_NEAR_WALL = 0.25
"""Part of a full board at either end of a side cleat: half of it in the middle, or a quarter
at its front, turn about the back edge alike."""


@dataclass(frozen=True, slots=True)
class Held:
    """A load [lb], what holds it, and the used share of that.

    `fixing` into studs or panels with how many at each place, `anchors` in hollow wall.
    """

    load: float
    share: float
    fixing: Fixing | None = None
    anchors: int = 0

    @property
    def limit(self) -> float:
        """Load [lb] that would just be held."""
        return self.load / self.share if 0.0 < self.share < math.inf else 0.0


def combined_share(kind: Kind, shear: tuple[float, float], pull: tuple[float, float]) -> float:
    """Used share of a fastener pulled and sheared at once; each pair is demand, capacity.

    NDS 2018, Equations 12.4-1 and 12.4-2 (in a restatement): screws by the Hankinson form, nails in
    a straight line.
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


@lru_cache(maxsize=1024)
def stud_choices(
    construction: Construction, units: Units, packing: float = 0.0
) -> tuple[tuple[Fixing, float, float], ...]:
    """What may go in at one stud, weakest first, each with the shear and pull [lb] it holds.

    The brief's own fastener; then one #8 screw, two, and two #10. Empty where nothing in
    stock is short enough.
    """
    try:
        screw = stud_fixing(construction, units, packing, kind=Fastener.SCREWS)
        first = stud_fixing(construction, units, packing)
    except BuildError:
        return ()
    thick = replace(screw, driven=wood_screw(10, screw.driven.length), each=MOST_SCREWS)
    rest = [screw, replace(screw, each=MOST_SCREWS), thick]
    chosen = rest if first.key == SCREW_KEY else [first, *rest]
    return tuple(
        (fixing, *stud_holds(fixing.driven, fixing.each, construction, units, packing))
        for fixing in chosen
    )


def cleat_pull(construction: Construction, load: float, height: float) -> float:
    """Withdrawal [lb] of a cleat `height` high whose front edge bears `load` [lb].

    The fasteners at mid-height hold it about its lower edge: load x thickness / (height / 2).
    """
    return load * 2.0 * construction.cleat_thickness / height


def used_share(
    choice: tuple[Fixing, float, float], construction: Construction, load: float, height: float
) -> float:
    """Used share of one of `stud_choices` in a cleat `height` high that gets `load` [lb]."""
    fixing, shear, pull = choice
    turned = cleat_pull(construction, load, height)
    return combined_share(fixing.driven.kind, (load, shear), (turned, pull))


def at_stud(
    construction: Construction, units: Units, load: float, height: float, packing: float = 0.0
) -> Held:
    """`load` [lb] of a cleat at one stud: the weakest choice that holds it, else the strongest."""
    best: Held | None = None
    for choice in stud_choices(construction, units, packing):
        held = Held(load, used_share(choice, construction, load, height), choice[0])
        if held.share <= 1.0:
            return held
        # Of two screws the thicker one asks for more penetration, and may have none to count.
        if best is None or held.share < best.share:
            best = held
    return best or Held(load, math.inf)


def largest_share(start: float, end: float, studs: Sequence[float]) -> float:
    """Largest part of a cleat's length that hangs on one stud, 0 to 1; 0 without studs."""
    if not studs or end <= start:
        return 0.0
    borders = [start, *((a + b) / 2.0 for a, b in pairwise(studs)), end]
    return max(b - a for a, b in pairwise(borders)) / (end - start)


def _anchor_room(units: Units, length: float) -> int:
    """Hollow-wall anchors that a back cleat of `length` has room for."""
    return max(2, int((units.to_inch(length) - 2.0 * _END_IN) / ANCHOR_PITCH_IN + 1e-9) + 1)


def back_cleat(
    construction: Construction,
    units: Units,
    load: float,
    *,
    height: float,
    start: float,
    end: float,
    studs: Sequence[float],
    packing: float = 0.0,
) -> Held:
    """A back cleat that gets `load` [lb] over its length, on the studs it catches.

    Hollow-wall anchors between the studs where they fall short, and alone where there is no
    stud or no fastener for it; one with a single stud. `share` is that of the stud with the
    most, or of the anchors.
    """
    room = _anchor_room(units, end - start)
    if not studs or not stud_choices(construction, units, packing):
        count = min(room, max(2, math.ceil(load / ANCHOR_LOAD_LB - 1e-9)))
        return Held(load, load / (count * ANCHOR_LOAD_LB), None, count)
    worst = largest_share(start, end, studs)
    held = at_stud(construction, units, load * worst, height, packing)
    least = 1 if len(studs) == 1 else 0
    if held.share <= 1.0:
        return replace(held, load=load, anchors=least)
    by_studs = load / held.share
    count = max(least, min(room, math.ceil((load - by_studs) / ANCHOR_LOAD_LB - 1e-9)))
    return Held(load, load / (by_studs + count * ANCHOR_LOAD_LB), held.fixing, count)


def screw_room(units: Units, length: float) -> int:
    """Screws that a side cleat of `length` has room for."""
    return max(1, int((units.to_inch(length) - 2.0 * _END_IN) / SCREW_PITCH_IN + 1e-9) + 1)


def front_screw_part(count: int) -> float:
    """Part of a full board W that the screw with the most of `count` in a side cleat gets.

    Half of W in the middle, or a quarter at the front, which falls on a row of screws as on
    a rigid strip: 1/n + 3 (n - 1) / (n (n + 1)) of it on the first.
    """
    at_front = 1.0 / count + 3.0 * (count - 1.0) / (count * (count + 1.0))
    return max(0.5 / count, _NEAR_WALL * at_front)


@lru_cache(maxsize=256)
def _panel_screw(construction: Construction, units: Units) -> float:
    """Shear [lb] of one screw in an upright; 0 where nothing in stock goes in."""
    try:
        return panel_screw_shear(construction, units)
    except BuildError:
        return 0.0


def side_cleat(
    construction: Construction, units: Units, load: float, *, length: float, least: int = 2
) -> tuple[Held, int]:
    """A side cleat on an upright under a full piece of `load` [lb], and how many screws it takes.

    At least `least`, more where they are needed and there is room for them.
    """
    one, room = _panel_screw(construction, units), screw_room(units, length)
    count = min(least, room)
    while count < room and front_screw_part(count) * load > one:
        count += 1
    share = front_screw_part(count) * load / one if one > 0.0 else math.inf
    return Held(load / 2.0, share), count


@dataclass(frozen=True, slots=True)
class WallCleat:
    """A side cleat on a side wall: what holds it at the corner and towards its front."""

    back: Held
    front: Held

    @property
    def share(self) -> float:
        """The larger used share."""
        return max(self.back.share, self.front.share)


def end_anchor_room(units: Units, reach: float, height: float) -> int:
    """Hollow-wall anchors in the front half of a side cleat: 2 in apart, two rows from 3 in up."""
    rows = 2 if units.to_inch(height) >= 3.0 else 1
    fits = rows * (int(units.to_inch(reach) / 2.0 / 2.0 + 1e-9) + 1)
    return max(1, min(MOST_END_ANCHORS, fits))


def wall_cleat(
    construction: Construction,
    units: Units,
    loads: Iterable[tuple[float, float]],
    *,
    reach: float,
    height: float,
    studs: Iterable[float] = (),
    packing: float = 0.0,
) -> WallCleat:
    """A side cleat on a side wall that reaches out `reach` from the corner.

    `loads` [lb] come with their distance from the corner. A stud in the corner is taken to be
    there; towards the front the cleat hangs on a stud of `studs` (distances from the corner)
    in its front half, where that does not hold it on hollow-wall anchors over that half as well,
    or on anchors alone.
    """
    listed = tuple(loads)
    moment, whole = sum(p * at for p, at in listed), sum(p for p, _ in listed)
    last = reach - units.from_inch(_END_IN) + 1e-9
    near = [at for at in studs if reach / 2.0 <= at <= last]
    fronts = [at_stud(construction, units, moment / at, height, packing) for at in near]
    fronts += [
        _stud_and_anchors(units, moment, held, at, reach=reach, height=height)
        for at, held in zip(near, tuple(fronts), strict=True)
    ]
    fronts.append(_on_anchors(units, moment, reach, height))
    found = []
    for front in fronts:
        rest = max(0.0, whole - front.load)
        found.append(WallCleat(at_stud(construction, units, rest, height, packing), front))
    return next((each for each in found if each.share <= 1.0), min(found, key=_share))


def _share(cleat: WallCleat) -> float:
    return cleat.share


def _stud_and_anchors(
    units: Units, moment: float, held: Held, at: float, *, reach: float, height: float
) -> Held:
    """A stud at `at` that does not hold alone, with hollow-wall anchors for what is left."""
    by_stud = held.limit * at
    each = ANCHOR_LOAD_LB * 0.75 * reach
    room = end_anchor_room(units, reach, height)
    count = min(room, max(0, math.ceil((moment - by_stud) / each - 1e-9)))
    load = moment / at
    return Held(load, moment / (by_stud + count * each), held.fixing, count)


def _on_anchors(units: Units, moment: float, reach: float, height: float) -> Held:
    load = moment / (0.75 * reach)
    room = end_anchor_room(units, reach, height)
    count = min(room, max(1, math.ceil(load / ANCHOR_LOAD_LB - 1e-9)))
    return Held(load, load / (count * ANCHOR_LOAD_LB), None, count)


def board_on_wall(load: float, reach: float) -> Iterator[tuple[float, float]]:
    """Half of a full piece of `load` [lb] in the middle of its side cleat, for `wall_cleat`."""
    yield load / 2.0, reach / 2.0
