"""Best layouts of small rooms by trying every choice of bays, from the rules of a layout."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement, product

from optimizer.domain.study import Yardstick
from optimizer.geometry.obstacles import Block
from optimizer.patterns.column import Column
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.rules import Rules
from optimizer.scoring.terms import Frame
from tests.model.bays import Kind, Program, kinds_in, scored

FAR = 1e3
"""Beyond any length in these rooms."""
SCRIBE = 1.0
"""Free wall [in] that may stay behind a bay hidden in a corner."""


class Tried:
    """Everything tried so far in one brief, and the best of it."""

    def __init__(self, catalogue: Catalogue, yardstick: Yardstick) -> None:
        self.catalogue = catalogue
        self.rules: Rules = catalogue.rules
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

    def start(self, bays: Sequence[Kind], runs: int) -> tuple[Program, list[int]]:
        """A program with the score of these bays."""
        return scored(bays, runs, self.frame, self.yardstick)

    def take(self, program: Program) -> None:
        """Note the optimum of a finished program."""
        found = program.best()
        if found is not None:
            self.best = max(self.best, found)


def uniform_wall(tried: Tried, length: float) -> float:
    """Best score of one wall with nothing on it: uprights at every bay's ends, shared."""
    panel = tried.rules.panel
    for bays in tried.choices(tried.kinds(), length - panel):
        program, widths = tried.start(bays, 1 if bays else 0)
        if bays:
            room = length - panel * (len(bays) + 1)
            program.at_most(dict.fromkeys(widths, 1.0), room)
        tried.take(program)
    return tried.best


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

    Every order of bays is tried: the one nearest the corner matters.
    """
    panel = tried.rules.panel
    kinds = tried.kinds()
    rows = []
    for length in lengths:
        most = int((length - panel) // (tried.rules.min_width + panel))
        rows.append(
            [
                bays
                for number in range(most + 1)
                for bays in product(kinds, repeat=number)
                if tried.fits(bays, length - panel)
            ]
        )
    for first, second in product(*rows):
        if tried.fits((*first, *second), FAR):
            _corner(tried, first, second, lengths)
    return tried.best


def _corner(
    tried: Tried, first: tuple[Kind, ...], second: tuple[Kind, ...], lengths: tuple[float, float]
) -> None:
    """One run on each wall, numbered from the corner outwards; rules R7 and R9 for every pair, and
    no pocket in the corner."""
    panel = tried.rules.panel
    program, widths = tried.start((*first, *second), bool(first) + bool(second))
    placed: list[list[tuple[Kind, int, dict[int, float], float]]] = [[], []]
    at = 0
    gaps: list[int] = []
    for wall, bays in enumerate((first, second)):
        gap = program.variable(0.0, lengths[wall])
        gaps.append(gap)
        ahead: dict[int, float] = {gap: 1.0}
        for number, bay in enumerate(bays):
            placed[wall].append((bay, widths[at], dict(ahead), number * panel))
            ahead[widths[at]] = 1.0
            at += 1
        if bays:
            program.at_most(ahead, lengths[wall] - panel * (len(bays) + 1))
    hidden = [
        pick for one, other in product(*placed) for pick in _apart(tried, program, one, other)
    ]
    _close(program, hidden, gaps)
    tried.take(program)


def _close(program: Program, hidden: list[int], gaps: list[int]) -> None:
    """Where one bay hides behind another, one of the two runs starts at the corner."""
    second = program.variable(0.0, 1.0, whole=True)
    for pick in hidden:
        program.at_most({gaps[0]: 1.0, pick: FAR, second: -FAR}, FAR + SCRIBE)
        program.at_most({gaps[1]: 1.0, pick: FAR, second: FAR}, 2.0 * FAR + SCRIBE)


Placed = tuple[Kind, int, dict[int, float], float]


def _apart(tried: Tried, program: Program, one: Placed, other: Placed) -> list[int]:
    """The ways in which two bays at a corner keep clear of one another; one of them holds.

    Both stay out of the other's depth; or one comes into it and the other starts beyond
    its depth plus the corner clearance, and further still than the aisle unless the one
    keeps `corner_opening` of its front open beside the other. Given are the choices in which
    one hides behind the other.
    """
    construction, needs = tried.rules.brief.construction, tried.rules.brief.needs
    opening, panel = construction.corner_opening, tried.rules.panel
    modes = [[(one, other[0].depth), (other, one[0].depth)]]
    for through, beside in ((one, other), (other, one)):
        depth = through[0].depth
        modes.append([(beside, depth + max(construction.corner_clearance, needs.aisle))])
        modes.append([(beside, depth + construction.corner_clearance)])
    picks = [program.variable(0.0, 1.0, whole=True) for _ in modes]
    program.at_most(dict.fromkeys(picks, -1.0), -1.0)
    for pick, demands in zip(picks, modes, strict=True):
        for (_, _, ahead, posts), least in demands:
            # The gap before a bay's footprint, at least `least` where this mode is picked.
            row = {column: -value for column, value in ahead.items()}
            program.at_most({**row, pick: FAR}, FAR + posts - least)
    for pick, (through, beside) in ((picks[2], (one, other)), (picks[4], (other, one))):
        _, width, ahead, posts = through
        # Its far end is at gap + upright + width; what lies beyond the other's depth is open.
        row = {column: -value for column, value in ahead.items()}
        reach = beside[0].depth + opening - panel - posts
        program.at_most({**row, width: -1.0, pick: FAR}, FAR - reach)
    return [picks[2], picks[4]] if construction.corner_clearance < needs.aisle else []
