"""Best layouts of small rooms by trying every choice of bays, from the rules of a layout."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import combinations_with_replacement, permutations, product

from optimizer.domain.layout import ZoneKind
from optimizer.domain.study import Yardstick
from optimizer.geometry.obstacles import Block
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.column import Column
from optimizer.patterns.enumeration import Catalogue
from optimizer.scoring.terms import Frame
from tests.model.bays import Kind, Program, kinds_in, scored

FAR = 1e3
"""Beyond any length in these rooms."""
HAND = 4.0
"""Least gap [in] between two runs on a wall (R1)."""
SCRIBE = 1.0
"""Free wall [in] that may stay behind a bay hidden in a corner."""


class Tried:
    """Everything tried so far in one brief, and the best of it."""

    def __init__(self, catalogue: Catalogue, yardstick: Yardstick) -> None:
        self.catalogue = catalogue
        self.rules: BayRules = catalogue.rules
        self.frame = Frame(catalogue.rules)
        self.yardstick = yardstick
        self.best = float("-inf")

    def column(self, *blocks: Block) -> Column:
        """The clear space of an open run of level walls: as deep as any bay goes."""
        brief = self.rules.brief
        items = [item.depth for item in brief.needs.items]
        depth = max([brief.construction.hang_depth, brief.needs.shelf_depth, *items])
        return Column(brief.room.ceiling_height, depth, blocks)

    def kinds(self, *blocks: Block) -> list[Kind]:
        """Ways to build a bay in that space."""
        return kinds_in(self.column(*blocks), self.catalogue)

    def fits(self, bays: Sequence[Kind], length: float) -> bool:
        """Whether so many bays with an upright each fit into a length, and no item is doubled."""
        used = sum(bay.least + self.rules.panel for bay in bays)
        housed = [name for bay in bays for name in bay.housed]
        counts = {piece.id: piece.count for piece in self.rules.pieces}
        return used <= length and all(housed.count(n) <= counts[n] for n in set(housed))

    def choices(self, kinds: Sequence[Kind], length: float) -> Iterator[tuple[Kind, ...]]:
        """Multisets of bays that fit into a length, the empty one first."""
        yield ()
        number = 1
        while number * (self.rules.min_width + self.rules.panel) <= length:
            for bays in combinations_with_replacement(kinds, number):
                if self.fits(bays, length):
                    yield bays
            number += 1

    def start(self, bays: Sequence[Kind], runs: int, carried: int = 0) -> tuple[Program, list[int]]:
        """A program with the score of these bays."""
        return scored(bays, runs, carried, self.frame, self.yardstick)

    def take(self, program: Program) -> None:
        """Note the optimum of a finished program."""
        found = program.best()
        if found is not None:
            self.best = max(self.best, found)


@dataclass(frozen=True)
class Beside:
    """The side wall at an end of a wall: its length, and how much lower it is further out."""

    length: float
    slope: float = 0.0

    def carries(self, bay: Kind, rules: BayRules) -> bool:
        """Whether every cleat of a bay lies on this wall (R16)."""
        construction = rules.brief.construction
        high = rules.brief.room.ceiling_height
        for zone in bay.pattern.zones:
            if zone.kind is ZoneKind.SHELF:
                reach = zone.depth or bay.depth
                top = zone.bottom - rules.panel
            elif zone.kind is ZoneKind.ROD:
                reach = construction.rod_setback + 2.0
                top = zone.rod_height or 0.0
                near = zone.top - top <= construction.rod_clearance + 1e-6
                top = zone.top if near else top + construction.rod_cleat_height / 2
            else:
                continue
            if reach > self.length or top > high - self.slope * reach:
                return False
        return True


def uniform_wall(
    tried: Tried, length: float, left: Beside | None = None, right: Beside | None = None
) -> float:
    """Best score of one wall with nothing on it: bays share uprights, and the walls beside it
    carry the ends of those that they can carry.

    A run between both side walls fills the wall, or is broken by a hand's width.
    """
    panel = tried.rules.panel
    carried = (left is not None) + (right is not None)
    for bays in tried.choices(tried.kinds(), length - panel * (1 - carried)):
        for at_left, at_right in set(product((left, None), (right, None))):
            beside = [side for side in (at_left, at_right) if side is not None]
            if not _ends_carried(tried, bays, at_left, at_right):
                continue
            # Between uprights a gap saves nothing and costs an upright.
            for runs in (1, 2) if len(bays) > 1 and len(beside) == 2 else (bool(bays),):
                program, widths = tried.start(bays, runs, len(beside))
                if bays:
                    uprights = len(bays) + runs - len(beside)
                    room = length - panel * uprights - HAND * (runs - 1)
                    if not beside:
                        room -= tried.rules.brief.room.measuring_tolerance
                    program.at_most(dict.fromkeys(widths, 1.0), room)
                    if len(beside) == 2 and runs == 1:
                        program.at_most(dict.fromkeys(widths, -1.0), -room)
                tried.take(program)
    return tried.best


def _ends_carried(
    tried: Tried, bays: Sequence[Kind], left: Beside | None, right: Beside | None
) -> bool:
    """Whether some order of the bays has one at each side wall that it can carry."""

    def fit(bay: Kind, side: Beside | None) -> bool:
        return side is None or side.carries(bay, tried.rules)

    if not bays:
        return left is None and right is None
    if len(bays) == 1:
        return fit(bays[0], left) and fit(bays[0], right)
    return any(fit(a, left) and fit(b, right) for a, b in permutations(bays, 2))


def obstructed_wall(tried: Tried, length: float, low: float, high: float, block: Block) -> float:
    """Best score of a wall with something from `low` to `high` too narrow to hold a bay.

    Bays stand left and right of it, and at most one over it: no upright may stand in front.
    """
    panel = tried.rules.panel
    free, over = tried.kinds(), tried.kinds(block)
    lefts = list(tried.choices(free, low - panel))
    rights = list(tried.choices(free, length - high - panel))
    for left, right in product(lefts, rights):
        if not tried.fits((*left, *right), FAR):
            continue
        program, widths = tried.start((*left, *right), bool(left) + bool(right))
        if left:
            row = dict.fromkeys(widths[: len(left)], 1.0)
            program.at_most(row, low - panel * (len(left) + 1))
        if right:
            row = dict.fromkeys(widths[len(left) :], 1.0)
            program.at_most(row, length - high - panel * (len(right) + 1))
        tried.take(program)
        for span in over:
            if tried.fits((*left, span, *right), length - panel):
                _with_span(tried, left, span, right, (low, high, length))
    return tried.best


def _with_span(
    tried: Tried,
    left: tuple[Kind, ...],
    span: Kind,
    right: tuple[Kind, ...],
    where: tuple[float, float, float],
) -> None:
    """One run: bays to the left, one that starts left and ends right of the thing, and more."""
    panel = tried.rules.panel
    low, high, length = where
    program, widths = tried.start((*left, span, *right), 1)
    middle = widths[len(left)]
    start = program.variable(0.0, low)
    before = dict.fromkeys(widths[: len(left)], 1.0)
    program.at_most({**before, start: -1.0}, -panel * (len(left) + 1))
    program.at_most({start: -1.0, middle: -1.0}, -high)
    after = dict.fromkeys(widths[len(left) + 1 :], 1.0)
    room = length - panel * (len(right) + 1)
    program.at_most({start: 1.0, middle: 1.0, **after}, room)
    tried.take(program)


def corner_room(tried: Tried, lengths: tuple[float, float]) -> float:
    """Best score of two walls that meet at an inside corner: the right end of the first.

    Every order of bays is tried, since the one nearest the corner matters, and every way to
    stand at the corner; choices that could not be the best without any corner are left out.
    """
    kinds = tried.kinds()
    rows = [list(tried.choices(kinds, length + tried.rules.panel)) for length in lengths]
    found = []
    for first, second in product(*rows):
        if tried.fits((*first, *second), FAR):
            found.append((_at_most(tried, first, second, lengths), len(found), first, second))
    for limit, _, first, second in sorted(found, key=lambda entry: -entry[0]):
        if limit <= tried.best:
            break
        for one, other in product(_orders(first), _orders(second)):
            for way in _ways(tried):
                _corner(tried, one, other, lengths, way)
    return tried.best


def _orders(bays: Sequence[Kind]) -> set[tuple[Kind, ...]]:
    return set(permutations(bays))


def _at_most(
    tried: Tried, first: Sequence[Kind], second: Sequence[Kind], lengths: tuple[float, float]
) -> float:
    """Score that these bays cannot exceed: each wall by itself, an end of each carried."""
    panel = tried.rules.panel
    runs = bool(first) + bool(second)
    program, widths = tried.start((*first, *second), runs, runs)
    for own, length in ((widths[: len(first)], lengths[0]), (widths[len(first) :], lengths[1])):
        program.at_most(dict.fromkeys(own, 1.0), length - panel * len(own))
    found = program.best()
    return float("-inf") if found is None else found


class Way(Enum):
    """How the two walls stand at their corner: the ends there on uprights, one of them on the
    other wall, or one running through and the other butting against its boards."""

    UPRIGHTS = (None, None)
    FIRST = (0, None)
    SECOND = (1, None)
    FIRST_THROUGH = (0, 1)
    SECOND_THROUGH = (1, 0)


def _ways(tried: Tried) -> tuple[Way, ...]:
    """Ways that the brief allows; shelves that are not on one line wrap no corner (our choice)."""
    construction = tried.rules.brief.construction
    if construction.wall_ends == "uprights":
        return (Way.UPRIGHTS,)
    level = construction.top_line == "level"
    return tuple(Way) if level else (Way.UPRIGHTS, Way.FIRST, Way.SECOND)


@dataclass(frozen=True)
class Placed:
    """A bay at a corner: its clear space starts at `offset` plus the widths of `ahead`."""

    bay: Kind
    width: int
    ahead: dict[int, float]
    offset: float
    upright: float

    @property
    def footprint(self) -> float:
        """Where its footprint starts, but for what is ahead."""
        return self.offset - self.upright


def _corner(
    tried: Tried,
    first: tuple[Kind, ...],
    second: tuple[Kind, ...],
    lengths: tuple[float, float],
    way: Way,
) -> None:
    """One run on each wall, numbered from the corner outwards; rules R7, R9 and R16 for every
    pair, and no pocket in the corner."""
    bays, (wall, butts) = (first, second), way.value
    carried = [w for w in way.value if w is not None]
    if not all(bays[w] for w in carried):
        return
    if wall is not None and not Beside(lengths[1 - wall]).carries(bays[wall][0], tried.rules):
        return
    base = 0.0
    if butts is not None and wall is not None:
        if not _wrapped(bays[wall][0], bays[butts][0]):
            return
        base = bays[wall][0].depth
    runs = bool(first) + bool(second)
    program, widths = tried.start((*first, *second), runs, len(carried))
    parts = widths[: len(first)], widths[len(first) :]
    placed, gaps = [], []
    for number in (0, 1):
        gap = program.variable(0.0, 0.0 if number in carried else lengths[number])
        gaps.append(gap)
        free = base if number == butts else 0.0
        own = _row(tried, bays[number], parts[number], gap, free, stands=number not in carried)
        placed.append(own)
        if own:
            last = own[-1]
            room = lengths[number] - last.offset - tried.rules.panel
            program.at_most({**last.ahead, last.width: 1.0}, room)
    hidden = []
    for one, other in product(*placed):
        if butts is not None and one is placed[0][0] and other is placed[1][0]:
            _reached_past(tried, program, placed[wall or 0][0], placed[butts][0])
        else:
            hidden += _apart(tried, program, one, other)
    _close(program, hidden, gaps)
    tried.take(program)


def _row(
    tried: Tried,
    bays: Sequence[Kind],
    widths: Sequence[int],
    gap: int,
    base: float,
    *,
    stands: bool,
) -> list[Placed]:
    """The bays of one wall from the corner outwards; an upright `stands` there or none does."""
    panel, found = tried.rules.panel, []
    ahead: dict[int, float] = {gap: 1.0}
    for number, (bay, width) in enumerate(zip(bays, widths, strict=True)):
        own = panel if number or stands else 0.0
        base += own
        found.append(Placed(bay, width, dict(ahead), base, own))
        ahead[width] = 1.0
    return found


def _wrapped(through: Kind, butting: Kind) -> bool:
    """Whether the boards of one bay may butt against those of the other, level by level."""
    shelves = through.board_depth() is not None and butting.board_depth() is not None
    return shelves and butting.levels <= through.levels


def _reached_past(tried: Tried, program: Program, through: Placed, butting: Placed) -> None:
    """Our choice: shelves that run through are reached from their own front as well."""
    opening = tried.rules.brief.construction.corner_opening
    program.at_most({through.width: -1.0}, -butting.bay.depth - opening)
    program.at_most({butting.width: -1.0}, -opening)


def _close(program: Program, hidden: list[int], gaps: list[int]) -> None:
    """Where one bay hides behind another, one of the two runs starts at the corner."""
    second = program.variable(0.0, 1.0, whole=True)
    for pick in hidden:
        program.at_most({gaps[0]: 1.0, pick: FAR, second: -FAR}, FAR + SCRIBE)
        program.at_most({gaps[1]: 1.0, pick: FAR, second: FAR}, 2.0 * FAR + SCRIBE)


def _apart(tried: Tried, program: Program, one: Placed, other: Placed) -> list[int]:
    """The ways in which two bays at a corner keep clear of one another; one of them holds.

    Both stay out of the other's depth; or one comes into it and the other starts beyond
    its depth plus the corner clearance, and further still than the aisle unless the one
    keeps `corner_opening` of its front open beside the other. Given are the choices that leave a
    pocket, or one hidden behind the other, unless one of the two runs starts at the corner.
    """
    construction, needs = tried.rules.brief.construction, tried.rules.brief.needs
    clear, opening = construction.corner_clearance, construction.corner_opening
    picks = [program.variable(0.0, 1.0, whole=True) for _ in range(5)]
    program.at_most(dict.fromkeys(picks, -1.0), -1.0)
    out, beyond, tight = picks[0], picks[1:3], picks[3:5]
    for number, (through, beside) in enumerate(((one, other), (other, one))):
        depth = through.bay.depth
        far = max(clear, needs.aisle)
        for pick, least in ((out, 0.0), (beyond[number], far), (tight[number], clear)):
            # The gap before a bay's footprint, at least so much where this way is picked.
            row = {column: -value for column, value in beside.ahead.items()}
            program.at_most({**row, pick: FAR}, FAR - depth - least + beside.footprint)
        # What lies beyond the other's depth is open.
        row = {column: -value for column, value in through.ahead.items()}
        reach = beside.bay.depth + opening - through.offset
        program.at_most({**row, through.width: -1.0, tight[number]: FAR}, FAR - reach)
    return [out, *tight] if clear < needs.aisle else [out]
