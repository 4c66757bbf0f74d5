"""What is bought by the piece: sockets, brackets, screws, brads and anchors, counted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from optimizer.buildpack.boards import Board, boards_in, has_stiffener
from optimizer.buildpack.cleatlines import cleat_lines, side_screws
from optimizer.buildpack.ends import side_wall, studs_behind
from optimizer.buildpack.job import Job
from optimizer.buildpack.uprights import uprights_on
from optimizer.domain.construction import Fastener
from optimizer.domain.pack import Hardware, Part, PartKind
from optimizer.structure.fixings import PANEL_SCREW_KEY, panel_fixing, spaced, stud_fixing

SOCKET_KEY = "rod_socket"
BRACKET_KEY = "angle_bracket"
ANCHOR_KEY = "wall_anchor"
STIFFENER_SCREW_KEY = "stiffener_screw"
BOARD_BRAD_KEY = "board_brad"

SOCKETS_PER_ROD = 2
BRACKETS_PER_UPRIGHT = 2
"""At the head and near the foot of an upright, to the wall behind: common practice."""
WALL_SCREWS_PER_UPRIGHT = 6
"""Through an upright that stands flat against a side wall, two at each of three heights:
common practice."""
BOARD_BRAD_SPACING_IN = 8.0
STRIP_BRAD_SPACING_IN = 12.0
"""Brads of boards on cleats and of strips on uprights: common practice."""

_Count = tuple[str, str, int, str, str]


def hardware_of(job: Job, parts: Iterable[Part]) -> tuple[Hardware, ...]:
    """Everything counted by the piece, with the parts it is for."""
    found: dict[tuple[str, str, str], tuple[int, list[str]]] = {}
    for key, name, count, used_for, part in _counted(job, tuple(parts)):
        if count:
            before, ids = found.get((key, name, used_for), (0, []))
            found[key, name, used_for] = (before + count, [*ids, part])
    return tuple(
        Hardware(
            key=key, name=name, count=count, used_for=used_for, parts=tuple(dict.fromkeys(ids))
        )
        for (key, name, used_for), (count, ids) in found.items()
    )


def _counted(job: Job, parts: tuple[Part, ...]) -> Iterator[_Count]:
    for part in parts:
        if part.kind is PartKind.ROD:
            name = f"rod socket for {_diameter(part, job)}"
            yield SOCKET_KEY, name, SOCKETS_PER_ROD, "rods on uprights", part.id
    for wall in job.bays_by_wall:
        yield from _uprights(wall, job)
        yield from _cleats(wall, job)
        for bay in job.bays_by_wall[wall]:
            for board in boards_in(bay, job):
                yield from _boards(board, job)
    for part in parts:
        if part.kind in (PartKind.FILLER, PartKind.SCRIBE):
            count = 2 * spaced(part.length, job.units, STRIP_BRAD_SPACING_IN)
            yield BOARD_BRAD_KEY, _brad_name(job), count, "strips on uprights and wall", part.id


def _diameter(part: Part, job: Job) -> str:
    return job.short(part.width)


def _brad_name(job: Job) -> str:
    """The brad that goes through a board and as deep again into what carries it."""
    return f"18 ga x {job.short(job.cut(2 * job.panel))} brad"


def _uprights(wall: str, job: Job) -> Iterator[_Count]:
    for upright in uprights_on(wall, job):
        beside = side_wall(upright, job)
        if beside is None:
            purpose = "uprights to the wall behind"
            yield BRACKET_KEY, "angle bracket", BRACKETS_PER_UPRIGHT, purpose, upright.id
            if not studs_behind(upright, job):
                purpose = "brackets with no stud behind"
                yield ANCHOR_KEY, "hollow-wall anchor", BRACKETS_PER_UPRIGHT, purpose, upright.id
        else:
            packing = job.panel - job.construction.cleat_thickness
            fixing = stud_fixing(job.construction, job.units, packing, kind=Fastener.SCREWS)
            purpose = "uprights to studs of the side wall"
            yield fixing.key, fixing.name, WALL_SCREWS_PER_UPRIGHT, purpose, upright.id


def _cleats(wall: str, job: Job) -> Iterator[_Count]:
    screw = panel_fixing(job.construction, job.units)
    for line in cleat_lines(wall, job):
        yield (
            line.fixing.key,
            line.fixing.name,
            line.fasteners,
            "back cleats to studs",
            line.part,
        )
        yield ANCHOR_KEY, "hollow-wall anchor", line.anchors, "back cleats beside studs", line.part
        count = side_screws(line.board, job)
        for side in "LR":
            yield PANEL_SCREW_KEY, screw.name, count, "side cleats to uprights", line.part + side


def _boards(board: Board, job: Job) -> Iterator[_Count]:
    back = spaced(board.bay.width, job.units, BOARD_BRAD_SPACING_IN)
    sides = 2 * spaced(board.depth, job.units, BOARD_BRAD_SPACING_IN)
    if board.cleat:
        yield BOARD_BRAD_KEY, _brad_name(job), back + sides, "boards on cleats", board.id
    if has_stiffener(board, job):
        count = spaced(board.bay.width, job.units)
        name = "#8 screw, countersunk"
        part = f"{board.bay.id}-N{board.number}"
        yield STIFFENER_SCREW_KEY, name, count, "boards to stiffeners", part
