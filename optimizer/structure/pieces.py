"""How wide a bay may be for what carries it, worked out before there is a layout.

What a bay will end on is not known yet: an upright that it shares with a bay like it, a side wall
whose studs may be anywhere, the boards of the next wall, a mid support. So all of these are worked
out, and the least width counts. The figures of a finished layout (`structure.assessment`) are never
worse than these, so that no layout of the model fails the checker.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from optimizer.domain.construction import Construction
from optimizer.domain.layout import Zone
from optimizer.structure.checks import Patch, shelf_check
from optimizer.structure.cleats import (
    ANCHOR_LOAD_LB,
    board_on_wall,
    side_cleat,
    wall_cleat,
)
from optimizer.structure.joints import joint_cleat, mid_support, rod_bracket, socket
from optimizer.structure.limits import bearing
from optimizer.structure.loads import area_load_psi, board_load_lb, rod_load_lb
from optimizer.structure.members import (
    Board,
    boards_in,
    has_stiffener,
    lies_on_uprights,
    rod_cleat_height,
    rod_heights,
    rod_reach,
    side_cleat_length,
    triangle_leg,
    upright_depth,
)
from optimizer.structure.uprights import (
    FLOOR_BEARING_PSI,
    FREE_EDGE,
    free_heights,
    holding_load,
)
from optimizer.units import Units

_LONG_IN = 1e6
"""A piece so long [in] that every fastening has as many screws and anchors as it can take. From
there on shares grow in proportion to the length, so that the length at the limit follows by
division."""
_CLEAT_LB_IN = 6.0
"""Load of a back cleat [lb/in] up to which hollow-wall anchors, as many as fit, would hold it."""
_HALVINGS = 40


@dataclass(frozen=True, slots=True)
class _Shelf:
    """What the supports of a board depend on, so that equal boards are worked out once.

    `depth`, `cleat` and `cleat_back` as of `members.Board`; `length` of its side cleats, `leg` of
    the triangle under it. `lies` on the edges of its uprights, `alone` in a bay without rods,
    `supported` between its ends.
    """

    depth: float
    cleat: float
    cleat_back: float
    length: float
    leg: float
    lies: bool
    alone: bool
    supported: bool


@dataclass(frozen=True, slots=True)
class _Rod:
    """What the supports of a rod depend on: height and reach of its cleat on a wall.

    `over` is the depth of the board over it, if there is one.
    """

    tall: float
    reach: float
    over: float | None
    supported: bool


@dataclass(frozen=True, slots=True)
class _Parts:
    """The boards and rods of one bay, rods with their heights; `depth` is that of its uprights."""

    depth: float
    boards: tuple[tuple[Board, _Shelf], ...]
    rods: tuple[tuple[float, _Rod], ...]


def widest_piece(
    construction: Construction,
    units: Units,
    zones: tuple[Zone, ...],
    depth: float,
    *,
    stiffened: bool = False,
    supported: bool = False,
    weights: Mapping[str, float] | None = None,
) -> float:
    """Widest piece [brief units] of a bay with these zones that any end of it holds.

    `depth` is the bay's. `supported` counts mid supports in as well; `weights`
    are what one piece of an item weighs [lb], by id: only then it counts that a shelf's
    items may weigh more than `shelf_load` over it. At most `max_bay_width`. Spans are another
    matter: `shelf_span_limit`.
    """
    # A tuple, so that the answer can be kept: a dict has no hash.
    known = tuple(sorted((weights or {}).items()))
    if known and any(item in dict(known) for zone in zones for item in zone.items):
        return _widest_housing(
            construction,
            units,
            zones,
            depth,
            stiffened=stiffened,
            supported=supported,
            weights=known,
        )
    return _widest(construction, units, zones, depth, stiffened=stiffened, supported=supported)


@lru_cache(maxsize=50_000)
def _widest(
    construction: Construction,
    units: Units,
    zones: tuple[Zone, ...],
    depth: float,
    *,
    stiffened: bool,
    supported: bool,
) -> float:
    """The widest piece where the planned load decides: shares grow in proportion to it."""
    parts = _parts(construction, units, zones, depth, stiffened=stiffened, supported=supported)
    long = units.from_inch(_LONG_IN)
    # As sets: equal boards have one share, and most bays have several of a kind.
    shares = [_shelf_long(construction, units, shelf) for shelf in {s for _, s in parts.boards}]
    shares += [_rod_long(construction, units, rod) for rod in {r for _, r in parts.rods}]
    loads = [board_load_lb(construction, units, b.depth, long) for b, _ in parts.boards]
    shares += _upright_shares(construction, units, parts, loads, long)
    share = max(shares, default=0.0)
    if not math.isfinite(share):
        # Where no fastener fits, shares do not grow in proportion: the width is looked for.
        none = [0.0] * len(parts.boards)
        return _halved(
            construction.max_bay_width,
            lambda width: all(s <= 1.0 for s in _shares(construction, units, parts, none, width)),
        )
    return (
        construction.max_bay_width
        if share <= 0.0
        else min(construction.max_bay_width, long / share)
    )


def _halved(most: float, holds: Callable[[float], bool]) -> float:
    """Greatest width up to `most` that holds, by halving: all widths below it hold, none above."""
    if holds(most):
        return most
    low, high = 0.0, most
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


@lru_cache(maxsize=5_000)
def _widest_housing(
    construction: Construction,
    units: Units,
    zones: tuple[Zone, ...],
    depth: float,
    *,
    stiffened: bool,
    supported: bool,
    weights: tuple[tuple[str, float], ...],
) -> float:
    """The widest piece where shelves hold items of known weight.

    These do not grow with the width as the planned load does, so it is looked for by halving.
    """
    parts = _parts(construction, units, zones, depth, stiffened=stiffened, supported=supported)
    known = dict(weights)
    housed = [sum(known.get(item, 0.0) for item in b.zone.items) for b, _ in parts.boards]

    def holds(width: float) -> bool:
        """Whether a piece of that width is within every limit."""
        shares = _shares(construction, units, parts, housed, width)
        sags = _sags(construction, units, parts, housed, width, stiffened=stiffened)
        return all(share <= 1.0 for share in (*shares, *sags))

    return _halved(construction.max_bay_width, holds)


def _parts(
    construction: Construction,
    units: Units,
    zones: tuple[Zone, ...],
    depth: float,
    *,
    stiffened: bool,
    supported: bool,
) -> _Parts:
    """The boards and rods of a bay, reduced to what their supports depend on."""
    boards = boards_in(construction, units, zones, depth)
    heights = rod_heights(zones)
    midway = supported and construction.mid_support != "none"
    shelves = [
        _Shelf(
            depth=board.depth,
            cleat=board.cleat,
            cleat_back=board.cleat_back,
            length=side_cleat_length(construction, units, board, stiffened=stiffened),
            leg=triangle_leg(units, board) if midway else 0.0,
            lies=lies_on_uprights(construction, board),
            alone=not heights,
            supported=midway,
        )
        for board in boards
    ]
    rods = []
    for height in heights:
        over = next((board for board in boards if board.underside >= height), None)
        underside = None if over is None else over.underside
        rods.append(
            _Rod(
                tall=rod_cleat_height(construction, units, height, underside),
                reach=rod_reach(construction, over),
                over=None if over is None else over.depth,
                supported=midway,
            )
        )
    return _Parts(
        depth=upright_depth(construction, zones, depth),
        boards=tuple(zip(boards, shelves, strict=True)),
        rods=tuple(zip(heights, rods, strict=True)),
    )


def _sags(
    construction: Construction,
    units: Units,
    parts: _Parts,
    housed: list[float],
    width: float,
    *,
    stiffened: bool,
) -> Iterator[float]:
    """Shares of sag and stress of boards whose items weigh more than the load planned."""
    for (board, _), weight in zip(parts.boards, housed, strict=True):
        if weight:
            loaded = raised(construction, units, board.depth, width, weight)
            front = has_stiffener(construction, board, stiffened=stiffened)
            span = max(width - bearing(construction), units.from_inch(1.0))
            check = shelf_check(loaded, units, board.depth, span, stiffened=front)
            yield check.sag_share
            yield check.stress_share


def _shares(
    construction: Construction, units: Units, parts: _Parts, housed: list[float], width: float
) -> Iterator[float]:
    """Used share of everything that a piece `width` wide may end on."""
    loads = [
        board_load_lb(construction, units, board.depth, width, weight)
        for (board, _), weight in zip(parts.boards, housed, strict=True)
    ]
    yield from _upright_shares(construction, units, parts, loads, width)
    for (_, shelf), load in zip(parts.boards, loads, strict=True):
        yield from _shelf_shares(construction, units, shelf, load, width)
    heaviest = max(loads, default=0.0)
    for _, rod in parts.rods:
        # Which board is over which rod is not told apart here: the heaviest is the safe one.
        over = heaviest if rod.over is not None else 0.0
        yield from _rod_shares(construction, units, rod, over, width)


def _upright_shares(
    construction: Construction, units: Units, parts: _Parts, loads: list[float], width: float
) -> Iterator[float]:
    """An upright between two bays like this one, as deep as any neighbour may make it."""
    rod = rod_load_lb(construction, units, width)
    boards = [(b.underside, p) for (b, _), p in zip(parts.boards, loads, strict=True) if b.cleat]
    entering = [*boards, *((height, rod) for height, _ in parts.rods)]
    area = units.to_inch(parts.depth) * units.to_inch(construction.panel_thickness)
    yield sum(load for _, load in entering) / area / FLOOR_BEARING_PSI
    for low, high in free_heights(height for height, _ in boards):
        # A load presses on all of the upright below where it enters.
        pressed = sum(load for height, load in entering if height > low + 1e-9)
        yield pressed / _least_holding(construction, units, parts.depth, high - low)


@lru_cache(maxsize=50_000)
def _least_holding(construction: Construction, units: Units, depth: float, free: float) -> float:
    """Least that an upright holds, at any depth from `depth` to the deepest neighbour's.

    A deeper strip may bear less: least at a depth of sqrt(0.425) of its height.
    """
    deepest = max(depth, construction.hang_depth)
    weakest = min(deepest, max(depth, math.sqrt(FREE_EDGE) * free))
    return min(holding_load(construction, units, deep, free) for deep in {depth, weakest, deepest})


@lru_cache(maxsize=5_000)
def _shelf_long(construction: Construction, units: Units, shelf: _Shelf) -> float:
    """Used share of the supports of a board so long that they are at their strongest."""
    long = units.from_inch(_LONG_IN)
    load = board_load_lb(construction, units, shelf.depth, long)
    return max(_shelf_shares(construction, units, shelf, load, long), default=0.0)


@lru_cache(maxsize=5_000)
def _rod_long(construction: Construction, units: Units, rod: _Rod) -> float:
    """Used share of the supports of a rod so long that they are at their strongest."""
    long = units.from_inch(_LONG_IN)
    over = 0.0 if rod.over is None else board_load_lb(construction, units, rod.over, long)
    return max(_rod_shares(construction, units, rod, over, long))


def _shelf_shares(
    construction: Construction, units: Units, shelf: _Shelf, load: float, width: float
) -> Iterator[float]:
    """A board's side cleats, on an upright and on a wall, its joint, mid support, back cleat."""
    if not shelf.cleat:
        return
    if shelf.length > 0.0:
        if not shelf.lies:
            yield side_cleat(construction, units, load, length=shelf.length)[0].share
        reach = shelf.length + shelf.cleat_back + construction.cleat_thickness
        yield wall_cleat(
            construction,
            units,
            board_on_wall(load, reach),
            reach=reach,
            height=shelf.cleat,
            packing=shelf.cleat_back,
        ).share
    # Bays that hold rods are in no wrapped corner.
    if shelf.alone:
        yield joint_cleat(construction, units, load / 2.0, shelf.depth).share
    if shelf.supported:
        yield mid_support(construction, units, load, depth=shelf.depth, leg=shelf.leg).share
    # No studs are known, so the back cleat is on anchors, two at least.
    if load / 2.0 / units.to_inch(width) > _CLEAT_LB_IN:
        # Behind several pieces it bears all of them, and a longer one has no room for as many more.
        yield math.inf if shelf.supported else load / 2.0 / (2.0 * ANCHOR_LOAD_LB)


