"""How much of their limits the boards and rods of a bay use.

Each piece between supports is held against three limits: sag after creep, bending stress, and the
length that practice allows. The one that is used most is told (it *governs*).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.domain.layout import Bay
from optimizer.reference.materials import (
    CREEP_SOURCE,
    creep_of,
    rod,
    rod_creep,
    stock,
)
from optimizer.structure.back_cleats import is_backed
from optimizer.structure.bay_surroundings import BaySurroundings, pieces_of
from optimizer.structure.checks import SpanCheck, rod_check, shelf_check
from optimizer.structure.loadings import end_patch, housed_lb
from optimizer.structure.loads import area_load_psi, line_load_lb_in
from optimizer.structure.members import Board, has_stiffener, rod_heights
from optimizer.structure.pieces import raised
from optimizer.structure.strain import MOST, Figure, Strain, in_weight, load_of_brief
from optimizer.units import state_length

_BEAM = "Wood Handbook, FPL-GTR-190 (2010), Eq. 9-1 and Table 9-1"
_PLATE = "Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. (Levy's series)"
_AWS = "Architectural Woodwork Standards, 1st ed. 2009"
_FORMULAS = {
    "plate": "plate held at the back and both ends, front free: alpha q a^4 / D x creep",
    "beam": "5 W L^3 / (384 E I) x creep, ends simply supported",
    "stiffened beam": "5 W L^3 / (384 E I) x creep, I of board and stiffener as one section",
}


@dataclass(frozen=True, slots=True)
class _Governing:
    """The limit of which a piece uses the largest share; demand and limit are in `unit`."""

    check: str
    share: float
    demand: float
    limit: float
    unit: str


def board_name(standing: BaySurroundings, bay: Bay, board: Board) -> str:
    """What a board is called in messages: by the height of its top."""
    return f"the shelf at {state_length(board.zone.bottom, standing.units)} of bay {bay.id}"


def board_strains(standing: BaySurroundings, bay: Bay) -> Iterator[Strain]:
    """A strain for every board of a bay: that of its piece with the largest share."""
    for board in standing.boards(bay):
        checks = list(_piece_checks(standing, bay, board))
        check, piece = max(checks, key=lambda pair: _governing(standing, bay, *pair).share)
        yield _board_strain(standing, bay, board, check, piece)


def _piece_checks(
    standing: BaySurroundings, bay: Bay, board: Board
) -> Iterator[tuple[SpanCheck, float]]:
    """Check of each piece of a board, with the length of the piece between supports."""
    rules, units = standing.construction, standing.units
    loaded = raised(rules, units, board.depth, bay.width, housed_lb(standing, board))
    # A board on the floor of a stiffened bay has no room for one.
    front = has_stiffener(rules, board, stiffened=bay.stiffened)
    # On packing a board lies at its back as well.
    backed = not board.cleat or is_backed(standing, bay, board)
    spans = tuple(standing.spans(bay, board))
    for place, (length, span) in enumerate(spans):
        # Only the pieces at the ends of a bay can carry the boards of the next wall.
        patch = None
        if place == 0:
            patch = end_patch(standing, bay, board, left=True)
        if place == len(spans) - 1 and patch is None:
            patch = end_patch(standing, bay, board, left=False)
        yield (
            shelf_check(
                loaded, units, board.depth, span, stiffened=front, backed=backed, patch=patch
            ),
            length,
        )


def _governing(standing: BaySurroundings, bay: Bay, check: SpanCheck, piece: float) -> _Governing:
    """The limit of which a piece of a board uses most: sag, stress, or the length of practice."""
    rules, unit = standing.construction, standing.units.value
    practice = rules.rod_support_spacing if bay.stiffened else rules.max_plain_span
    found = (
        _Governing("sag after creep", check.sag_share, check.sag_lasting, check.limit, unit),
        _Governing("bending stress", check.stress_share, check.stress_share, 1.0, "1"),
        _Governing("length between supports", piece / practice, piece, practice, unit),
    )
    return max(found, key=lambda governing: governing.share)


def _span_figures(check: SpanCheck, piece: float, unit: str) -> tuple[Figure, ...]:
    """The figures of a check as the build pack prints them."""
    return (
        ("piece between supports", piece, unit),
        ("span reckoned with", check.span, unit),
        ("sag now", check.sag, unit),
        ("sag after creep", check.sag_lasting, unit),
        ("sag after creep, mean stiffness", check.sag_mean, unit),
        ("sag after creep, own weight too", check.sag_in_all, unit),
        ("sag allowed", check.limit, unit),
        ("bending stress, share of what is allowed", check.stress_share, "1"),
    )


def _board_strain(
    standing: BaySurroundings, bay: Bay, board: Board, check: SpanCheck, piece: float
) -> Strain:
    """The strain of a board, by the check of its piece that uses most."""
    rules, units = standing.construction, standing.units
    most = _governing(standing, bay, check, piece)
    material, housed = stock(rules.material), housed_lb(standing, board)
    area = units.to_inch(board.depth) * units.to_inch(bay.width)
    figures = [
        load_of_brief("shelf", rules.shelf_load, units),
        in_weight("load on it", area_load_psi(rules.shelf_load, units) * area, units),
    ]
    if housed:
        figures.append(in_weight("items on it", housed, units))
    for left in (True, False):
        patch = end_patch(standing, bay, board, left=left)
        if patch is not None:
            figures.append(in_weight("from the next wall's board", patch.load, units))
    practice = "stiffened" if bay.stiffened else "plain"
    return Strain(
        bays=(bay.id,),
        index=standing.index[bay.id],
        kind="board",
        part=f"{bay.id}-S{board.number}",
        name=board_name(standing, bay, board),
        check=most.check,
        share=min(most.share, MOST),
        demand=most.demand,
        limit=most.limit,
        unit=most.unit,
        formula=f"{_FORMULAS[check.works_as]}; limit L / {rules.deflection_ratio:g}; stress at "
        f"most a third of rupture; creep {creep_of(rules):.3g}",
        source=f"{_PLATE if check.works_as == 'plate' else _BEAM}; limit: {_AWS}, 4.4.14.10; "
        f"E: {material.modulus_low_source}; rupture: {material.rupture_source}; creep: "
        f"{'the brief' if rules.creep_factor is not None else CREEP_SOURCE}; length of {practice} "
        "boards: common practice; load: the brief",
        figures=(*figures, *_span_figures(check, piece, units.value)),
    )


def rod_strains(standing: BaySurroundings, bay: Bay) -> Iterator[Strain]:
    """A strain for every rod of a bay: that of its longest piece."""
    rules, units = standing.construction, standing.units
    # All pieces of a rod bear the same load a length, so that the longest decides.
    longest = max(high - low for low, high in pieces_of(bay))
    for number, height in enumerate(rod_heights(bay.zones), 1):
        check = rod_check(rules, units, longest)
        most = _rod_governing(standing, check, longest)
        chosen = rod(rules.rod_stock)
        whole = line_load_lb_in(rules.rod_load, units) * units.to_inch(bay.width)
        yield Strain(
            bays=(bay.id,),
            index=standing.index[bay.id],
            kind="rod",
            part=f"{bay.id}-R{number}",
            name=f"the rod at {state_length(height, units)} of bay {bay.id}",
            check=most.check,
            share=min(most.share, MOST),
            demand=most.demand,
            limit=most.limit,
            unit=most.unit,
            formula=f"{_FORMULAS['beam']}; limit L / {rules.deflection_ratio:g}; creep "
            f"{rod_creep(rules):.3g}",
            source=f"{_BEAM}; supports: {_AWS}, 4.4.16; rod: {chosen.source}; load of clothes: "
            "common practice",
            figures=(
                load_of_brief("rod", rules.rod_load, units),
                in_weight("load on it", whole, units),
                *_span_figures(check, longest, units.value),
            ),
        )


def _rod_governing(standing: BaySurroundings, check: SpanCheck, piece: float) -> _Governing:
    """The limit of which a piece of a rod uses most."""
    spacing, unit = standing.construction.rod_support_spacing, standing.units.value
    found = (
        _Governing("sag after creep", check.sag_share, check.sag_lasting, check.limit, unit),
        _Governing("bending stress", check.stress_share, check.stress_share, 1.0, "1"),
        _Governing("distance of supports", piece / spacing, piece, spacing, unit),
    )
    return max(found, key=lambda governing: governing.share)
