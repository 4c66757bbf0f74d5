"""A first solution from a few patterns, good enough to end most solves at the root.

The linear relaxation is tight when rooms are large: a handful of patterns carries it.
The model restricted to those patterns (and one of each kind) is small and solves fast;
where its optimum is within the asked gap of the relaxation's bound, that bound is the
proof. Otherwise the solution starts the full solve.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterable
from typing import Any

from optimizer.model.formulation import Formulation, SlotVars
from optimizer.solving import Outcome, SolverName, lp_relaxation, relative_gap, solve

SMALL = 40
"""With fewer slots than this the full model is as fast."""
SUPPORT = 1e-6
EXTRA_PER_KIND = 1


def first_solution(
    model: Formulation, *, solver: SolverName, gap: float, seed: int, time_limit: float
) -> Outcome | None:
    """A solution with the relaxation's bound, or None where none was found in time.

    The variables hold the solution; the model is left as it was.
    """
    started = time.monotonic()
    relaxed = lp_relaxation(model.problem, solver=solver, time_limit=time_limit)
    if relaxed.objective is None or relaxed.status != "optimal":
        return None
    closed = _close(_unsupported(model))
    try:
        left = time_limit - (time.monotonic() - started)
        if left <= 0:
            return None
        outcome = solve(model.problem, solver=solver, gap=gap / 4, seed=seed, time_limit=left)
    finally:
        for variable, most in closed:
            variable.upBound = most
    if outcome.objective is None:
        return None
    found = relative_gap(outcome.objective, relaxed.objective)
    return Outcome(
        "within_gap",
        outcome.objective,
        max(relaxed.objective, outcome.objective),
        found,
        time.monotonic() - started,
        outcome.nodes,
    )


class _Target:
    """Stops the restricted solve once it is good enough, or can no longer become so."""

    def __init__(self, wanted: float) -> None:
        self.wanted = wanted
        self.best = -math.inf
        self.bound = math.inf

    def seen(self, incumbent: float, bound: float) -> None:
        """Take note of an incumbent and a bound."""
        self.best, self.bound = max(self.best, incumbent), min(self.bound, bound)

    def settled(self) -> bool:
        """Whether the target is reached, or a solution is there and the target is out of reach."""
        reached = self.best >= self.wanted
        hopeless = self.bound < self.wanted and self.best > -math.inf
        return reached or hopeless


def _unsupported(model: Formulation) -> list[Any]:
    """Variables of slots and groups that the relaxation has no use for."""
    labels = {v.slot.pattern.label for v in model.slots if _value(v.count) > SUPPORT}
    labels |= set(_extras(model.slots, labels))
    groups = {
        host.group.counts for v in model.slots for host, held in v.hosts if _value(held) > SUPPORT
    }
    unused = []
    for vars_ in model.slots:
        if vars_.slot.pattern.label not in labels:
            unused.append(vars_.count)
            continue
        for host, held in vars_.hosts:
            single = sum(number for _, number in host.group.counts) == 1
            if host.group.counts not in groups and not single:
                unused.append(held)
    return unused


def _extras(slots: Iterable[SlotVars], labels: set[str]) -> list[str]:
    """The cheapest patterns of each kind that is not among `labels` yet."""
    kinds: dict[str, dict[str, float]] = {}
    for vars_ in slots:
        pattern = vars_.slot.pattern
        kinds.setdefault(pattern.kind, {})[pattern.label] = pattern.measures.cost
    extras = []
    for known in kinds.values():
        if not labels & set(known):
            extras += sorted(known, key=lambda label: (known[label], label))[:EXTRA_PER_KIND]
    return extras


def _close(variables: Iterable[Any]) -> list[tuple[Any, Any]]:
    """Set upper bounds to 0; the bounds there were."""
    closed = []
    for variable in variables:
        closed.append((variable, variable.upBound))
        variable.upBound = 0
    return closed


def _value(variable: Any) -> float:
    return float(variable.value() or 0.0)
