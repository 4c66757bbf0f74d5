"""Board and rod stock against published figures."""

from __future__ import annotations

import pytest

from optimizer.domain.construction import Construction, Material, RodStock
from optimizer.reference.materials import (
    RODS,
    STOCK,
    creep_of,
    rod,
    rod_creep,
    steel_tube,
    stock,
    wood_dowel,
)

N_PER_MM2_IN_PSI = 145.0377


@pytest.mark.parametrize(
    ("material", "low", "high"),
    [
        (Material.MDF, 0.50e6, 0.52e6),
        (Material.PARTICLEBOARD, 0.40e6, 0.60e6),
        (Material.PLYWOOD, 1.01e6, 1.24e6),
        (Material.WHITE_PINE, 1.24e6, 1.24e6),
        (Material.PONDEROSA_PINE, 1.29e6, 1.29e6),
    ],
)
def test_modulus_is_in_the_published_range(material: Material, low: float, high: float) -> None:
    """Wood Handbook FPL-GTR-190, Table 12-1 and chapter 5 (from memory)."""
    assert low <= stock(material).modulus <= high


def test_lowest_mdf_modulus_is_the_grade_minimum() -> None:
    """ANSI A208.2, grade 130 (from memory): 2,160 N/mm2 is 313,300 psi."""
    assert stock(Material.MDF).modulus_low == pytest.approx(2160 * N_PER_MM2_IN_PSI, rel=1e-4)


def test_every_material_and_rod_says_its_sources() -> None:
    """No figure without a source, no low figure above the design one."""
    assert set(STOCK) == set(Material)
    assert set(RODS) == set(RodStock)
    for board in STOCK.values():
        assert board.modulus_source and board.rupture_source and board.density_source
        assert board.modulus_low_source
        assert board.modulus_low < board.modulus
    assert all(chosen.source for chosen in RODS.values())
    assert all(chosen.modulus_low <= chosen.modulus for chosen in RODS.values())


@pytest.mark.parametrize(
    ("material", "low"),
    [
        (Material.PARTICLEBOARD, 320_000.0),
        (Material.PLYWOOD, 1.01e6),
        (Material.WHITE_PINE, 0.7936e6),
        (Material.PONDEROSA_PINE, 0.8256e6),
    ],
)
def test_lowest_moduli(material: Material, low: float) -> None:
    """ANSI A208.1 M-2 (second-hand), Wood Handbook: low end, and the 5th percentile of pine."""
    assert stock(material).modulus_low == pytest.approx(low)


@pytest.mark.parametrize(
    ("material", "creep"),
    [
        (Material.MDF, 2.8),
        (Material.PARTICLEBOARD, 2.8),
        (Material.PLYWOOD, 1.64),
        (Material.WHITE_PINE, 1.48),
        (Material.PONDEROSA_PINE, 1.48),
    ],
)
def test_creep_by_material(material: Material, creep: float) -> None:
    """1 + 0.8 k_def, EN 1995-1-1 Table 3.2, service class 1 (in a restatement)."""
    assert creep_of(Construction(material=material)) == pytest.approx(creep)
    assert creep_of(Construction(material=material, creep_factor=2.0)) == 2.0


def test_creep_of_rods() -> None:
    """Steel none, whatever the brief says; wood as solid wood, or as the brief says."""
    assert rod_creep(Construction()) == 1.0
    assert rod_creep(Construction(creep_factor=3.0)) == 1.0
    wood = RodStock.WOOD_DOWEL
    assert rod_creep(Construction(rod_stock=wood)) == pytest.approx(1.48)
    assert rod_creep(Construction(rod_stock=wood, creep_factor=3.0)) == 3.0


@pytest.mark.parametrize(("wall", "inertia"), [(0.035, 0.0287), (0.049, 0.0389), (0.065, 0.0497)])
def test_tube_inertia(wall: float, inertia: float) -> None:
    """1-5/16 in tube: .0287, .0389 and .0497 in4 for three walls (computed)."""
    assert steel_tube(1.3125, wall).inertia == pytest.approx(inertia, abs=5e-5)


@pytest.mark.parametrize(("diameter", "inertia"), [(1.25, 0.1198), (1.375, 0.1755)])
def test_dowel_inertia(diameter: float, inertia: float) -> None:
    """Dowels of 1-1/4 and 1-3/8 in: .1198 and .1755 in4 (computed)."""
    assert wood_dowel(diameter).inertia == pytest.approx(inertia, abs=5e-5)


def test_stock_rods_meet_least_diameters() -> None:
    """AWS 2009, 4.4.16: wood at least 1-1/4 in, metal at least 1-1/16 in."""
    assert rod(RodStock.WOOD_DOWEL).outside >= 1.25
    assert rod(RodStock.STEEL_TUBE).outside >= 1.0625


def test_rod_weights() -> None:
    """Tube 1-5/16 x .049: 0.1945 sq in of steel is 0.663 lb/ft; dowel 1-1/4 in 0.239 lb/ft."""
    assert rod(RodStock.STEEL_TUBE).weight == pytest.approx(0.1945 * 0.284 * 12, rel=1e-3)
    assert rod(RodStock.WOOD_DOWEL).weight == pytest.approx(1.2272 / 144 * 28, rel=1e-3)


def test_only_wood_creeps() -> None:
    """Creep is for the dowel, not for steel."""
    assert [rod(kind).creeps for kind in RodStock] == [False, True]
