"""Mark-out lines of what carries boards and rods: back, side, rod and joint cleats, triangles."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.construction import Fastener
from optimizer.domain.layout import Bay
from optimizer.domain.pack import MarkoutLine
from optimizer.parts.job import Job
from optimizer.structure import designs
from optimizer.structure.back_cleats import BackCleat, back_cleats, is_backed
from optimizer.structure.cleats import Held
from optimizer.structure.fixings import SCREW_KEY, length_limit, panel_fixing
from optimizer.structure.joints import JOINT_CLEAT_IN
from optimizer.structure.loads import weight_out

_ANCHOR = "hollow-wall anchor"


def _from_datum(height: float, job: Job) -> float:
    """A height above the floor as a height above the datum line, negative below it."""
    return height - job.construction.datum_height


def _weight(pounds: float, job: Job) -> str:
    """A weight in lb or kg, as a text with its unit."""
    return f"{weight_out(pounds, job.units):.0f} {job.weight_unit}"


def back_cleat_lines(bay: Bay, job: Job) -> Iterator[MarkoutLine]:
    """Back cleats of a bay from the floor up."""
    for cleat in back_cleats(job.standing, bay):
        held, fixing = cleat.held, cleat.held.fixing
        at_studs = 0 if fixing is None else fixing.each * len(cleat.studs)
        ends = list(_ends_on(cleat, job))
        yield MarkoutLine(
            order=1,
            wall=bay.wall,
            kind="cleat",
            part=cleat.part,
            height=cleat.board.underside,
            from_datum=_from_datum(cleat.board.underside, job),
            start=cleat.start,
            end=cleat.end,
            studs=cleat.studs,
            fastener=_ANCHOR if fixing is None else fixing.name,
            fastener_length=None if fixing is None else fixing.length,
            fasteners=(at_studs or held.anchors) + sum(map(_driven, ends)),
            flagged=fixing is None,
            note="; ".join((*_back_notes(cleat, job), *map(_end_note, ends))),
        )


def _ends_on(cleat: BackCleat, job: Job) -> Iterator[designs.OnWall]:
    """What ends on a back cleat of the boards that run through a wrapped corner."""
    for bay in cleat.carries:
        for left in (True, False):
            for end in designs.wall_cleats(job.standing, bay, left=left):
                if end.shared == cleat.part:
                    yield end


def _driven(end: designs.OnWall) -> int:
    """Fasteners of the end of a board into studs."""
    held = (end.held.back, end.held.front)
    return sum(one.fixing.each for one in held if one.fixing is not None)


def _end_note(end: designs.OnWall) -> str:
    """What more a back cleat takes where it carries the end of another wall's board."""
    back, front = end.held.back, end.held.front
    named = "" if end.board is None else f"-S{end.board.number}"
    words = [f"runs on to the corner and carries the end of {end.bay.id}{named}"]
    if back.fixing is not None:
        words.append(f"{back.fixing.each} into the stud in the corner (taken to be there: find it)")
    if front.fixing is not None:
        words.append(f"{front.fixing.each} into a stud under the front of that board")
    if front.anchors:
        plural = "" if front.anchors == 1 else "s"
        words.append(f"{front.anchors} hollow-wall anchor{plural} under the front of that board")
    return ": ".join((words[0], ", ".join(words[1:]))) if words[1:] else words[0]


def unbacked_lines(bay: Bay, job: Job) -> Iterator[MarkoutLine]:
    """Side cleats on uprights under boards without a back cleat: no other line has their height."""
    backless = {
        board.number
        for board in job.standing.boards(bay)
        if board.cleat and not is_backed(job.standing, bay, board)
    }
    for left in (True, False):
        for cleat in designs.upright_cleats(job.standing, bay, left=left):
            if cleat.board.number in backless:
                yield _upright_line(cleat, job)


