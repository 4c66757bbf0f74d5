"""The closed forms against three general beam packages that share no code with ours."""

from __future__ import annotations

import math

import pytest
from anastruct import SystemElements
from Pynite import FEModel3D
from sympy import Rational, Symbol
from sympy.physics.continuum_mechanics.beam import Beam

from optimizer.domain.construction import Construction, Material
from optimizer.reference.materials import creep_of, stock
from optimizer.structure.beams import (
    Ends,
    Loading,
    deflection,
    largest_moment,
)
from optimizer.structure.limits import shelf_sag_limits, shelf_section
from optimizer.structure.sections import rectangle, stiffened_board
from optimizer.units import Units

SPAN = 36.0
PER_INCH = 2.0
BOARD = rectangle(12.0, 0.75)
MODULUS = 0.5e6
RIGIDITY = MODULUS * BOARD.inertia

CASES = [(ends, loading) for ends in Ends for loading in Loading]


def _anastruct_beam(ends: Ends, loading: Loading, parts: int = 16) -> SystemElements:
    """A solved plane-frame model of one span in `parts` pieces."""
    system = SystemElements(EI=RIGIDITY, EA=1e9)
    step = SPAN / parts
    for index in range(parts):
        system.add_element(location=[[index * step, 0.0], [(index + 1) * step, 0.0]])
    last = parts + 1
    if ends is Ends.SIMPLE:
        system.add_support_hinged(node_id=1)
        system.add_support_roll(node_id=last)
    else:
        system.add_support_fixed(node_id=1)
        if ends is Ends.CLAMPED:
            system.add_support_fixed(node_id=last)
    if loading is Loading.UNIFORM:
        system.q_load(q=-PER_INCH, element_id=list(range(1, parts + 1)))
    else:
        where = last if ends is Ends.CANTILEVER else parts // 2 + 1
        system.point_load(node_id=where, Fy=-PER_INCH * SPAN)
    system.solve()
    return system


@pytest.mark.parametrize(("ends", "loading"), CASES)
def test_deflection_against_a_plane_frame_package(ends: Ends, loading: Loading) -> None:
    """anastruct finds the same largest deflection for each pair of ends and loading."""
    system = _anastruct_beam(ends, loading)
    largest = max(abs(node["uy"]) for node in system.get_node_displacements())
    actual = deflection(PER_INCH * SPAN, SPAN, RIGIDITY, ends, loading)
    assert actual == pytest.approx(largest, rel=1e-3)


@pytest.mark.parametrize(("ends", "loading"), CASES)
def test_moment_against_a_plane_frame_package(ends: Ends, loading: Loading) -> None:
    """anastruct finds the same largest moment for each pair of ends and loading."""
    results = _anastruct_beam(ends, loading).get_element_results()
    largest = max(max(abs(part["Mmin"]), abs(part["Mmax"])) for part in results)
    actual = largest_moment(PER_INCH * SPAN, SPAN, ends, loading)
    assert actual == pytest.approx(largest, rel=1e-3)


def _pynite_beam(inertia: float, supports: tuple[float, ...], end: float) -> FEModel3D:
    """A solved space-frame model under PER_INCH, on pins at `supports` along its length."""
    model = FEModel3D()
    model.add_material("board", MODULUS, MODULUS / 2.5, 0.25, 0.0)
    model.add_section("board", 9.0, 100.0, inertia, 100.0)
    for index, place in enumerate(supports):
        model.add_node(f"N{index}", place, 0.0, 0.0)
        model.def_support(f"N{index}", index == 0, True, True, index == 0, index == 0, False)
    model.add_member("M", "N0", f"N{len(supports) - 1}", "board", "board")
    model.add_member_dist_load("M", "Fy", -PER_INCH, -PER_INCH, 0.0, end)
    model.analyze(check_statics=False)
    return model


