"""Published instances with known optima, kerf 0, proved here as well.

Instances: A1-A5 (Hifi 1997), CU1-CU2 (Fayard, Hifi, Zissimopoulos 1998), OF1-OF2
(Oliveira, Ferreira 1990), HH (Herz 1972), from the public collection fontanf/packingsolver.
Two-stage optima with the first cuts along the width: Silva, Alvelos, Valerio de Carvalho,
"An integer programming model for two- and three-stage two-dimensional cutting stock
problems", European Journal of Operational Research 205 (2010), from memory of its tables.
Optima with the first cuts along the height, and with turning: solved to proof by an
arc-flow model (Macedo, Alves, Valerio de Carvalho, Computers & Operations Research 37,
2010) apart from this code.
"""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.domain.sheets import StickPart, StockStick
from optimizer.nesting import cut_sticks, nest
from optimizer.units import Units
from tests.nesting.lists import published, published_case
from tests.nesting.validator import check_nesting, check_sticks

NAMES = ["A1", "A2", "A3", "A4", "A5", "CU1", "CU2", "OF1", "OF2", "HH"]
EXACT_UPRIGHT = {"A1": 27, "A2": 15, "A4": 7, "CU1": 15, "CU2": 21, "OF2": 5}
TRIMMED_UPRIGHT = {"A1": 23, "A2": 12, "A4": 5, "CU1": 12, "CU2": 15, "OF2": 4}
TRIMMED_TURNING = {"A1": 17, "A2": 11, "A3": 7}
ALONG: dict[str, Any] = {"first_cut": "along", "gathering": False}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("trimmed", [False, True])
def test_two_stage_optimum(name: str, trimmed: bool) -> None:
    """Exact and trimmed two-stage cutting, first cuts along the width (Silva et al. 2010)."""
    parts, sheet = published_case(name)
    key = "optimum_two_stage_trimmed" if trimmed else "optimum_two_stage_exact"
    result = nest(parts, [sheet], kerf=0, units=Units.MILLIMETRE, trimmed=trimmed, **ALONG)
    check_nesting(result, parts, [sheet])
    optimum = published()[name][key]
    assert (result.bought, result.lower_bound, result.proved) == (optimum, optimum, True)


@pytest.mark.parametrize(
    ("name", "trimmed", "optimum"),
    [(name, False, n) for name, n in EXACT_UPRIGHT.items()]
    + [(name, True, n) for name, n in TRIMMED_UPRIGHT.items()],
)
def test_first_cuts_along_the_height(name: str, trimmed: bool, optimum: int) -> None:
    """The same instances lying on their side."""
    parts, sheet = published_case(name, upright=True)
    result = nest(parts, [sheet], kerf=0, units=Units.MILLIMETRE, trimmed=trimmed, **ALONG)
    check_nesting(result, parts, [sheet])
    assert (result.bought, result.lower_bound) == (optimum, optimum)


@pytest.mark.parametrize(("name", "optimum"), TRIMMED_TURNING.items())
def test_turning(name: str, optimum: int) -> None:
    """Parts that may turn by a quarter need fewer sheets."""
    fixed, sheet = published_case(name)
    parts = [part.model_copy(update={"can_turn": True}) for part in fixed]
    result = nest(parts, [sheet], kerf=0, units=Units.MILLIMETRE, **ALONG)
    check_nesting(result, parts, [sheet])
    assert (result.bought, result.lower_bound) == (optimum, optimum)


@pytest.mark.parametrize("name", [name for name in NAMES if name != "CU2"])
def test_either_way_is_no_worse_than_each(name: str) -> None:
    """Sheets cut either way, mixed: as few as the better of the published single ways (A5 needs
    one less mixed), proved, and never below the area. CU2 takes all the steps there are."""
    parts, sheet = published_case(name)
    result = nest(parts, [sheet], kerf=0, units=Units.MILLIMETRE, gathering=False)
    check_nesting(result, parts, [sheet])
    along = published()[name]["optimum_two_stage_trimmed"]
    single = min(along, TRIMMED_UPRIGHT.get(name, along))
    area = sum(p.length * p.width * p.count for p in parts) / (sheet.width * sheet.height)
    assert area <= result.lower_bound <= result.bought <= single
    assert result.proved


def test_rolls_of_paper() -> None:
    """One-dimensional, 13 widths and 219 pieces from 5600: 73 rolls.

    The worked example of "Cutting stock problem" in Wikipedia.
    """
    widths = {
        1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10,
        2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
    }  # fmt: skip
    parts = [StickPart(id=f"w{w}", length=w, count=n) for w, n in widths.items()]
    stock = [StockStick(length=5600)]
    result = cut_sticks(parts, stock, kerf=0, units=Units.MILLIMETRE)
    check_sticks(result, parts, stock)
    assert (result.bought, result.lower_bound) == (73, 73)


def test_raws_and_finals() -> None:
    """One-dimensional, raws of 100 in: 453, a relaxation of 452.25.

    Chvatal, "Linear Programming" (1983), chapter 13; its lengths and demands stand in the model
    library of GAMS too (cutstock, after Gilmore and Gomory).
    """
    finals = {45: 97, 36: 610, 31: 395, 14: 211}
    parts = [StickPart(id=f"f{w}", length=w, count=n) for w, n in finals.items()]
    stock = [StockStick(length=100)]
    result = cut_sticks(parts, stock, kerf=0)
    check_sticks(result, parts, stock)
    assert (result.bought, result.lower_bound) == (453, 453)
