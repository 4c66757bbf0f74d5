"""Deflection, moment and stress of straight beams in closed form.

Wood Handbook, FPL-GTR-190 (2010), Equation 9-1 and Table 9-1: with W the whole load on the
span L, deflection = k_b W L^3 / (E I) + k_s W L / (G A'), where A' is 5/6 of a rectangular
section, what stores the energy of its shear stress. Any consistent units serve; the rest of the
package uses inches and pounds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from optimizer.structure.sections import Section

SHEAR_AREA_SHARE = 5.0 / 6.0
"""Part of a rectangular section that works in shear: by the energy of a parabola of shear stress,
as the tests integrate it."""


class Ends(StrEnum):
    """How the ends of a span are held."""

    SIMPLE = "simple"
    CLAMPED = "clamped"
    CANTILEVER = "cantilever"


class Loading(StrEnum):
    """Spread evenly, or all at one point: midspan, or the free end of a cantilever."""

    UNIFORM = "uniform"
    POINT = "point"


@dataclass(frozen=True, slots=True)
class Coefficients:
    """k_b and k_s of the largest deflection, and the largest moment over W L."""

    bending: float
    shear: float
    moment: float


COEFFICIENTS: dict[tuple[Ends, Loading], Coefficients] = {
    (Ends.SIMPLE, Loading.UNIFORM): Coefficients(5 / 384, 1 / 8, 1 / 8),
    (Ends.CLAMPED, Loading.UNIFORM): Coefficients(1 / 384, 1 / 8, 1 / 12),
    (Ends.SIMPLE, Loading.POINT): Coefficients(1 / 48, 1 / 4, 1 / 4),
    (Ends.CLAMPED, Loading.POINT): Coefficients(1 / 192, 1 / 4, 1 / 8),
    (Ends.CANTILEVER, Loading.UNIFORM): Coefficients(1 / 8, 1 / 2, 1 / 2),
    (Ends.CANTILEVER, Loading.POINT): Coefficients(1 / 3, 1.0, 1.0),
}
"""Deflections: Wood Handbook, Table 9-1. Moments: the usual beam tables."""


def shear_rigidity(section: Section, shear_modulus: float) -> float:
    """G A' of a rectangular section."""
    return shear_modulus * SHEAR_AREA_SHARE * section.area


def deflection(
    load: float,
    span: float,
    rigidity: float,
    ends: Ends = Ends.SIMPLE,
    loading: Loading = Loading.UNIFORM,
    *,
    shear: float = math.inf,
) -> float:
    """Largest deflection under the whole `load` on the span.

    `rigidity` is E I; `shear` is G A', infinite to leave shear deflection out.
    """
    factors = COEFFICIENTS[ends, loading]
    bending = factors.bending * load * span**3 / rigidity
    return bending + factors.shear * load * span / shear


def largest_moment(
    load: float, span: float, ends: Ends = Ends.SIMPLE, loading: Loading = Loading.UNIFORM
) -> float:
    """Largest bending moment under the whole `load` on the span."""
    return COEFFICIENTS[ends, loading].moment * load * span


def bending_stress(moment: float, section: Section) -> float:
    """Largest bending stress of `section` under `moment`."""
    return moment / section.modulus


# Where a span with one simple and one clamped end sags most, as a part of the span from the
# simple end: the root of 8 x^3 - 9 x^2 + 1 = 0 inside the span.
_SAG_POINT = (1.0 + math.sqrt(33.0)) / 16.0

TWO_SPAN_DEFLECTION = (_SAG_POINT - 3.0 * _SAG_POINT**3 + 2.0 * _SAG_POINT**4) / 48.0
"""Largest deflection over w L^4 / (E I) of two equal spans, about 1/185 as beam tables have it."""


def two_span_deflection(load_per_length: float, span: float, rigidity: float) -> float:
    """Largest deflection of a beam over two equal spans, uniform load on both, no shear."""
    return TWO_SPAN_DEFLECTION * load_per_length * span**4 / rigidity


def two_span_reactions(load_per_length: float, span: float) -> tuple[float, float, float]:
    """Reactions of two equal spans under a uniform load: 3/8, 10/8 and 3/8 of w L."""
    each = load_per_length * span
    return (0.375 * each, 1.25 * each, 0.375 * each)


def two_span_moment(load_per_length: float, span: float) -> float:
    """Largest moment of two equal spans under a uniform load: w L^2 / 8, at the middle support."""
    return load_per_length * span**2 / 8.0


def overhang_moment(load_per_length: float, length: float, overhang: float) -> float:
    """Largest moment, either sign, of a beam on two supports set in by `overhang` at each end."""
    over_support = load_per_length * overhang**2 / 2.0
    at_middle = load_per_length * length * (length - 4.0 * overhang) / 8.0
    return max(over_support, abs(at_middle))


def best_overhang(length: float) -> float:
    """Overhang that makes the largest moment least: (sqrt 2 - 1) L / 2.

    Gere, Mechanics of Materials, 7th ed., problem 5.6-18.
    """
    return (math.sqrt(2.0) - 1.0) * length / 2.0


def patched_span(patch: float, share: float, terms: int = 80) -> tuple[float, float]:
    """Largest deflection over w L^4 / (E I) and moment over w L^2 of a simple span under two loads.

    w all along, and a line load from one end to `patch` x span whose whole is `share` of the
    whole of w. Navier's sine series, looked at in 24 places.
    """
    etas, sines = _navier(terms)
    even = np.where(np.arange(1, terms + 1) % 2, 4.0 / etas, 0.0)
    line = 2.0 * share / patch / etas * (1.0 - np.cos(etas * patch))
    series = even + line
    deflections, moments = sines @ (series / etas**4), sines @ (series / etas**2)
    return float(deflections.max()), float(moments.max())


@lru_cache(maxsize=8)
def _navier(terms: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The etas m pi of a sine series, and sin(eta x) at 23 places x of the span."""
    etas: NDArray[np.float64] = math.pi * np.arange(1, terms + 1, dtype=np.float64)
    places = np.arange(1, 24) / 24.0
    sines: NDArray[np.float64] = np.sin(np.outer(places, etas))
    return etas, sines
