"""Cleats: what fastens a back cleat, or a side cleat on an upright or on a wall, and how well.

Results are *shares*: the load over the load that would just be held, so that 1 is the limit. Loads
are in pounds, lengths in brief units.

Where the load goes is not known exactly, so each support is taken to get more than its part. Of a
full board with the weight W half goes to the back cleat and half to either end: if one of them
gives way a little, the others still hold. A loaded board sags between its supports and so presses
on the front edge of a cleat. That turns the cleat about its lower edge, with the cleat's thickness
as the lever, and the fasteners at half its height keep it from turning.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from optimizer.domain.construction import Construction, Fastener
from optimizer.errors import BuildError
from optimizer.structure.fasteners import FastenerKind, wood_screw
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
    """A load [lb], what holds it, and the share of that which it uses.

    `fixing` is what is driven into studs or panels, with how many at each place; `anchors` how many
    hollow-wall anchors there are beside it. A share without limit means that nothing holds.
    """

    load: float
    share: float
    fixing: Fixing | None = None
    anchors: int = 0

    @property
    def limit(self) -> float:
        """Load [lb] that would just be held."""
        return self.load / self.share if 0.0 < self.share < math.inf else 0.0


def combined_share(
    kind: FastenerKind, shear: tuple[float, float], pull: tuple[float, float]
) -> float:
    """Used share of a fastener that is pulled out and pushed sideways at once.

    `shear` and `pull` are each (demand, capacity) [lb]. NDS 2018, Equations 12.4-1 and 12.4-2 (in a
    restatement): screws by the Hankinson form, nails in a straight line.
    """
    if shear[1] <= 0.0 or pull[1] <= 0.0:
        return math.inf
    parts = (shear[0] / shear[1], pull[0] / pull[1])
    if kind is FastenerKind.NAIL:
        return sum(parts)
    # Hankinson's form: the shares weighed by the part of the force in each direction.
    resultant = math.hypot(shear[0], pull[0])
    if resultant == 0.0:
        return 0.0
    return (parts[0] * shear[0] + parts[1] * pull[0]) / resultant


@lru_cache(maxsize=1024)
def stud_choices(
    construction: Construction, units: Units, packing: float = 0.0
) -> tuple[tuple[Fixing, float, float], ...]:
    """What may be driven into one stud, weakest first, as (fixing, shear [lb], pull [lb]) it holds.

    The brief's own fastener, then one #8 screw, two of them, and two #10. `packing` is how far the
    cleat stands off the wall [brief units]. Empty where nothing in stock is short enough.
    """
    try:
        screw = stud_fixing(construction, units, packing, kind=Fastener.SCREWS)
        first = stud_fixing(construction, units, packing)
    except BuildError:
        return ()
    # The last resort: as many of the thickest screw as fit above one another.
    thick = replace(screw, driven=wood_screw(10, screw.driven.length), each=MOST_SCREWS)
    rest = [screw, replace(screw, each=MOST_SCREWS), thick]
    chosen = rest if first.key == SCREW_KEY else [first, *rest]
    return tuple(
        (fixing, *stud_holds(fixing.driven, fixing.each, construction, units, packing))
        for fixing in chosen
    )


def cleat_pull(construction: Construction, load: float, height: float) -> float:
    """How hard the fasteners of a cleat are pulled [lb] when its front edge bears `load` [lb].

    They sit at half of its `height` and keep it from turning about its lower edge:
    load x thickness / (height / 2).
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
    """The largest part of a cleat that hangs on one stud, 0 to 1; 0 without studs.

    Each stud is taken to hold the cleat half-way to the next stud, or to the cleat's end.
    """
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
    """How a back cleat is fastened that gets `load` [lb] along its length.

    It runs from `start` to `end` along the wall and catches `studs` (positions along it). Where
    these do not hold it, hollow-wall anchors between them help; where there is no stud, or no
    fastener that is short enough, anchors hold it alone. Beside a single stud there is one anchor
    at least. The share is that of the most loaded stud, or of the anchors.
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
    # The studs take what they can; anchors are counted for the rest.
    # The load at which the most loaded stud is at its limit, by the same shares of the cleat.
    by_studs = load / held.share
    count = max(least, min(room, math.ceil((load - by_studs) / ANCHOR_LOAD_LB - 1e-9)))
    return Held(load, load / (by_studs + count * ANCHOR_LOAD_LB), held.fixing, count)


def screw_room(units: Units, length: float) -> int:
    """Screws that a side cleat of `length` has room for."""
    return max(1, int((units.to_inch(length) - 2.0 * _END_IN) / SCREW_PITCH_IN + 1e-9) + 1)


def front_screw_part(count: int) -> float:
    """What the most loaded of `count` screws in a side cleat gets, as a part of a full board W.

    The worse of two cases: half of W in the middle of the cleat, shared by all screws alike; or a
    quarter of W at its front end, where a rigid strip gives the first of n screws in a row
    1/n + 3 (n - 1) / (n (n + 1)) of it.
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
    """How a side cleat on an upright is held under a board of `load` [lb], and by how many screws.

    `length` is the cleat's [brief units]. There are at least `least` screws, and more where they
    are needed and have room. Half of the load goes to this end of the board.
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
    """How a side cleat on a side wall is fastened that reaches out `reach` from the corner.

    `loads` are (lb, distance from the corner). The cleat is a lever with two supports. One is the
    stud in the corner, which is taken to be there. The other is in its front half: one of `studs`
    (distances from the corner); that stud with hollow-wall anchors, where it does not hold alone;
    or anchors alone. The first of these that holds is taken, else the one that holds best.
    """
    listed = tuple(loads)
    moment, whole = sum(p * at for p, at in listed), sum(p for p, _ in listed)
    # Nearer to the front end of the cleat a fastener would split it.
    last = reach - units.from_inch(_END_IN) + 1e-9
    near = [at for at in studs if reach / 2.0 <= at <= last]
    # What the front has to take: the moment of the loads about the corner over its own distance.
    fronts = [at_stud(construction, units, moment / at, height, packing) for at in near]
    fronts += [
        _stud_and_anchors(units, moment, held, at, reach=reach, height=height)
        for at, held in zip(near, tuple(fronts), strict=True)
    ]
    fronts.append(_on_anchors(units, moment, reach, height))
    found = []
    for front in fronts:
        # A load out beyond the front fastener makes that take more than all of it, and lifts the
        # cleat off the corner by as much.
        rest = abs(whole - front.load)
        found.append(WallCleat(at_stud(construction, units, rest, height, packing), front))
    return next((each for each in found if each.share <= 1.0), min(found, key=_share))


def _share(cleat: WallCleat) -> float:
    """The larger used share of a cleat, for choosing the least."""
    return cleat.share


def _stud_and_anchors(
    units: Units, moment: float, held: Held, at: float, *, reach: float, height: float
) -> Held:
    """A stud at `at` that does not hold alone, with hollow-wall anchors for what is left.

    The anchors sit in the front half, 3/4 of the cleat's reach from the corner on average.
    """
    by_stud = held.limit * at
    each = ANCHOR_LOAD_LB * 0.75 * reach
    room = end_anchor_room(units, reach, height)
    count = min(room, max(0, math.ceil((moment - by_stud) / each - 1e-9)))
    load = moment / at
    return Held(load, moment / (by_stud + count * each), held.fixing, count)


def _on_anchors(units: Units, moment: float, reach: float, height: float) -> Held:
    """The front of a side cleat on hollow-wall anchors alone."""
    load = moment / (0.75 * reach)
    room = end_anchor_room(units, reach, height)
    count = min(room, max(1, math.ceil(load / ANCHOR_LOAD_LB - 1e-9)))
    return Held(load, load / (count * ANCHOR_LOAD_LB), None, count)


def board_on_wall(load: float, reach: float) -> Iterator[tuple[float, float]]:
    """The load of one end of a board of `load` [lb] on its side cleat, as `wall_cleat` takes it.

    Half of it, in the middle of the cleat.
    """
    yield load / 2.0, reach / 2.0