def _upright_line(cleat: designs.UprightCleat, job: Job) -> MarkoutLine:
    """The height of a side cleat on the face of an upright."""
    thick, fixing = job.construction.cleat_thickness, panel_fixing(job.construction, job.units)
    start = cleat.bay.start if cleat.left else cleat.bay.end - thick
    return MarkoutLine(
        order=1,
        wall=cleat.bay.wall,
        kind="side_cleat",
        part=cleat.part,
        height=cleat.board.underside,
        from_datum=_from_datum(cleat.board.underside, job),
        start=start,
        end=start + thick,
        fastener=fixing.name,
        fastener_length=fixing.length,
        fasteners=cleat.screws,
        note="top edge, on the face of the upright; no back cleat behind this board",
    )


def _back_notes(cleat: BackCleat, job: Job) -> Iterator[str]:
    """What to know about one back cleat."""
    board, held = cleat.board, cleat.held
    yield "top edge; the cleats at both ends level with it"
    if len(cleat.bays) > 1:
        names = ", ".join(bay.id for bay in cleat.bays)
        yield f"runs through behind {names}: the uprights between are notched over it"
    if board.cleat_back:
        yield f"pack it out {job.short(board.cleat_back)} over the baseboard"
    if held.fixing is None:
        each = _weight(held.load / max(1, held.anchors), job)
        yield (
            f"CATCHES NO STUD: fix it with {held.anchors} hollow-wall anchors ({each} on each), or "
            "let blocking into the wall between the studs"
        )
        return
    if job.construction.fastener is Fastener.BRADS and held.fixing.key == SCREW_KEY:
        yield "brads fall short of the load here: screws instead"
    limit = job.short(length_limit(job.construction, board.cleat_back))
    yield f"no fastener longer than {limit} here: cables and pipes"
    if len(cleat.studs) == 1:
        yield "one stud only: put a hollow-wall anchor near the far end"
    # The one anchor beside a single stud has been told.
    if held.anchors > (1 if len(cleat.studs) == 1 else 0):
        yield f"{held.anchors} hollow-wall anchors between the studs as well"


def end_lines(bay: Bay, job: Job) -> Iterator[MarkoutLine]:
    """Cleats on side walls, drawn there, and joint cleats of wrapped corners."""
    for left in (True, False):
        for cleat in designs.wall_cleats(job.standing, bay, left=left):
            if not cleat.shared:
                yield _wall_line(cleat, job)
        for joint in designs.joint_cleats(job.standing, bay, left=left):
            yield _joint_line(joint, job)


def _wall_line(cleat: designs.OnWall, job: Job) -> MarkoutLine:
    """The line of a cleat on a side wall, in positions along that wall."""
    wall = job.side_wall_of(cleat.bay, left=cleat.left)
    length = job.walls[wall].clear_length
    # The side wall at a bay's left end meets it with its own right end.
    start, end = cleat.begin, cleat.reach
    if cleat.left:
        start, end = length - cleat.reach, length - cleat.begin
    back, front = cleat.held.back, cleat.held.front
    # The schedule has one column for a fastener: the front one, since the note tells that of the
    # corner.
    fixing = front.fixing or back.fixing
    return MarkoutLine(
        order=1,
        wall=wall,
        kind="side_cleat" if cleat.rod is None else "rod_cleat",
        part=cleat.part,
        height=cleat.top,
        from_datum=_from_datum(cleat.top, job),
        start=start,
        end=end,
        studs=_studs_used(cleat, wall, job),
        fastener=_ANCHOR if fixing is None else fixing.name,
        fastener_length=None if fixing is None else fixing.length,
        fasteners=_driven(cleat),
        flagged=front.fixing is None,
        note="; ".join(_wall_notes(cleat, job)),
    )


def _studs_used(cleat: designs.OnWall, wall: str, job: Job) -> tuple[float, ...]:
    """Listed studs that the cleat crosses, from the left of its wall."""
    length = job.walls[wall].clear_length
    low, high = cleat.begin, cleat.reach
    if cleat.left:
        low, high = length - high, length - low
    return tuple(at for at in job.standing.studs[wall] if low <= at <= high)


