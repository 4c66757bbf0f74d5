"""How much of its strength each thing uses that holds boards and rods.

That is cleats, sockets, joints, mid supports and uprights, as `designs` fastens them. Each becomes
a `Strain` with the formula, the source and the figures that the build pack prints.
"""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.layout import Bay
from optimizer.reference.materials import CREEP_SOURCE, stock
from optimizer.structure import designs
from optimizer.structure.back_cleats import back_cleats
from optimizer.structure.bay_surroundings import BaySurroundings, StandingUpright
from optimizer.structure.boardstrains import board_name
from optimizer.structure.cleats import Held
from optimizer.structure.loadings import end_piece, piece_load
from optimizer.structure.loads import rod_load_lb, weight_out
from optimizer.structure.members import rod_heights, upright_depth
from optimizer.structure.strain import MOST, Figure, Strain, StrainKind, in_weight, weight_unit
from optimizer.structure.uprights import upright_check
from optimizer.units import state_length

_NDS = "National Design Specification for Wood Construction, chapter 12, C_D 0.9"
NO_STUD = "no stud behind the cleat"
_HALF = "half of the full board"
_ANCHORS = "hollow-wall anchors at half of a rating of 50 lb: common practice"


def _strain(
    standing: BaySurroundings,
    bay: Bay,
    held: Held,
    *,
    kind: StrainKind,
    part: str,
    name: str,
    check: str,
    formula: str,
    source: str = _NDS,
    figures: tuple[Figure, ...] = (),
) -> Strain:
    """A strain of something that holds, in the units of the brief."""
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
    )


def back_cleat_strains(standing: BaySurroundings, bay: Bay) -> Iterator[Strain]:
    """A strain for each back cleat of a bay."""
    for cleat in back_cleats(standing, bay):
        held = cleat.held
        yield _strain(
            standing,
            bay,
            held,
            kind="cleat",
            part=cleat.part,
            name=f"the back cleat of {board_name(standing, bay, cleat.board)}",
            check=NO_STUD if held.fixing is None else "fasteners in studs",
            formula=f"{_HALF}; withdrawal = shear x thickness / half of the cleat's height; "
            "shear and withdrawal combined by NDS 12.4.1; hollow-wall anchors at 25 lb",
            source=f"{_NDS}; studs G 0.42; wallboard counts as a gap; {_ANCHORS}",
            figures=(
                ("studs", float(len(cleat.studs)), ""),
                ("anchors", float(held.anchors), ""),
            ),
        )


def end_strains(standing: BaySurroundings, bay: Bay) -> Iterator[Strain]:
    """A strain for each side cleat, joint cleat and socket at both ends of a bay."""
    for left in (True, False):
        yield from _on_upright(standing, bay, left=left)
        yield from _on_wall(standing, bay, left=left)
        yield from _on_corner(standing, bay, left=left)
        for socket in designs.sockets(standing, bay, left=left):
            yield _socket(standing, socket)


def _on_upright(standing: BaySurroundings, bay: Bay, *, left: bool) -> Iterator[Strain]:
    """Side cleats screwed to the upright at that end."""
    for cleat in designs.upright_cleats(standing, bay, left=left):
        yield _strain(
            standing,
            bay,
            cleat.held,
            kind="cleat",
            part=cleat.part,
            name=f"a side cleat of {board_name(standing, bay, cleat.board)}",
            check="screws in the upright",
            formula=f"{_HALF} in the middle, or a quarter at the front; the screw with the most "
            "by its yield load",
            source=f"{_NDS}; penetration below the 6 diameters of NDS 12.1.5.6, so glue it as well",
            figures=(("screws", float(cleat.screws), ""),),
        )


def _socket(standing: BaySurroundings, socket: designs.Socket) -> Strain:
    """A rod's socket."""
    bay = socket.bay
    return _strain(
        standing,
        bay,
        socket.held,
        kind="socket",
        part=f"{bay.id}-R{socket.rod}",
        name=f"the {'left' if socket.left else 'right'} socket of the rod at "
        f"{state_length(socket.height, standing.units)} of bay {bay.id}",
        check="screws in the upright" if socket.on_panel else "screws in the rod cleat",
        formula="half of the piece of rod; two screws through a steel flange by their yield load",
    )


def _on_wall(standing: BaySurroundings, bay: Bay, *, left: bool) -> Iterator[Strain]:
    """Cleats on the side wall at that end; told is its back or its front, whichever uses more."""
    for cleat in designs.wall_cleats(standing, bay, left=left):
        back, front = cleat.held.back, cleat.held.front
        at_front = front.share >= back.share
        where = "at its front" if at_front else "at the corner's stud"
        yield _strain(
            standing,
            bay,
            front if at_front else back,
            kind="cleat",
            part=cleat.part,
            name=_wall_cleat_name(standing, cleat),
            check=f"fasteners {where}",
            formula="the loads by the lever from the corner: one part on the stud in the corner, "
            "taken to be there, the other on a stud or on hollow-wall anchors in the front half",
            source=f"{_NDS}; {_ANCHORS}",
            figures=(
                in_weight("at the corner's stud", back.load, standing.units),
                in_weight("towards the front", front.load, standing.units),
                ("anchors", float(front.anchors), ""),
            ),
        )


