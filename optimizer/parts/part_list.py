"""Parts of a layout: every piece to cut, where it stands and how big it is on the saw."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.layout import Bay, Carried, Zone
from optimizer.domain.pack import Box, Edge, Notch, Part, PartKind, Stock
from optimizer.errors import BuildError
from optimizer.parts.boards import boards_in, has_stiffener, shelf_part, stiffener_part
from optimizer.parts.hook_boards import hook_boards
from optimizer.parts.job import Job, rod_height_of, rods_of
from optimizer.parts.strips import filler_parts
from optimizer.parts.supports import supports_in
from optimizer.parts.topboards import in_run, top_board_parts
from optimizer.parts.uprights import Upright, covered, uprights_on
from optimizer.reference.materials import rod
from optimizer.structure.back_cleats import through_cleat


def parts_of_job(job: Job) -> tuple[Part, ...]:
    """Every part of a layout, wall by wall: uprights, then bays from left to right, fillers;
    then the boards of hooks.

    Sizes [brief units] are on the cutting grid and never overfill. Under a level line the top
    shelf is one board over neighbouring bays, and comes with the first of them.
    Raises BuildError, naming the part or the bay, for what cannot be cut.
    """
    parts: list[Part] = []
    for wall, bays in job.bays_by_wall.items():
        uprights = uprights_on(wall, job)
        parts += [_upright(upright, job) for upright in uprights]
        for bay in bays:
            parts += _bay_parts(bay, job)
        parts += filler_parts(wall, uprights, job)
    parts += [part for wall in job.walls for part in hook_boards(wall, job)]
    return tuple(parts)


def _bay_parts(bay: Bay, job: Job) -> Iterator[Part]:
    """Boards from the floor up, each with what carries it, then rods."""
    # By number of board, so that each board is followed by what carries it, as they are put up.
    carrying: dict[int, list[Part]] = {}
    boards = boards_in(bay, job)
    for number, part in supports_in(bay, job):
        carrying.setdefault(number, []).append(part)
    for board in boards:
        if in_run(board, job):
            yield from top_board_parts(board, job)
        else:
            yield shelf_part(board, job)
        yield from carrying.get(board.number, ())
        if has_stiffener(board, job):
            yield stiffener_part(board, job)
    yield from carrying.get(0, ())
    for number, zone in enumerate(rods_of(bay), 1):
        yield _rod(bay, zone, number, job)


def _notches(upright: Upright, job: Job) -> tuple[Notch, ...]:
    """Notches of an upright: over the baseboard at its foot, over a through cleat at its top."""
    rules, found = job.construction, []
    # Up, since a notch too small does not go over the baseboard; the foot stands on the carpet.
    height = job.cut_up(rules.baseboard_height - rules.carpet_thickness)
    depth = job.cut_up(rules.baseboard_thickness)
    if height > 0.0 and depth > 0.0:
        found.append(Notch(depth=depth, height=height))
    cleat = through_cleat(job.standing, upright.left_bay) if upright.left_bay else None
    if cleat is not None and upright.right_bay is not None:
        depth = job.cut_up(cleat.board.cleat_back + rules.cleat_thickness)
        height = job.cut_up(cleat.board.cleat)
        found.append(Notch(corner="back_top", depth=depth, height=height))
    return tuple(found)


_CORNERS = {"back_bottom": "at the back of its foot", "back_top": "at the back of its top"}


def _upright(upright: Upright, job: Job) -> Part:
    """An upright as a part to cut."""
    rules = job.construction
    length, width = job.cut(upright.top - rules.carpet_thickness), job.cut(upright.depth)
    notches = _notches(upright, job)
    if length <= sum(n.height for n in notches) or any(n.depth >= width for n in notches):
        raise BuildError(f"upright {upright.id} has no height left above baseboard and carpet")
    # The top edge is seen where the upright ends below what is over it and no board covers it.
    short = upright.top < upright.clear - rules.upright_clearance - job.tolerance
    open_top = short and not covered(upright, job)
    note = "; ".join(
        f"notch {job.short(n.depth)} x {job.short(n.height)} {_CORNERS[n.corner]}" for n in notches
    )
    return Part(
        id=upright.id,
        name="Upright",
        kind=PartKind.UPRIGHT,
        stock=Stock.SHEET,
        material=rules.material.value,
        length=length,
        width=width,
        thickness=job.panel,
        wall=upright.wall,
        bays=tuple(bay.id for bay in upright.bays),
        box=Box(
            along=upright.start,
            out=0.0,
            bottom=rules.carpet_thickness,
            size_along=job.panel,
            size_out=width,
            size_up=length,
        ),
        grain=rules.grain,
        shown=(Edge.FRONT, Edge.TOP) if open_top else (Edge.FRONT,),
        notches=notches,
        note=note,
    )


def _rod(bay: Bay, zone: Zone, number: int, job: Job) -> Part:
    """A rod as a part to cut."""
    rules = job.construction
    chosen, height = rod(rules.rod_stock), rod_height_of(zone, bay)
    diameter = job.units.from_inch(chosen.outside)
    # On a side wall the socket sits on the rod cleat.
    start = bay.start + (job.panel if bay.left is Carried.WALL else 0.0)
    end = bay.end - (job.panel if bay.right is Carried.WALL else 0.0)
    length = job.cut(end - start - rules.rod_allowance)
    part_id = f"{bay.id}-R{number}"
    if length <= 0.0:
        raise BuildError(f"rod {part_id} has no length left between its sockets")
    return Part(
        id=part_id,
        name="Rod",
        kind=PartKind.ROD,
        stock=Stock.ROD,
        material=rules.rod_stock.value,
        length=length,
        width=diameter,
        thickness=diameter,
        wall=bay.wall,
        bays=(bay.id,),
        box=Box(
            # What the rod is cut short by is shared by its two sockets.
            along=start + (end - start - length) / 2.0,
            out=rules.rod_setback - diameter / 2.0,
            bottom=height - diameter / 2.0,
            size_along=length,
            size_out=diameter,
            size_up=diameter,
        ),
        hang=zone.hang,
        note=_rod_note(bay, height, job),
    )


def _rod_note(bay: Bay, height: float, job: Job) -> str:
    """What to know about a rod when it is cut and hung."""
    note = f"centre {job.short(height)} up, {job.short(job.construction.rod_setback)} from the wall"
    if bay.mid_supports:
        places = ", ".join(job.short(at - bay.start) for at in bay.mid_supports)
        note += f"; centre bracket {places} from the left end of its bay"
    if job.measured_on_site(bay):
        note += "; cut after its sockets are up"
    return note
