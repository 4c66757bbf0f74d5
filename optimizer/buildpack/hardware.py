"""What is bought by the piece: sockets, brackets, hooks, screws, brads and anchors, counted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from optimizer.buildpack.ends import side_wall, studs_behind
from optimizer.buildpack.mounts import mount_hardware
from optimizer.domain.construction import Fastener
from optimizer.domain.layout import Bay
from optimizer.domain.pack import Hardware, Part, PartKind
from optimizer.parts.boards import BoardPart, boards_in, has_stiffener
from optimizer.parts.job import Job
from optimizer.parts.uprights import bracket_heights, uprights_on
from optimizer.structure import designs
from optimizer.structure.back_cleats import back_cleats
from optimizer.structure.cleats import Held
from optimizer.structure.fixings import (
    PANEL_SCREW_KEY,
    STIFFENER_SCREW_KEY,
    panel_fixing,
    spaced,
    stiffener_fixing,
    stud_fixing,
)

SOCKET_KEY = "rod_socket"
BRACKET_KEY = "angle_bracket"
SHELF_BRACKET_KEY = "shelf_bracket"
ROD_BRACKET_KEY = "rod_bracket"
ANCHOR_KEY = "wall_anchor"
BOARD_BRAD_KEY = "board_brad"

SOCKETS_PER_ROD = 2
LEAST_WALL_SCREWS = 6
"""Least screws through an upright that stands flat against a side wall, two at each of three
heights; two at every `upright_hold` of a taller one: common practice."""
BOARD_BRAD_SPACING_IN = 8.0
STRIP_BRAD_SPACING_IN = 12.0
"""Brads of boards on cleats and of strips on uprights: common practice."""
BRADS_PER_TRIANGLE = 2
"""Brads down through a board into the triangle under it: common practice."""

_ANCHOR = "hollow-wall anchor"
_Count = tuple[str, str, int, str, str]
"""Key in the price book, name, count, what it is used for, and the part."""


def hardware_of(job: Job, parts: Iterable[Part]) -> tuple[Hardware, ...]:
    """Everything counted by the piece, with the parts it is for."""
    found: dict[tuple[str, str, str], tuple[int, list[str]]] = {}
    for key, name, count, used_for, part in _counted(job, tuple(parts)):
        # Nothing of a kind is no line: lists are for the shop.
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
    """Every single purpose for which something is bought by the piece, with its count."""
    for part in parts:
        if part.kind is PartKind.ROD:
            name = f"rod socket for {job.short(part.width)}"
            yield SOCKET_KEY, name, SOCKETS_PER_ROD, "rods", part.id
    for wall, bays in job.bays_by_wall.items():
        yield from _uprights(wall, job)
        for bay in bays:
            yield from _cleats(bay, job)
            yield from _mid_supports(bay, job)
            for board in boards_in(bay, job):
                yield from _boards(board, job)
    yield from mount_hardware(job)
    for part in parts:
        if part.kind in (PartKind.FILLER, PartKind.SCRIBE):
            # Along both its edges.
            count = 2 * spaced(part.length, job.units, STRIP_BRAD_SPACING_IN)
            yield BOARD_BRAD_KEY, _brad_name(job), count, "strips on uprights and wall", part.id


def _brad_name(job: Job) -> str:
    """The brad that goes through a board and as deep again into what carries it."""
    return f"18 ga x {job.short(job.cut(2 * job.panel))} brad"


def wall_screws(top: float, job: Job) -> int:
    """Screws of an upright `top` high that stands flat against a side wall."""
    return max(LEAST_WALL_SCREWS, 2 * (int(top / job.construction.upright_hold + 1e-9) + 1))


def _uprights(wall: str, job: Job) -> Iterator[_Count]:
    """What holds uprights: brackets to the wall behind, or screws into a side wall."""
    for upright in uprights_on(wall, job):
        if side_wall(upright, job) is None:
            count, purpose = len(bracket_heights(upright, job)), "uprights to the wall behind"
            yield BRACKET_KEY, "angle bracket", count, purpose, upright.id
            if not studs_behind(upright, job):
                yield ANCHOR_KEY, _ANCHOR, count, "brackets with no stud behind", upright.id
        else:
            # The screw goes through a panel instead of a cleat: the difference counts as packing.
            packing = job.panel - job.construction.cleat_thickness
            fixing = stud_fixing(job.construction, job.units, packing, kind=Fastener.SCREWS)
            purpose = "uprights to studs of the side wall"
            yield fixing.key, fixing.name, wall_screws(upright.top, job), purpose, upright.id


def _held(held: Held, places: int, to: str, beside: str, part: str) -> Iterator[_Count]:
    """Fasteners of a cleat: so many at each of `places`, and the anchors beside them."""
    if held.fixing is not None:
        yield held.fixing.key, held.fixing.name, held.fixing.each * places, to, part
    yield ANCHOR_KEY, _ANCHOR, held.anchors, beside, part


def _cleats(bay: Bay, job: Job) -> Iterator[_Count]:
    """What fastens the cleats of a bay, at its back and at both ends."""
    for back in back_cleats(job.standing, bay):
        yield from _held(
            back.held,
            len(back.studs),
            "back cleats to studs",
            "back cleats beside studs",
            back.part,
        )
    for left in (True, False):
        for cleat in designs.wall_cleats(job.standing, bay, left=left):
            for held in (cleat.held.back, cleat.held.front):
                yield from _held(
                    held, 1, "cleats to studs of side walls", "cleats on side walls", cleat.part
                )
        yield from _panel_screws(bay, job, left=left)


def _panel_screws(bay: Bay, job: Job, *, left: bool) -> Iterator[_Count]:
    """Screws of side cleats into uprights, and of joint cleats up into boards."""
    for side in designs.upright_cleats(job.standing, bay, left=left):
        name = panel_fixing(job.construction, job.units).name
        yield PANEL_SCREW_KEY, name, side.screws, "side cleats to uprights", side.part
    for joint in designs.joint_cleats(job.standing, bay, left=left):
        fixing = joint.held.fixing
        if fixing is not None:
            # As many up into either board.
            count = 2 * fixing.each
            yield PANEL_SCREW_KEY, fixing.name, count, "joint cleats to boards", joint.part


def _mid_supports(bay: Bay, job: Job) -> Iterator[_Count]:
    """What mid supports of a bay are screwed and nailed with; brackets where they are bought."""
    bought = job.construction.mid_support == "bracket"
    for support in designs.mid_supports(job.standing, bay):
        word = "brackets" if bought else "triangles"
        yield from _held(support.held, 1, f"{word} to studs", "", support.part)
        if bought:
            size = f"shelf bracket, {job.short(support.out)} x {job.short(support.leg)} or more"
            yield SHELF_BRACKET_KEY, size, 1, "boards between their ends", support.part
        else:
            name = _brad_name(job)
            yield BOARD_BRAD_KEY, name, BRADS_PER_TRIANGLE, "boards on triangles", support.part
    for bracket in designs.rod_brackets(job.standing, bay):
        yield from _held(bracket.held, 1, "centre brackets to studs", "", bracket.part)
        name = f"rod centre bracket, {job.short(job.construction.rod_setback)} from the wall"
        yield ROD_BRACKET_KEY, name, 1, "rods between their ends", f"{bay.id}-R{bracket.rod}"


def _boards(board: BoardPart, job: Job) -> Iterator[_Count]:
    """Brads of a board on its cleats, and screws of its stiffener."""
    # A board lies on three cleats, or on uprights in their place.
    back = spaced(board.bay.width, job.units, BOARD_BRAD_SPACING_IN)
    sides = 2 * spaced(board.depth, job.units, BOARD_BRAD_SPACING_IN)
    if board.cleat:
        purpose = "boards on cleats and uprights"
        yield BOARD_BRAD_KEY, _brad_name(job), back + sides, purpose, board.id
    if has_stiffener(board, job):
        count = spaced(board.bay.width, job.units)
        fixing = stiffener_fixing(job.construction, job.units)
        name = f"{'#8 screw' if fixing is None else fixing.name}, countersunk"
        part = f"{board.bay.id}-N{board.number}"
        yield STIFFENER_SCREW_KEY, name, count, "boards to stiffeners", part
