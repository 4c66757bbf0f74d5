"""What earlier solves of one model have proved, and what that says once more is forbidden."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from optimizer.solving import Memory, Outcome, relative_gap


@dataclass
class Proofs:
    """The bounds that hold for later solves of a model to which constraints are only added.

    `memory` is what searches hand on. `strict` is what was proved of all layouts before more was
    forbidden than the rules forbid; None as long as nothing was.
    """

    memory: Memory = field(default_factory=Memory)
    strict: float | None = None

    def stricter(self, outcome: Outcome) -> None:
        """Keep the present bound: what is added next forbids more than the rules do.

        Later bounds hold for fewer layouts, and so prove nothing of all of them.
        """
        if self.strict is None:
            self.strict = math.inf if outcome.bound is None else outcome.bound

    def honest(self, outcome: Outcome) -> Outcome:
        """`outcome` with a bound that holds for every layout that the rules allow."""
        if self.strict is None or outcome.bound is None:
            return outcome
        bound = self.honest_bound(outcome.bound)
        return replace(outcome, bound=bound, gap=relative_gap(outcome.objective, bound))

    def honest_bound(self, bound: float) -> float:
        """A bound of the present search as it holds for every layout that the rules allow."""
        return bound if self.strict is None else max(bound, self.strict)

    def bounded(self, outcome: Outcome) -> Outcome:
        """`outcome` with the lowest bound proved so far: adding constraints can only lower it."""
        proved = [b for b in (self.memory.bound, outcome.bound) if b is not None]
        if not proved:
            return outcome
        self.memory.bound = min(proved)
        if outcome.objective is None:
            return outcome
        bound = max(self.memory.bound, outcome.objective)
        return replace(outcome, bound=bound, gap=relative_gap(outcome.objective, bound))
