"""Boards as plates: three edges simply supported, the front edge free.

Levy's series (Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., the
chapter on rectangular plates with three edges supported and one free). The plate spans `a`
between its ends and is `b` deep from the held back edge to the free front edge. Across its
depth each term of the series is written in exponentials that decay from either edge, which
stays exact to rounding where hyperbolic functions would overflow. Any consistent units.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

TERMS = 25
"""Terms of a series: the last ones change the sag by less than 1e-6 of it."""
PATCH_POINTS = 24
"""Places along the free edge where the sag under a patch is looked for."""


def plate_rigidity(modulus: float, thickness: float, poisson: float) -> float:
    """D = E t^3 / (12 (1 - nu^2))."""
    return modulus * thickness**3 / (12.0 * (1.0 - poisson**2))


@dataclass(frozen=True, slots=True)
class EdgeLoads:
    """Sag at the middle of the free edge, over q a^4 / D, and moment M_x there, over q a^2."""

    deflection: float
    moment: float


def _edge(beta: Floats, poisson: float, spread: Floats, edge: Floats) -> Floats:
    """Values at the free edge of the terms across the depth; `beta` is m pi b / a.

    Y(t) = spread + (a1 + a2 t) e^-t + (a3 + a4 (t - beta)) e^(t - beta), t = m pi y / a, with
    Y = Y'' = 0 at the back and no moment at the front, where Y''' - (2 - nu) Y' = -`edge`.
    """
    decay = np.exp(-beta)
    square, less = decay * decay, 1.0 - poisson
    first = (
        less * (1.0 - square),
        2.0 * (1.0 - square) + 2.0 * less * beta * square,
        spread * (poisson - decay + less * (1.0 + beta / 2.0) * decay),
    )
    second = (
        -less * (1.0 + square),
        (1.0 + poisson) * (1.0 + square) + 2.0 * less * beta * square,
        spread * decay * (less * (1.0 + beta / 2.0) + (1.0 + poisson) / 2.0) - edge,
    )
    determinant = first[0] * second[1] - first[1] * second[0]
    if not np.all(determinant):
        # An array would go on with no number at all, and pass for a board that holds.
        raise ZeroDivisionError("a plate without depth has no free edge to speak of")
    a3 = (first[2] * second[1] - first[1] * second[2]) / determinant
    a4 = (first[0] * second[2] - first[2] * second[0]) / determinant
    inner = -spread * (1.0 + beta / 2.0) - a3 * decay + 2.0 * a4 * beta * decay
    at_front: Floats = spread + inner * decay + a3
    return at_front


@lru_cache(maxsize=20_000)
def free_edge(ratio: float, poisson: float) -> EdgeLoads:
    """Uniform load on a plate whose depth is `ratio` of its span."""
    orders = np.arange(1, 2 * TERMS, 2, dtype=np.float64)
    etas: Floats = math.pi * orders
    # Odd terms alone: an even load is symmetric about midspan, where the sag is asked for.
    values = _edge(ratio * etas, poisson, 4.0 * etas**-5.0, np.zeros(TERMS))
    # sin(m pi / 2) at midspan is 1, -1, 1, ... for m = 1, 3, 5, ...
    signed = np.where(orders % 4 == 1, values, -values)
    moment = float((signed * etas**2).sum())
    return EdgeLoads(float(signed.sum()), moment * (1.0 - poisson**2))


@lru_cache(maxsize=20_000)
def patched_edge(ratio: float, poisson: float, patch: float, share: float) -> EdgeLoads:
    """Uniform load q and beside it a line load on the free edge from one end to `patch` x span.

    `share` is the whole of the line load over the whole of the uniform one. The largest sag
    and moment along the free edge, in the same terms as `free_edge`.
    """
    per_length = share * ratio / patch  # of q a
    orders = np.arange(1, 2 * TERMS + 1, dtype=np.float64)
    etas: Floats = math.pi * orders
    # The patch lies at one end: even terms count for it, and 0 for the even load.
    spread = np.where(orders % 2, 4.0 / etas**5, 0.0)
    line = 2.0 * per_length / etas * (1.0 - np.cos(etas * patch))
    values = _edge(ratio * etas, poisson, spread, line * etas**-3.0)
    sines = _sines()
    sags, moments = sines @ values, sines @ (values * etas**2)
    return EdgeLoads(float(sags.max()), float(moments.max()) * (1.0 - poisson**2))


@lru_cache(maxsize=1)
def _sines() -> Floats:
    """sin(m pi x) of every term at every place along the free edge."""
    places = np.arange(1, PATCH_POINTS) / PATCH_POINTS
    return np.sin(np.outer(places, math.pi * np.arange(1, 2 * TERMS + 1)))