def _wall_cleat_name(standing: BaySurroundings, cleat: designs.OnWall) -> str:
    """What a cleat on a side wall is called in messages."""
    side = "left" if cleat.left else "right"
    if cleat.rod is not None:
        low = cleat.top - cleat.height
        return (
            f"the rod cleat at {state_length(low, standing.units)} on the {side} wall of bay "
            f"{cleat.bay.id}"
        )
    board = "" if cleat.board is None else board_name(standing, cleat.bay, cleat.board)
    return f"the side cleat on the {side} wall of {board}"


def _on_corner(standing: BaySurroundings, bay: Bay, *, left: bool) -> Iterator[Strain]:
    """Cleats under the joints with the next wall's boards at that end."""
    for cleat in designs.joint_cleats(standing, bay, left=left):
        fixing = cleat.held.fixing
        yield _strain(
            standing,
            bay,
            cleat.held,
            kind="joint",
            part=cleat.part,
            name=f"the joint cleat of {board_name(standing, bay, cleat.board)}",
            check="screws up into the boards",
            formula=f"{_HALF} in the middle of one half of the cleat, pried about its far edge: "
            "withdrawal is three times the load",
            figures=(("screws into each board", float(fixing.each if fixing else 0), ""),),
        )


def mid_strains(standing: BaySurroundings, bay: Bay) -> Iterator[Strain]:
    """A strain for each mid support under a board of a bay, and each centre bracket of a rod."""
    units = standing.units
    word = "bracket" if standing.construction.mid_support == "bracket" else "triangle"
    for support in designs.mid_supports(standing, bay):
        yield _strain(
            standing,
            bay,
            support.held,
            kind="mid_support",
            part=support.part,
            name=f"the {word} at {state_length(support.at, units)} under "
            f"{board_name(standing, bay, support.board)}",
            check="screws in the stud",
            formula="half of the pieces at either side, in the middle of the depth, turns it "
            "about its foot: pull at the top = load x (depth / 2) / (leg - half of the cleat)",
            source=f"{_NDS}; driven at a slant: NDS 12.5.4 (in a restatement)",
        )
    for bracket in designs.rod_brackets(standing, bay):
        yield _strain(
            standing,
            bay,
            bracket.held,
            kind="mid_support",
            part=bracket.part,
            name=f"the centre bracket at {state_length(bracket.at, units)} of the rod at "
            f"{state_length(bracket.height, units)} of bay {bay.id}",
            check="screws in the stud",
            formula="half of the pieces at either side turns it about its foot: pull at the top "
            "= load x set-back / leg, the leg 3/4 of the set-back",
        )


def upright_strains(
    standing: BaySurroundings, wall: str, upright: StandingUpright
) -> Iterator[Strain]:
    """The strain of one upright: bearing under its foot, or buckling between its boards.

    Whichever uses the larger share.
    """
    rules, units = standing.construction, standing.units
    depth = max(upright_depth(rules, bay.zones, bay.depth) for bay in upright.bays)
    levels: list[float] = []
    loads: list[tuple[float, float]] = []
    for bay in upright.bays:
        # The bay to the right of an upright stands on it with its left end.
        piece = end_piece(bay, left=bay is upright.right)
        rod = rod_load_lb(rules, units, piece) / 2.0
        # A board on packing stands on the floor, and neither loads the upright nor holds it.
        boards = [board for board in standing.boards(bay) if board.cleat]
        levels += [board.underside for board in boards]
        loads += [
            (board.underside, piece_load(standing, bay, board, piece) / 2.0) for board in boards
        ]
        loads += [(height, rod) for height in rod_heights(bay.zones)]
    # An upright without boards is held at its top alone.
    if not levels:
        levels = [max(bay.height for bay in upright.bays)]
    result = upright_check(rules, units, depth, levels, loads)
    buckles = result.buckling_share >= result.bearing_share
    demand = result.pressed if buckles else result.load
    material, name = stock(rules.material), f"{wall}-U{upright.number}"
    # The finding points at one bay: the first of the two in the layout.
    first = min(upright.bays, key=lambda bay: standing.index[bay.id])
    yield Strain(
        bays=tuple(bay.id for bay in upright.bays),
        index=standing.index[first.id],
        kind="upright",
        part=name,
        name=f"upright {name} at {state_length(upright.start, units)} of wall {wall}",
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
        "Table 4A, spruce-pine-fir across the grain (in a restatement)",
        figures=(
            in_weight("load on the floor", result.load, units),
            in_weight("load on the worst free height", result.pressed, units),
            ("worst free height", result.free, units.value),
            ("used share in bearing", result.bearing_share, "1"),
            ("used share in buckling", result.buckling_share, "1"),
        ),
    )
