"""Each back cleat on its studs: what it carries, what holds it, and whether that is enough."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from optimizer.buildpack.boards import Board, boards_in, side_cleat_length
from optimizer.buildpack.job import Job
from optimizer.domain.construction import Fastener
from optimizer.domain.layout import Bay
from optimizer.structure.cleats import combined_share
from optimizer.structure.fasteners import Driven, wood_screw
from optimizer.structure.fixings import (
    SCREW_KEY,
    Fixing,
    panel_screw_shear,
    spaced,
    stud_fixing,
    stud_holds,
    studs_caught,
)
from optimizer.structure.loads import area_load_psi, board_pressure_psi, weight_out

MOST_SCREWS = 2
"""Screws that fit above one another at a stud in a cleat 2 in high: common practice."""
ANCHOR_LOAD_LB = 25.0
"""What one hollow-wall anchor rated 50 lb is trusted with: half of it, common practice."""


@dataclass(frozen=True, slots=True)
class CleatLine:
    """A back cleat from `start` to `end` of its wall with its top at `top` [brief units].

    `load` [lb] is half of the shelf, full, own weight counted: the side cleats are given the
    other half each, so that either holds if the other slackens. `at_stud` [lb] is the part
    that comes to the stud with the most. `anchors` are needed where studs are missing.
    """

    board: Board
    part: str
    start: float
    end: float
    top: float
    studs: tuple[float, ...]
    fixing: Fixing
    load: float
    at_stud: float
    anchors: int

    @property
    def packing(self) -> float:
        """How far a baseboard holds it off the wall."""
        return self.board.cleat_back

    @property
    def fasteners(self) -> int:
        """Fasteners into studs."""
        return len(self.studs) * self.fixing.each


def shelf_load_lb(board: Board, job: Job) -> float:
    """Load [lb] of a full shelf, its own weight counted."""
    rules = job.construction
    pressure = area_load_psi(rules.shelf_load, job.units) + board_pressure_psi(rules, job.units)
    to_inch = job.units.to_inch
    return pressure * to_inch(board.depth) * to_inch(board.bay.width)


def largest_share(start: float, end: float, studs: Sequence[float]) -> float:
    """Largest part of a cleat's length that hangs on one stud, 0 to 1; 0 without studs."""
    if not studs:
        return 0.0
    borders = [start, *((a + b) / 2.0 for a, b in pairwise(studs)), end]
    return max(b - a for a, b in pairwise(borders)) / (end - start)


def cleat_line(board: Board, job: Job) -> CleatLine:
    """The back cleat of one board, with fasteners that hold it where there are any."""
    rules, bay = job.construction, board.bay
    length = job.cut(bay.width - rules.shelf_clearance)
    start = bay.start + (bay.width - length) / 2.0
    studs = studs_caught(job.walls[bay.wall], start, start + length, job.units)
    load = shelf_load_lb(board, job) / 2.0
    anchors = 1 if len(studs) == 1 else 0
    if not studs:
        anchors = max(2, math.ceil(load / ANCHOR_LOAD_LB - 1e-9))
    line = CleatLine(
        board=board,
        part=f"{bay.id}-K{board.number}",
        start=start,
        end=start + length,
        top=board.underside,
        studs=studs,
        fixing=stud_fixing(rules, job.units, board.cleat_back),
        load=load,
        at_stud=load * largest_share(start, start + length, studs),
        anchors=anchors,
    )
    return _strengthened(line, job)


def _strengthened(line: CleatLine, job: Job) -> CleatLine:
    """The line with a second screw at each stud, then number 10, where screws fall short."""
    one = line.fixing
    if one.key != SCREW_KEY or not line.studs:
        return line
    thick = replace(one, driven=wood_screw(10, one.driven.length), each=MOST_SCREWS)
    choices = (one, replace(one, each=MOST_SCREWS), thick)
    for fixing in choices:
        if used_share(line, job, fixing.driven, fixing.each) <= 1.0:
            return replace(line, fixing=fixing)
    return replace(line, fixing=thick)


def cleat_lines(wall: str, job: Job) -> Iterator[CleatLine]:
    """Back cleats of one wall, bay by bay from the left, from the floor up."""
    for bay in job.bays_by_wall[wall]:
        yield from cleat_lines_in(bay, job)


def cleat_lines_in(bay: Bay, job: Job) -> Iterator[CleatLine]:
    """Back cleats of one bay from the floor up; a board that lies on the floor has none."""
    for board in boards_in(bay, job):
        if board.cleat:
            yield cleat_line(board, job)


def used_share(line: CleatLine, job: Job, driven: Driven, each: int) -> float:
    """Used share of `each` such fasteners at the stud with the most; above 1 falls short.

    The load sits in the middle of the cleat's thickness and turns it about its lower edge,
    which the fastener at mid-height holds: withdrawal = shear x thickness / height.
    """
    rules = job.construction
    shear, pull = stud_holds(driven, each, rules, job.units, line.packing)
    turned = line.at_stud * rules.cleat_thickness / line.board.cleat
    return combined_share(driven.kind, (line.at_stud, shear), (turned, pull))


def other_fixing(line: CleatLine, job: Job) -> Fixing:
    """Screws where brads are chosen and the other way round, of the same place."""
    chosen = job.construction.fastener
    other = Fastener.BRADS if chosen is Fastener.SCREWS else Fastener.SCREWS
    return stud_fixing(job.construction, job.units, line.packing, kind=other)


def side_screws(board: Board, job: Job) -> int:
    """Screws of one side cleat: at most 6 in apart and enough for half of the shelf."""
    needed = math.ceil(
        shelf_load_lb(board, job) / 2.0 / panel_screw_shear(job.construction, job.units) - 1e-9
    )
    return max(needed, spaced(side_cleat_length(board, job), job.units))


def no_stud_advice(line: CleatLine, job: Job) -> str:
    """What to do where a cleat catches no stud."""
    each = weight_out(line.load / line.anchors, job.units)
    load = weight_out(2.0 * line.load, job.units)
    return (
        f"fix it with {line.anchors} hollow-wall anchors ({each:.0f} {job.weight_unit} on each), "
        "or let blocking into the wall between the studs; the side cleats must then be able to "
        f"carry the whole shelf, {load:.0f} {job.weight_unit}"
    )