def _wall_notes(cleat: designs.OnWall, job: Job) -> Iterator[str]:
    """What to know about one cleat on a side wall."""
    back, front = cleat.held.back, cleat.held.front
    if cleat.rod is None:
        yield "top edge; carries the end of the board of its number"
    else:
        also = f", and the end of {cleat.bay.id}-S{cleat.board.number}" if cleat.board else ""
        yield f"top edge; takes the socket of {cleat.bay.id}-R{cleat.rod}{also}"
    if back.fixing is not None:
        yield f"{back.fixing.each} into the stud in the corner (taken to be there: find it)"
    plural = "" if front.anchors == 1 else "s"
    if front.fixing is not None:
        yield f"{front.fixing.each} into the stud towards the front"
        if front.anchors:
            yield f"{front.anchors} hollow-wall anchor{plural} in its front half as well"
    else:
        yield (
            f"no stud in its front half: {front.anchors} hollow-wall anchor{plural} there "
            f"({_weight(front.load, job)} in all), or let blocking into the wall"
        )


def _joint_line(joint: designs.JointCleat, job: Job) -> MarkoutLine:
    """The line of a cleat under a joint in a wrapped corner."""
    half = job.units.from_inch(JOINT_CLEAT_IN) / 2.0
    other = job.side_wall_of(joint.bay, left=joint.left)
    fixing = joint.held.fixing
    return MarkoutLine(
        order=1,
        wall=joint.bay.wall,
        kind="joint_cleat",
        part=joint.part,
        height=joint.board.underside,
        from_datum=_from_datum(joint.board.underside, job),
        start=joint.at - half,
        end=joint.at + half,
        fastener="" if fixing is None else fixing.name,
        fastener_length=None if fixing is None else fixing.length,
        fasteners=0 if fixing is None else 2 * fixing.each,
        note=f"flat under the joint with the boards of wall {other}, half of it under each: glue "
        "it, and screw it up into both",
    )


def mid_support_lines(bay: Bay, job: Job) -> Iterator[MarkoutLine]:
    """Triangles or brackets of a bay and the centre brackets of its rods, each on its stud."""
    bought = job.construction.mid_support == "bracket"
    for support in designs.mid_supports(job.standing, bay):
        word = "bracket under the board" if bought else "triangle under the board of its number"
        backed = is_backed(job.standing, bay, support.board)
        yield _mid_line(
            bay,
            job,
            part=f"{bay.id}-S{support.board.number}" if bought else support.part,
            height=support.board.underside,
            at=support.at,
            held=support.held,
            note=f"{word}; {'through the back cleat' if backed else 'no back cleat behind it'}: "
            f"two at its top, one at its foot{'' if bought else ', at a slant'}",
        )
    for bracket in designs.rod_brackets(job.standing, bay):
        yield _mid_line(
            bay,
            job,
            part=f"{bay.id}-R{bracket.rod}",
            height=bracket.height,
            at=bracket.at,
            held=bracket.held,
            note="centre bracket of the rod, rod centre at this height",
        )


def _mid_line(
    bay: Bay, job: Job, *, part: str, height: float, at: float, held: Held, note: str
) -> MarkoutLine:
    """The line of a mid support or centre bracket at `at` along its wall."""
    # Within half a stud's width of the middle of the support.
    studs = tuple(
        stud
        for stud in job.standing.studs[bay.wall]
        if abs(stud - at) <= job.units.from_inch(0.75) + job.tolerance
    )
    if not studs:
        note += "; NO STUD IS LISTED HERE: find it, or let blocking into the wall"
    return MarkoutLine(
        order=1,
        wall=bay.wall,
        kind="mid_support",
        part=part,
        height=height,
        from_datum=_from_datum(height, job),
        start=at - job.panel / 2.0,
        end=at + job.panel / 2.0,
        studs=studs,
        fastener="" if held.fixing is None else held.fixing.name,
        fastener_length=None if held.fixing is None else held.fixing.length,
        fasteners=0 if held.fixing is None else held.fixing.each,
        flagged=not studs,
        note=note,
    )
