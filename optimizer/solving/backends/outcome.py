"""What a solve ended with: status, objective, bound and gap; a stop is never called a proof."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

SolveStatus = Literal[
    "optimal", "within_gap", "time_limit", "cancelled", "infeasible", "unbounded", "error"
]

EXACT_GAP = 1e-9
"""Gap up to which an answer counts as exact in double arithmetic."""


class OutOfTimeError(Exception):
    """What is asked for takes longer than there is time."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a solve ended, in the sense of the problem (maximised or minimised).

    `objective` is the value of the solution that the variables now hold, None when there
    is none; `bound` is what no solution beats, None when nothing was proved. `gap` is
    |objective - bound| / max(1, |objective|). `ticks` is the work that a run of HiGHS
    took (`highs.CALL_TICKS`).
    """

    status: SolveStatus
    objective: float | None
    bound: float | None
    gap: float | None
    seconds: float
    nodes: int | None
    ticks: int = 0

    @property
    def has_solution(self) -> bool:
        """True when the variables hold a feasible solution."""
        return self.objective is not None

    @property
    def proved(self) -> bool:
        """True when the solution is proved best."""
        return self.status == "optimal"


def relative_gap(objective: float | None, bound: float | None) -> float | None:
    """Gap between a solution and its bound, relative to max(1, |objective|)."""
    if objective is None or bound is None or not math.isfinite(bound):
        return None
    return abs(objective - bound) / max(1.0, abs(objective))


def finished(
    objective: float, bound: float | None, requested_gap: float, seconds: float, nodes: int | None
) -> Outcome:
    """Outcome of a solver that ran to its own end, `requested_gap` being what it was told to reach.

    Its status is "optimal" when no gap was allowed or none is left, else "within_gap".
    """
    gap = relative_gap(objective, bound)
    exact = requested_gap <= 0 or (gap is not None and gap <= EXACT_GAP)
    return Outcome("optimal" if exact else "within_gap", objective, bound, gap, seconds, nodes)


def stopped(
    status: SolveStatus,
    objective: float | None,
    bound: float | None,
    seconds: float,
    nodes: int | None,
) -> Outcome:
    """Outcome of a solver that ended with no proof that its solution is the best.

    `objective` of the best solution so far, if any; `bound` is kept where it is finite, since it
    holds however early the search ended.
    """
    kept = bound if bound is not None and math.isfinite(bound) else None
    return Outcome(status, objective, kept, relative_gap(objective, kept), seconds, nodes)
