"""Stiffness, strength, creep and weight of stock: boards and rods.

Wood Handbook is FPL-GTR-190 (2010), Forest Products Laboratory. Its values are at about 12 %
moisture content and are means for comparison; limits take the lowest stiffness of each stock.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from optimizer.domain.construction import Construction, Material, RodStock

LASTING_SHARE = 0.8
"""Part of a storage load that lasts: psi_2 of storage areas, EN 1990, Table A1.1 (in a
restatement)."""
CREEP_SOURCE = "1 + 0.8 k_def; k_def: EN 1995-1-1, Table 3.2, service class 1 (in a restatement)"
PANEL_POISSON = 0.3
"""Poisson's ratio of MDF and particleboard in their plane: common value, from memory."""
CLEAR_WOOD_5TH = 0.64
"""5th percentile of stiffness over its mean: 1 - 1.645 x 22 %, the coefficient of variation of
clear wood in Wood Handbook, Table 5-6 (from memory)."""


def creep_from(k_def: float) -> float:
    """Lasting over elastic sag of a stock: 1 + k_def x the lasting share of the load."""
    return 1.0 + k_def * LASTING_SHARE


@dataclass(frozen=True, slots=True)
class PanelStock:
    """A board material.

    `modulus_low` [psi] is the lowest stiffness to reckon with, which every limit takes; `modulus`
    [psi] a mean, shown beside it. `k_def` is the part that creep adds to the sag under a lasting
    load; `in_plane_alike` says whether it is as stiff across as along, so that a board works as
    a plate. `rupture` is the modulus of rupture [psi]; `density` [lb/cu ft]; `gravity` is the
    specific gravity for fasteners driven into it: for panels density over 62.4 lb/cu ft, for
    wood as published with the strength (from memory).
    """

    modulus: float
    modulus_source: str
    rupture: float
    rupture_source: str
    density: float
    density_source: str
    gravity: float
    modulus_low: float
    modulus_low_source: str
    k_def: float
    in_plane_alike: bool = False

    @property
    def creep(self) -> float:
        """Lasting over elastic sag of this stock."""
        return creep_from(self.k_def)


_TABLE_12_1 = "Wood Handbook, Table 12-1 (from memory)"
_CHAPTER_5 = "Wood Handbook, chapter 5, 12 % moisture (from memory)"
_PONDEROSA = "Wood Handbook, Table 5-3a, 12 % moisture: 8,900 MPa and 65,000 kPa"
_PINE_LOW = (
    "0.64 of the mean, its 5th percentile with the variation of clear wood in Wood Handbook, "
    "Table 5-6 (from memory)"
)
_PANEL_CREEP, _PLYWOOD_CREEP, _WOOD_CREEP = 2.25, 0.8, 0.6

STOCK: dict[Material, PanelStock] = {
    Material.MDF: PanelStock(
        modulus=0.50e6,
        modulus_source=f"0.52e6 psi of {_TABLE_12_1}, rounded down",
        rupture=5200.0,
        rupture_source=_TABLE_12_1,
        density=48.0,
        density_source="common practice",
        gravity=0.77,
        modulus_low=313_300.0,
        modulus_low_source="ANSI A208.2, grade 130 minimum, 2,160 N/mm2 (from memory)",
        k_def=_PANEL_CREEP,
        in_plane_alike=True,
    ),
    Material.PARTICLEBOARD: PanelStock(
        modulus=0.40e6,
        modulus_source=f"low end of 0.40-0.60e6 psi, {_TABLE_12_1}",
        rupture=2200.0,
        rupture_source=f"low end of 2,200-3,500 psi, {_TABLE_12_1}",
        density=45.0,
        density_source="common practice",
        gravity=0.72,
        modulus_low=320_000.0,
        modulus_low_source="ANSI A208.1, grade M-2, the lower of two restatements (second-hand)",
        k_def=_PANEL_CREEP,
        in_plane_alike=True,
    ),
    Material.PLYWOOD: PanelStock(
        modulus=1.12e6,
        modulus_source=f"middle of 1.01-1.24e6 psi, face grain along the span, {_TABLE_12_1}",
        rupture=4890.0,
        rupture_source=f"low end of 4,890-6,180 psi, {_TABLE_12_1}",
        density=36.0,
        density_source="common practice",
        gravity=0.58,
        modulus_low=1.01e6,
        modulus_low_source=f"low end of 1.01-1.24e6 psi, face grain along the span, {_TABLE_12_1}",
        k_def=_PLYWOOD_CREEP,
    ),
    Material.WHITE_PINE: PanelStock(
        modulus=1.24e6,
        modulus_source=f"eastern white pine, {_CHAPTER_5}",
        rupture=8600.0,
        rupture_source=f"eastern white pine, {_CHAPTER_5}",
        density=24.5,
        density_source=f"specific gravity 0.35 and 12 % of water, {_CHAPTER_5}",
        gravity=0.35,
        modulus_low=CLEAR_WOOD_5TH * 1.24e6,
        modulus_low_source=_PINE_LOW,
        k_def=_WOOD_CREEP,
    ),
    Material.PONDEROSA_PINE: PanelStock(
        modulus=1.29e6,
        modulus_source=_PONDEROSA,
        rupture=9400.0,
        rupture_source=_PONDEROSA,
        density=28.0,
        density_source=f"specific gravity 0.40 and 12 % of water, {_PONDEROSA}",
        gravity=0.40,
        modulus_low=CLEAR_WOOD_5TH * 1.29e6,
        modulus_low_source=_PINE_LOW,
        k_def=_WOOD_CREEP,
    ),
}


