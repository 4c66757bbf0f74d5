"""Which pins cannot be kept together, found by leaving them out one by one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from optimizer.domain.brief import Brief, Pin
from optimizer.domain.study import Warned, Yardstick
from optimizer.explaining.deletion_filter import smallest
from optimizer.model.search.alternatives import Ended, Search

ANY_LAYOUT_GAP = 0.5
"""The question is only whether a layout exists, not how good it is."""


def possible(
    brief: Brief,
    pins: Sequence[Pin],
    deadline: float,
    *,
    yardstick: Yardstick | None = None,
    should_stop: Callable[[], bool] | None = None,
) -> bool | None:
    """Whether a layout keeps `pins`; None when time ran out or the wish to stop came.

    BriefError, naming the pin, for one that can stand nowhere near its place.
    """
    options = brief.options.model_copy(update={"gap": ANY_LAYOUT_GAP})
    tried = brief.model_copy(update={"pins": tuple(pins), "options": options})
    result = Search(tried, yardstick).next(deadline, should_stop=should_stop)
    if isinstance(result, Ended):
        return False if result.outcome.status == "infeasible" else None
    return True


def pin_conflict(brief: Brief, deadline: float) -> Warned:
    """A smallest set of pins that no layout keeps together (a deletion filter).

    `deadline` in monotonic seconds; pins not looked at by then stay in the set, which is
    then said to be no smallest one.
    """
    kept, settled = smallest(brief.pins, lambda pins: possible(brief, pins, deadline), deadline)
    names = [f"pin {brief.pins.index(pin) + 1} on wall {pin.wall}" for pin in kept]
    if len(kept) == 1:
        detail = f"{names[0]} cannot be kept: nothing else fits the room with it"
    else:
        detail = f"{', '.join(names)} cannot be kept together"
        detail += "; any of them can without the others" if settled else " (time ran out)"
    pointer = f"/pins/{brief.pins.index(kept[0])}" if kept else "/pins"
    return Warned(code="pins_refused", pointer=pointer, detail=detail)
