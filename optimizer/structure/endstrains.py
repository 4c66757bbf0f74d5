"""What holds the boards and rods of a bay: cleats, sockets, joints, mid supports, uprights."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.layout import Bay, Carried
from optimizer.reference.materials import CREEP_SOURCE, stock
from optimizer.structure.boardstrains import board_name, end_patch, piece_load
from optimizer.structure.cleats import Held, back_cleat, board_on_wall, side_cleat, wall_cleat
from optimizer.structure.fixings import spaced, studs_caught
from optimizer.structure.joints import joint_cleat, mid_support, rod_bracket, socket
from optimizer.structure.loads import rod_load_lb, weight_out
from optimizer.structure.members import (
    Board,
    lies_on_uprights,
    rod_cleat_height,
    rod_cleat_joined,
    rod_heights,
    rod_reach,
    side_cleat_length,
    side_cleat_reach,
    triangle_leg,
    upright_depth,
)
from optimizer.structure.standing import Side, Standing, pieces_of
from optimizer.structure.strain import MOST, Figure, Kind, Strain, in_weight, weight_unit
from optimizer.structure.uprights import upright_check
from optimizer.units import state_length

_NDS = "National Design Specification for Wood Construction, chapter 12, C_D 0.9"
_HALF = "half of the full board"


def _strain(
    standing: Standing,
    bay: Bay,
    held: Held,
    *,
    kind: Kind,
    part: str,
    name: str,
    check: str,
    formula: str,
    source: str = _NDS,
    count: int = 0,
    figures: tuple[Figure, ...] = (),
) -> Strain:
    units = standing.units
    return Strain(
        bays=(bay.id,),
        index=standing.index[bay.id],
        kind=kind,
        part=part,
        name=name,
        check=check,
        share=min(held.share, MOST),
        demand=weight_out(held.load, units),
        limit=weight_out(held.limit, units),
        unit=weight_unit(units),
        formula=formula,
        source=source,
        figures=figures,
        held=held,
        count=count,
    )


def back_cleat_strains(standing: Standing, bay: Bay) -> Iterator[Strain]:
    """Back cleats of a bay on the studs they catch."""
    rules, units = standing.construction, standing.units
    for board in standing.boards(bay):
        if not board.cleat:
            continue
        load = piece_load(standing, bay, board, bay.width) / 2.0
        slack = rules.shelf_clearance / 2.0
        start, end = bay.start + slack, bay.end - slack
        studs = studs_caught(standing.walls[bay.wall], start, end, units)
        held = back_cleat(
            rules,
            units,
            load,
            height=board.cleat,
            start=start,
            end=end,
            studs=studs,
            packing=board.cleat_back,
        )
        yield _strain(
            standing,
            bay,
            held,
            kind="cleat",
            part=f"{bay.id}-K{board.number}",
            name=f"the back cleat of {board_name(standing, bay, board)}",
            check="fasteners in studs" if studs else "no stud behind the cleat",
            formula=f"{_HALF}; withdrawal = shear x thickness / half of the cleat's height; "
            "shear and withdrawal combined by NDS 12.4.1; hollow-wall anchors at 25 lb",
            source=f"{_NDS}; studs G 0.42; wallboard counts as a gap; anchors: half of a rating "
            "of 50 lb, common practice",
            figures=(("studs", float(len(studs)), "1"), ("anchors", float(held.anchors), "1")),
        )


def end_strains(standing: Standing, bay: Bay) -> Iterator[Strain]:
    """Side cleats, joint cleats and sockets at both ends of a bay."""
    for left in (True, False):
        carried = bay.left if left else bay.right
        if carried is Carried.UPRIGHT:
            yield from _on_upright(standing, bay, left=left)
        elif carried is Carried.WALL:
            yield from _on_wall(standing, bay, left=left)
        else:
            yield from _on_corner(standing, bay, left=left)


def _end_piece(bay: Bay, *, left: bool) -> float:
    low, high = pieces_of(bay)[0 if left else -1]
    return high - low


def _letter(*, left: bool) -> str:
    return "L" if left else "R"


def _on_upright(standing: Standing, bay: Bay, *, left: bool) -> Iterator[Strain]:
    rules, units = standing.construction, standing.units
    piece = _end_piece(bay, left=left)
    for board in standing.boards(bay):
        length = side_cleat_length(rules, units, board, stiffened=bay.stiffened)
        if not board.cleat or lies_on_uprights(rules, board) or length <= 0.0:
            continue
        load = piece_load(standing, bay, board, piece)
        held, count = side_cleat(rules, units, load, length=length, least=spaced(length, units))
        yield _strain(
            standing,
            bay,
            held,
            kind="cleat",
            part=f"{bay.id}-K{board.number}{_letter(left=left)}",
            name=f"a side cleat of {board_name(standing, bay, board)}",
            check="screws in the upright",
            formula=f"{_HALF} in the middle, or a quarter at the front; the screw with the most "
            "by its yield load",
            source=f"{_NDS}; penetration below the 6 diameters of NDS 12.1.5.6, so glue it as well",
            count=count,
            figures=(("screws", float(count), "1"),),
        )
    load = rod_load_lb(rules, units, piece) / 2.0
    for number, height in enumerate(rod_heights(bay.zones), 1):
        yield _socket(standing, bay, number, height, load, on_panel=True, left=left)


def _socket(
    standing: Standing,
    bay: Bay,
    number: int,
    height: float,
    load: float,
    *,
    on_panel: bool,
    left: bool,
) -> Strain:
    return _strain(
        standing,
        bay,
        socket(standing.construction, load, on_panel=on_panel),
        kind="socket",
        part=f"{bay.id}-R{number}",
        name=f"the {'left' if left else 'right'} socket of the rod at "
        f"{state_length(height, standing.units)} of bay {bay.id}",
        check="screws in the upright" if on_panel else "screws in the rod cleat",
        formula="half of the piece of rod; two screws through a steel flange by their yield load",
    )


def _on_wall(standing: Standing, bay: Bay, *, left: bool) -> Iterator[Strain]:
    rules, units = standing.construction, standing.units
    piece = _end_piece(bay, left=left)
    boards, rods = standing.boards(bay), rod_heights(bay.zones)
    load = rod_load_lb(rules, units, piece) / 2.0
    taken: set[int] = set()
    for number, height in enumerate(rods, 1):
        over = next((b for b in boards if b.underside >= height), None)
        joined = over is not None and rod_cleat_joined(rules, height, over.underside)
        yield _socket(standing, bay, number, height, load, on_panel=False, left=left)
        loads = [(load, rules.rod_setback)]
        if over is not None and joined:
            taken.add(over.number)
            loads += _board_loads(standing, bay, over, over.depth, left=left)
        tall = rod_cleat_height(rules, units, height, over.underside if over else None)
        yield _wall_strain(
            standing,
            bay,
            over if joined else None,
            loads,
            part=f"{bay.id}-Q{number}{_letter(left=left)}",
            name=f"the rod cleat at {state_length(height, units)} of bay {bay.id}",
            reach=rod_reach(rules, over if joined else None),
            height=tall,
            left=left,
        )
    for board in boards:
        reach = side_cleat_reach(rules, units, board, stiffened=bay.stiffened)
        length = side_cleat_length(rules, units, board, stiffened=bay.stiffened)
        if not board.cleat or board.number in taken or length <= 0.0:
            continue
        yield _wall_strain(
            standing,
            bay,
            board,
            list(_board_loads(standing, bay, board, reach, left=left)),
            part=f"{bay.id}-K{board.number}{_letter(left=left)}",
            name=f"the side cleat on the wall of {board_name(standing, bay, board)}",
            reach=reach,
            height=board.cleat,
            left=left,
        )


def _board_loads(
    standing: Standing, bay: Bay, board: Board, reach: float, *, left: bool
) -> Iterator[tuple[float, float]]:
    """Loads of a board's end on its side wall, by their distance from the corner."""
    load = piece_load(standing, bay, board, _end_piece(bay, left=left))
    yield from board_on_wall(load, reach)
    brought = end_patch(standing, bay, board, left=left)
    if brought:
        yield brought, reach


