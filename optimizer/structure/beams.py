"""Deflection, bending moment and stress of straight beams.

Wood Handbook, FPL-GTR-190 (2010), Equation 9-1 and Table 9-1: with W the whole load on the
span L, deflection = k_b W L^3 / (E I) + k_s W L / (G A'), where A' is the area that works in
shear, E the modulus of elasticity, I the moment of inertia. Any consistent units serve; the rest
of the package uses inches and pounds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from optimizer.structure.sections import Section


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


def patched_span(patch: float, share: float, terms: int = 80) -> tuple[float, float]:
    """A simple span under two loads: its largest deflection and its largest moment, as factors.

    The deflection is the first factor times w L^4 / (E I), the moment the second times w L^2. w is
    a load per length all along; beside it a second line load reaches from one end to `patch` times
    the span, and is `share` times the whole of w in all. Both are found by Navier's sine series
    with `terms` terms, in 23 places along the span.
    """
    etas, sines = _navier(terms)
    # An even load has no even terms: the halves of the span cancel out.
    even = np.where(np.arange(1, terms + 1) % 2, 4.0 / etas, 0.0)
    line = 2.0 * share / patch / etas * (1.0 - np.cos(etas * patch))
    # Coefficient n of the load, divided by eta^4 for the deflection and by eta^2 for the moment.
    series = even + line
    deflections, moments = sines @ (series / etas**4), sines @ (series / etas**2)
    return float(deflections.max()), float(moments.max())


@lru_cache(maxsize=8)
def _navier(terms: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Of a sine series: factors eta = m pi (terms,), and sin(eta x) in 23 places (23, terms)."""
    etas: NDArray[np.float64] = math.pi * np.arange(1, terms + 1, dtype=np.float64)
    places = np.arange(1, 24) / 24.0
    sines: NDArray[np.float64] = np.sin(np.outer(places, etas))
    return etas, sines