def test_simple_span_against_a_space_frame_package() -> None:
    """PyNite: 0.20736 in and 324 lb-in on the example board, to 1e-3."""
    member = _pynite_beam(BOARD.inertia, (0.0, SPAN), SPAN).members["M"]
    largest = abs(member.min_deflection("dy"))
    assert deflection(PER_INCH * SPAN, SPAN, RIGIDITY) == pytest.approx(largest, rel=1e-3)
    moment = max(abs(member.max_moment("Mz")), abs(member.min_moment("Mz")))
    assert largest_moment(PER_INCH * SPAN, SPAN) == pytest.approx(moment, rel=1e-3)


@pytest.mark.parametrize("ends", [Ends.SIMPLE, Ends.CLAMPED])
def test_deflection_against_symbolic_beam(ends: Ends) -> None:
    """sympy's exact beam gives the same midspan deflection to the last digits."""
    rigidity = Symbol("EI", positive=True)
    beam = Beam(36, rigidity, 1)
    first, last = Symbol("R1"), Symbol("R2")
    beam.apply_load(first, 0, -1)
    beam.apply_load(last, 36, -1)
    beam.bc_deflection = [(0, 0), (36, 0)]
    unknowns = [first, last]
    if ends is Ends.CLAMPED:
        turn_first, turn_last = Symbol("M1"), Symbol("M2")
        beam.apply_load(turn_first, 0, -2)
        beam.apply_load(turn_last, 36, -2)
        beam.bc_slope = [(0, 0), (36, 0)]
        unknowns += [turn_first, turn_last]
    beam.apply_load(2, 0, 0, end=36)
    beam.solve_for_reaction_loads(*unknowns)
    exact = beam.deflection().subs(Symbol("x"), 18).subs(rigidity, Rational(RIGIDITY))
    assert deflection(72.0, 36.0, RIGIDITY, ends) == pytest.approx(abs(float(exact)), rel=1e-9)


@pytest.mark.parametrize("stiffened", [False, True])
@pytest.mark.parametrize("material", [Material.PLYWOOD, Material.WHITE_PINE])
def test_span_limit_sags_as_much_as_allowed_in_a_package(
    material: Material, stiffened: bool
) -> None:
    """anastruct, on the span we allow, gives sag x creep = span / 144 exactly at the limit."""
    rules = Construction(material=material, shelf_load=60.0)
    span = shelf_sag_limits(rules, Units.INCH, 12.0, stiffened=stiffened)[0]
    section = shelf_section(rules, Units.INCH, 12.0, stiffened=stiffened)
    system = SystemElements(EI=stock(material).modulus_low * section.inertia, EA=1e9)
    system.add_element(location=[[0.0, 0.0], [span / 2.0, 0.0]])
    system.add_element(location=[[span / 2.0, 0.0], [span, 0.0]])
    system.add_support_hinged(node_id=1)
    system.add_support_roll(node_id=3)
    system.q_load(q=-60.0 / 144.0 * 12.0, element_id=[1, 2])
    system.solve()
    sag = abs(system.get_node_displacements(node_id=2)["uy"])
    assert sag * creep_of(rules) == pytest.approx(span / 144.0, rel=1e-4)


def test_composite_section_against_numerical_integration() -> None:
    """The built-up section equals the integral of y^2 over thin layers of board and strip."""
    section = stiffened_board(rectangle(12.0, 0.75), rectangle(0.75, 1.5))
    layers = 18_000  # a whole number of them on each side of the joint
    thick = 2.25 / layers
    heights = [(index + 0.5) * thick for index in range(layers)]
    widths = [0.75 if height < 1.5 else 12.0 for height in heights]
    area = math.fsum(width * thick for width in widths)
    centroid = math.fsum(w * h * thick for w, h in zip(widths, heights, strict=True)) / area
    inertia = math.fsum(
        w * thick * (h - centroid) ** 2 for w, h in zip(widths, heights, strict=True)
    )
    assert section.area == pytest.approx(area)
    assert section.below == pytest.approx(centroid)
    assert section.inertia == pytest.approx(inertia, rel=1e-6)