def _wall_strain(
    standing: Standing,
    bay: Bay,
    board: Board | None,
    loads: list[tuple[float, float]],
    *,
    part: str,
    name: str,
    reach: float,
    height: float,
    left: bool,
) -> Strain:
    result = wall_cleat(
        standing.construction,
        standing.units,
        loads,
        reach=reach,
        height=height,
        studs=standing.studs_beside(bay, left=left),
        packing=0.0 if board is None else board.cleat_back,
    )
    front = result.front.share >= result.back.share
    held = result.front if front else result.back
    where = "at its front" if front else "at the corner's stud"
    return _strain(
        standing,
        bay,
        held,
        kind="cleat",
        part=part,
        name=name,
        check=f"fasteners {where}",
        formula="the loads by the lever from the corner: the rest on the stud in the corner, "
        "taken to be there, the other part on a stud or on hollow-wall anchors in the front half",
        source=f"{_NDS}; anchors at 25 lb, half of a rating of 50 lb: common practice",
        figures=(
            in_weight("at the corner's stud", result.back.load, standing.units),
            in_weight("towards the front", result.front.load, standing.units),
            ("anchors", float(result.front.anchors), "1"),
        ),
    )


def _on_corner(standing: Standing, bay: Bay, *, left: bool) -> Iterator[Strain]:
    rules, units = standing.construction, standing.units
    piece = _end_piece(bay, left=left)
    for board in standing.boards(bay):
        load = piece_load(standing, bay, board, piece) / 2.0
        held = joint_cleat(rules, units, load, board.depth)
        yield _strain(
            standing,
            bay,
            held,
            kind="joint",
            part=f"{bay.id}-J{board.number}{_letter(left=left)}",
            name=f"the joint cleat of {board_name(standing, bay, board)}",
            check="screws up into the boards",
            formula=f"{_HALF} in the middle of one half of the cleat, pried about its far edge: "
            "withdrawal is three times the load",
            count=held.fixing.each if held.fixing else 0,
        )


