"""How the layouts of a study would stand under other priorities, without a solve.

A score is 100 x (2/3 needs + 1/3 sum(w v) / sum(w)), without needs 100 x sum(w v) / sum(w).
The values v are stored with a layout.
What the needs are worth depends on the weights of hanging and of shelving, each at least
`LEAST_CARE`: needs = 1 - loss / total, both linear in the two.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from optimizer.domain.brief import Priorities
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study
from optimizer.patterns.bay_rules import BayRules
from optimizer.scoring.terms import LEAST_CARE, Frame

Weights = Mapping[str, float]
NAMES = tuple(Priorities.model_fields)
MOST_WEIGHT = 100.0
"""Greatest weight that a priority takes."""


@dataclass(frozen=True, slots=True)
class Cared:
    """An amount of worth: so much per weight on hanging and per weight on shelving."""

    hang: float
    shelf: float

    def at(self, weights: Weights) -> float:
        """The amount under these weights."""
        return self.hang * care(weights["hanging"]) + self.shelf * care(weights["shelving"])

    def minus(self, other: Cared) -> Cared:
        """The difference."""
        return Cared(self.hang - other.hang, self.shelf - other.shelf)


@dataclass(frozen=True, slots=True)
class LeadQuadratic:
    """c0 + c1 x + c2 x^2 has the sign of a lead where the one weight x is in [low, high]."""

    low: float
    high: float
    coefficients: tuple[float, float, float]


def care(weight: float) -> float:
    """What a need's own priority counts for at least."""
    return max(LEAST_CARE, weight)


class WeightedScores:
    """The layouts of one study on the scale of any weights; they go by their ranks."""

    def __init__(self, study: Study) -> None:
        """The layouts of the study as they are, ready to be scored under any weights; nothing is
        solved."""
        frame = Frame(BayRules(study.brief))
        self._worths, self.share = frame.worths(), frame.needs_share
        self._total = Cared(
            sum(worth.hang * worth.required for worth in self._worths),
            sum(worth.shelf * worth.required for worth in self._worths),
        )
        self._values = {layout.rank: _values(layout) for layout in study.layouts}
        self._losses = {layout.rank: self._loss(layout) for layout in study.layouts}
        self.ranks = tuple(self._values)

    def _loss(self, layout: Layout) -> Cared:
        """Worth of what the layout leaves short."""
        short = {unmet.need: unmet.shortfall for unmet in layout.unmet}
        return Cared(
            sum(worth.hang * short.get(worth.name, 0.0) for worth in self._worths),
            sum(worth.shelf * short.get(worth.name, 0.0) for worth in self._worths),
        )

    def score(self, rank: int, weights: Weights) -> float:
        """Score of a layout under these weights."""
        weight = sum(weights[name] for name in NAMES)
        sums = sum(weights[name] * self._values[rank][name] for name in NAMES)
        share = sums / weight if weight > 0 else 0.0
        return 100.0 * (self.share * self.needs(rank, weights) + (1.0 - self.share) * share)

    def needs(self, rank: int, weights: Weights) -> float:
        """Share of the needs that a layout meets under these weights."""
        total = self._total.at(weights)
        return 1.0 - self._losses[rank].at(weights) / total if total > 0 else 1.0

    def better(self, rank: int, rival: int) -> dict[str, float]:
        """How much higher each value of a layout is than its rival's."""
        mine, other = self._values[rank], self._values[rival]
        return {name: mine[name] - other[name] for name in NAMES}

    def lead(self, rank: int, rival: int, name: str, weights: Weights) -> Iterator[LeadQuadratic]:
        """The sign of a layout's lead over a rival's as the weight `name` moves alone.

        It is the lead times (total of the needs) x (sum of the weights), both above zero:
        2 x (rival's loss - own loss) x sum(w) + total x sum(w x difference of values), for
        shares of 2/3 and 1/3.
        """
        bounds = (0.0, LEAST_CARE, MOST_WEIGHT) if name in _CARED else (0.0, MOST_WEIGHT)
        for low, high in pairwise(bounds):
            # On the piece below `LEAST_CARE` the needs do not feel the weight.
            felt = name in _CARED and low >= LEAST_CARE
            yield LeadQuadratic(low, high, self._product(rank, rival, name, weights, felt=felt))

    def _product(
        self, rank: int, rival: int, name: str, weights: Weights, *, felt: bool
    ) -> tuple[float, float, float]:
        """Coefficients of a quadratic in one weight: by how much one layout beats its rival.

        The scores are quotients by the sum of weights; multiplied out, their difference has no
        denominator, and its zeros are where the two change places.
        """
        better = self.better(rank, rival)
        others = {other: weights[other] for other in NAMES if other != name}
        sum_of_weights = (sum(others.values()), 1.0)
        sum_of_values = (sum(w * better[o] for o, w in others.items()), better[name])
        spared = _line(self._losses[rival].minus(self._losses[rank]), name, weights, felt=felt)
        total = _line(self._total, name, weights, felt=felt)
        # No needs: the quotient of their shares has no part in the score, and any divisor will do.
        if total == (0.0, 0.0):
            total = (1.0, 0.0)
        ratio = self.share / (1.0 - self.share)
        first = _times(spared, sum_of_weights)
        second = _times(total, sum_of_values)
        return (
            ratio * first[0] + second[0],
            ratio * first[1] + second[1],
            ratio * first[2] + second[2],
        )


_CARED = ("hanging", "shelving")


def _values(layout: Layout) -> dict[str, float]:
    """Value of each priority's term; 0 where a layout has none."""
    found = {term.name.value: term.value for term in layout.terms}
    return {name: found.get(name, 0.0) for name in NAMES}


def _line(amount: Cared, name: str, weights: Weights, *, felt: bool) -> tuple[float, float]:
    """(c0, c1) of an amount as the weight `name` moves."""
    parts = {"hanging": amount.hang, "shelving": amount.shelf}
    fixed = sum(part * care(weights[key]) for key, part in parts.items() if key != name)
    if name not in parts:
        return fixed, 0.0
    return (fixed, parts[name]) if felt else (fixed + parts[name] * LEAST_CARE, 0.0)


def _times(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float, float]:
    """Product of two lines."""
    return (
        one[0] * other[0],
        one[0] * other[1] + one[1] * other[0],
        one[1] * other[1],
    )