def stock(material: Material) -> PanelStock:
    """Properties of a board material."""
    return STOCK[material]


def creep_of(construction: Construction) -> float:
    """Lasting over elastic sag of the brief's boards: as given there, else by material."""
    given = construction.creep_factor
    return STOCK[construction.material].creep if given is None else given


@dataclass(frozen=True, slots=True)
class Rod:
    """A round rod: outside and inside diameter [in], modulus [psi], density [lb/cu in].

    `modulus_low` [psi] is the lowest stiffness to reckon with, which limits take; `k_def` what
    creep adds to its sag, 0 for steel.
    """

    name: str
    outside: float
    inside: float
    modulus: float
    density: float
    rupture: float
    modulus_low: float
    k_def: float
    source: str

    @property
    def creeps(self) -> bool:
        """Whether its sag grows under a lasting load."""
        return self.k_def > 0.0

    @property
    def area(self) -> float:
        """Section area [sq in]."""
        return math.pi * (self.outside**2 - self.inside**2) / 4.0

    @property
    def inertia(self) -> float:
        """Second moment of area [in4]."""
        return math.pi * (self.outside**4 - self.inside**4) / 64.0

    @property
    def weight(self) -> float:
        """Weight [lb/ft]."""
        return self.area * self.density * 12.0


def steel_tube(outside: float, wall: float) -> Rod:
    """A steel tube of `outside` diameter and `wall` thickness [in]."""
    return Rod(
        name=f"steel tube {outside:g} in outside, {wall:g} in wall",
        outside=outside,
        inside=outside - 2.0 * wall,
        modulus=29.0e6,
        density=0.284,
        rupture=30_000.0,
        modulus_low=29.0e6,
        k_def=0.0,
        source="E 29e6 psi, 0.284 lb/cu in, yield of plain tube 30,000 psi: common values for "
        "carbon steel, from memory",
    )


def wood_dowel(diameter: float) -> Rod:
    """A wooden dowel of `diameter` [in]."""
    return Rod(
        name=f"wood dowel {diameter:g} in",
        outside=diameter,
        inside=0.0,
        modulus=1.2e6,
        density=28.0 / 1728.0,
        rupture=8600.0,
        modulus_low=CLEAR_WOOD_5TH * 1.2e6,
        k_def=_WOOD_CREEP,
        source="E 1.2e6 psi, rupture 8,600 psi: softwoods in Wood Handbook, chapter 5 (from "
        f"memory), rounded down; lowest stiffness {_PINE_LOW}",
    )


RODS: dict[RodStock, Rod] = {
    RodStock.STEEL_TUBE: steel_tube(1.3125, 0.049),
    RodStock.WOOD_DOWEL: wood_dowel(1.25),
}
"""Rods in stock. Both meet the least diameters of Architectural Woodwork Standards, 1st ed.
2009, 4.4.16: metal 1-1/16 in, wood 1-1/4 in."""


def rod(rod_stock: RodStock) -> Rod:
    """Properties of a rod in stock."""
    return RODS[rod_stock]


def rod_creep(construction: Construction) -> float:
    """Lasting over elastic sag of the brief's rods: steel does not creep, wood as solid wood."""
    chosen, given = RODS[construction.rod_stock], construction.creep_factor
    if not chosen.creeps:
        return 1.0
    return creep_from(chosen.k_def) if given is None else given