def mid_strains(standing: Standing, bay: Bay) -> Iterator[Strain]:
    """Mid supports of a bay: under every board, and the centre bracket of every rod."""
    pieces = pieces_of(bay)
    for place in range(1, len(pieces)):
        length = (pieces[place][1] - pieces[place - 1][0]) / 2.0
        at = pieces[place][0]
        yield from _under_boards(standing, bay, place, at, length)
        yield from _at_rods(standing, bay, place, at, length)


def _under_boards(
    standing: Standing, bay: Bay, place: int, at: float, length: float
) -> Iterator[Strain]:
    rules, units = standing.construction, standing.units
    word = "bracket" if rules.mid_support == "bracket" else "triangle"
    for board in standing.boards(bay):
        if not board.cleat:
            continue
        load = piece_load(standing, bay, board, length)
        leg = triangle_leg(units, board)
        yield _strain(
            standing,
            bay,
            mid_support(rules, units, load, depth=board.depth, leg=leg),
            kind="mid_support",
            part=f"{bay.id}-T{board.number}.{place}",
            name=f"the {word} at {state_length(at, units)} under "
            f"{board_name(standing, bay, board)}",
            check="screws in the stud",
            formula="half of the pieces at either side, in the middle of the depth, turns it "
            "about its foot: pull at the top = load x (depth / 2) / (leg - half of the cleat)",
            source=f"{_NDS}; driven at a slant: NDS 12.5.4 (from memory)",
        )


def _at_rods(
    standing: Standing, bay: Bay, place: int, at: float, length: float
) -> Iterator[Strain]:
    rules, units = standing.construction, standing.units
    for number, height in enumerate(rod_heights(bay.zones), 1):
        yield _strain(
            standing,
            bay,
            rod_bracket(rules, units, rod_load_lb(rules, units, length)),
            kind="mid_support",
            part=f"{bay.id}-C{number}.{place}",
            name=f"the centre bracket at {state_length(at, units)} of the rod at "
            f"{state_length(height, units)} of bay {bay.id}",
            check="screws in the stud",
            formula="half of the pieces at either side turns it about its foot: pull at the top "
            "= load x set-back / leg, the leg 3/4 of the set-back",
        )


def upright_strains(standing: Standing, wall: str, side: Side) -> Iterator[Strain]:
    """One upright: bearing under its foot, and buckling between what holds it."""
    rules, units = standing.construction, standing.units
    depth = max(upright_depth(rules, bay.zones, bay.depth) for bay in side.bays)
    levels: list[float] = []
    loads: list[tuple[float, float]] = []
    for bay in side.bays:
        piece = _end_piece(bay, left=bay is side.right)
        rod = rod_load_lb(rules, units, piece) / 2.0
        boards = [board for board in standing.boards(bay) if board.cleat]
        levels += [board.underside for board in boards]
        loads += [
            (board.underside, piece_load(standing, bay, board, piece) / 2.0) for board in boards
        ]
        loads += [(height, rod) for height in rod_heights(bay.zones)]
    if not levels:
        levels = [max(bay.height for bay in side.bays)]
    result = upright_check(rules, units, depth, levels, loads)
    buckles = result.buckling_share >= result.bearing_share
    demand = result.pressed if buckles else result.load
    material, name = stock(rules.material), f"{wall}-U{side.number}"
    first = min(side.bays, key=lambda bay: standing.index[bay.id])
    yield Strain(
        bays=tuple(bay.id for bay in side.bays),
        index=standing.index[first.id],
        kind="upright",
        part=name,
        name=f"upright {name} at {state_length(side.start, units)} of wall {wall}",
        check="buckling" if buckles else "bearing on the floor",
        share=min(result.share, MOST),
        demand=weight_out(demand, units),
        limit=weight_out(demand / result.share if result.share else demand, units),
        unit=weight_unit(units),
        formula="half of each board and rod beside it, where it enters; the lesser of a plate "
        "strip with one long edge held, k = 0.425 + (b / a)^2, and Euler's column between the "
        f"holds of its back edge, E / creep, over a safety factor of {rules.safety_factor:g}; "
        "bearing at 425 psi",
        source="Timoshenko & Gere, Theory of Elastic Stability (from memory); E: "
        f"{material.modulus_low_source}; creep: "
        f"{'the brief' if rules.creep_factor is not None else CREEP_SOURCE}; NDS Supplement, "
        "Table 4A, spruce-pine-fir across the grain (from memory)",
        figures=(
            in_weight("load on the floor", result.load, units),
            in_weight("load on the worst free height", result.pressed, units),
            ("worst free height", result.free, units.value),
            ("used share in bearing", result.bearing_share, "1"),
            ("used share in buckling", result.buckling_share, "1"),
        ),
    )