def _rod_shares(
    construction: Construction, units: Units, rod: _Rod, over: float, width: float
) -> Iterator[float]:
    """A rod's sockets, its cleat on a wall (with the board it hangs from), its centre bracket."""
    load = rod_load_lb(construction, units, width)
    yield socket(construction, load / 2.0, on_panel=True).share
    yield socket(construction, load / 2.0, on_panel=False).share
    loads = [(load / 2.0, construction.rod_setback)]
    if rod.over is not None:
        loads += board_on_wall(over, rod.over)
    yield wall_cleat(construction, units, loads, reach=rod.reach, height=rod.tall).share
    if rod.supported:
        yield rod_bracket(construction, units, load).share


def raised(
    construction: Construction, units: Units, depth: float, width: float, housed: float
) -> Construction:
    """Rules with the shelf load raised to what is housed [lb] on a board, where that is more."""
    area = units.to_inch(depth) * units.to_inch(width)
    planned = area_load_psi(construction.shelf_load, units) * area
    if housed <= planned:
        return construction
    raised_to = construction.shelf_load * housed / planned
    return construction.model_copy(update={"shelf_load": raised_to})


def through_shares(
    construction: Construction,
    units: Units,
    *,
    depth: float,
    piece: float,
    joined_depth: float,
    joined_piece: float,
    stiffened: bool = False,
) -> Iterator[float]:
    """Used shares of a board that runs through a wrapped corner, in its piece at the corner.

    The next wall's board, `joined_depth` deep, leaves half of its `joined_piece` on the front
    edge, over its own depth from the side wall: the board bends under it, and the cleat on
    the side wall gets it at its front.
    """
    brought = board_load_lb(construction, units, joined_depth, joined_piece) / 2.0
    span = max(piece - bearing(construction), units.from_inch(1.0))
    patch = Patch(joined_depth, brought)
    check = shelf_check(construction, units, depth, span, stiffened=stiffened, patch=patch)
    yield check.sag_share
    yield check.stress_share
    front = construction.panel_thickness if stiffened else construction.side_cleat_setback
    reach = depth - front
    own = board_on_wall(board_load_lb(construction, units, depth, piece), reach)
    loads = [*own, (brought, reach)]
    height = construction.cleat_height
    yield wall_cleat(construction, units, loads, reach=reach, height=height).share


@lru_cache(maxsize=2_000)
def through_piece(
    construction: Construction,
    units: Units,
    depth: float,
    joined_depth: float,
    joined_piece: float,
    *,
    stiffened: bool = False,
) -> float:
    """Longest piece [brief units] at a wrapped corner of the boards that run through it.

    `depth` is theirs; the next wall's boards are `joined_depth` deep and end there with a piece
    of `joined_piece`. Practice and other ends apart: `shelf_span_limit`, `widest_piece`.
    """

    def holds(piece: float) -> bool:
        """Whether a board with a piece of that length at the corner is within its limits."""
        shares = through_shares(
            construction,
            units,
            depth=depth,
            piece=piece,
            joined_depth=joined_depth,
            joined_piece=joined_piece,
            stiffened=stiffened,
        )
        return all(share <= 1.0 for share in shares)

    low, high = 0.0, construction.max_bay_width
    if holds(high):
        return high
    for _ in range(24):
        middle = (low + high) / 2.0
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
