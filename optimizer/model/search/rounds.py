"""Ranked alternatives, one exact solve after another.

Solve k maximises the score among layouts at least the asked distance from layouts
1..k-1 and within the allowed loss of the best. Its bound proves that nothing that far
from those layouts scores higher; infeasibility proves that there is no further one. It is
not a claim about the best set of k. See Danna and Woodruff, "How to select a small set of
diverse solutions to mixed integer programming problems", Operations Research Letters 37,
2009, for the sequential scheme.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from optimizer.model.search.alternatives import Ended, Found, Provisional, Search

Seen = Callable[[int, float, float], None]
"""Told of progress: layouts found, best score so far in this solve, bound."""
Stopper = Callable[[], bool] | None
"""Asked whether to stop."""


@dataclass(frozen=True, slots=True)
class Reserve:
    """Time kept for layouts without proofs of their own: `each` is what one is given at least
    [seconds], `until` when the last one ends, `by` when all that is done with them is to be over
    [monotonic seconds], `owed` how long that still takes with one more of them [seconds]."""

    each: float
    until: float
    by: float = math.inf
    owed: Callable[[], float] = lambda: 0.0

    @property
    def end(self) -> float:
        """When the last one ends as things stand [monotonic seconds]."""
        return min(self.until, self.by - self.owed())


@dataclass(frozen=True, slots=True)
class Times:
    """When searches end [monotonic seconds].

    Proofs are looked for until `deadline`. Where there is no layout by then, a first one is looked
    for until `at_last`, and after that by a few dives, however late it is: they are so much work
    and no more. Where a search runs into the `reserve`, the layouts that follow are looked for in
    it.
    """

    deadline: float
    at_last: float | None = None
    reserve: Reserve | None = None

    def proving(self, later: int) -> float:
        """When a proof has to end after which so many layouts are still to come."""
        if self.reserve is None:
            return self.deadline
        return min(self.deadline, self.reserve.end - self.reserve.each * later)


def alternatives(
    search: Search,
    times: Times,
    *,
    least: float,
    seen: Seen | None = None,
    should_stop: Stopper = None,
    provisional: Provisional | None = None,
) -> Iterator[Found | Ended]:
    """The layouts in the order in which they are found, each at least `least` away from those
    before; then an `Ended` if the search stopped early. `provisional` is told of layouts met before
    the first of them is proved."""
    options = search.brief.options
    in_time = True
    for number in range(options.alternatives):

        def on_progress(incumbent: float, bound: float, found: int = number) -> None:
            """Hand progress on with the number of layouts found before."""
            # By default this round's number: a closure would read the loop's, which moves on.
            if seen is not None:
                seen(found, incumbent, bound)

        later = options.alternatives - number - 1
        result: Found | Ended | None = None
        if in_time and number == 0:
            result = _first(search, times, later, on_progress, should_stop, provisional=provisional)
        elif in_time:
            result = search.next(times.proving(later), on_progress, should_stop, deep=later > 0)
        if times.reserve is not None and (result is None or _out_of_time(result)):
            result = _chosen(search, times.reserve, later, should_stop)
        if result is None:
            return
        yield result
        if isinstance(result, Ended) or result.outcome.status == "cancelled":
            return
        in_time = in_time and result.outcome.status != "time_limit"
        if number == 0:
            # The first layout is the best one: the loss allowed is counted from it, for all that
            # follow.
            best = result.outcome.objective or 0.0
            search.keep_above(best * (1.0 - options.max_quality_loss))
        search.keep_away(result.bays, least, number)


def _first(
    search: Search,
    times: Times,
    later: int,
    on_progress: Callable[[float, float], None],
    should_stop: Stopper,
    *,
    provisional: Provisional | None,
) -> Found | Ended:
    """The first layout, in time or late; `later` are still to come."""
    # A deep proof pays only where later layouts start from it.
    deep, until = later > 0, times.proving(later)
    result = search.next(until, on_progress, should_stop, deep=deep, provisional=provisional)
    if times.at_last is not None and _out_of_time(result):
        result = search.next(times.at_last, on_progress, should_stop, deep=deep)
        result = search.some(should_stop) if _out_of_time(result) else result
    return result


def _chosen(search: Search, reserve: Reserve, later: int, should_stop: Stopper) -> Found | Ended:
    """A layout without a proof in its part of the reserve, else in all that is left of it; what
    it leaves goes to the `later` ones."""
    now = time.monotonic()
    result = search.soon(now + (reserve.end - now) / (later + 1), should_stop)
    return search.soon(reserve.end, should_stop) if _out_of_time(result) else result


def _out_of_time(result: Found | Ended) -> bool:
    """Whether a search found nothing, or an empty room, since its time was over."""
    nothing = isinstance(result, Ended) or not (result.bays or result.mounts)
    return nothing and result.outcome.status == "time_limit"
