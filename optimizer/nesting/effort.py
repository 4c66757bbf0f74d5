"""Work counted in steps: a busy machine is slower and finds the same."""

from __future__ import annotations

from dataclasses import dataclass

STEPS = 6_000
"""Steps of one nesting where nothing else is asked for; a step is about a millisecond of one
processor. Lists of closets mostly need a hundred or two."""

ROUND = 4
"""Steps of one round of column generation, and for each hundred columns in it."""

SEARCHED = 300
"""Places of the search for columns looked at in one step."""

TICK = 1.5
"""Steps of one tick of the solver (`solving.highs`), and again for each thousand columns."""


@dataclass(slots=True)
class Effort:
    """Steps left, of a whole or of a part of it: what a part spends is gone from the whole."""

    steps: float
    whole: Effort | None = None

    @property
    def left(self) -> float:
        """Steps left; none left of a whole is none left of its parts."""
        own = max(0.0, self.steps)
        return own if self.whole is None else min(own, self.whole.left)

    def part(self, share: float) -> Effort:
        """A share of what is left."""
        return Effort(share * self.left, self)

    def spend(self, steps: float) -> None:
        """Count steps."""
        self.steps -= steps
        if self.whole is not None:
            self.whole.spend(steps)
