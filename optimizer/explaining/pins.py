"""Which pins cannot be kept together, found by leaving them out one by one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from optimizer.domain.brief import Brief, MountPin, Pin
from optimizer.domain.layout import Bay
from optimizer.domain.study import Warned, Yardstick
from optimizer.explaining.deletion_filter import smallest
from optimizer.model.search.alternatives import Ended, Found, Search

ANY_LAYOUT_GAP = 0.5
"""The question is only whether a layout exists, not how good it is."""


def pin_of(bay: Bay) -> Pin:
    """The pin that keeps a bay of a layout where it is, what stands on its shelves apart."""
    return Pin(
        wall=bay.wall,
        start=bay.start,
        width=bay.width,
        pattern=bay.pattern,
        left=bay.left,
        right=bay.right,
    )


def possible(
    brief: Brief,
    pins: Sequence[Pin | MountPin],
    deadline: float,
    *,
    yardstick: Yardstick | None = None,
    should_stop: Callable[[], bool] | None = None,
) -> bool | None:
    """Whether a layout keeps `pins`; None when time ran out or a stop was asked for.

    BriefError, naming the pin, for one that can stand nowhere near its place.
    """
    # So wide that the search ends soon after it has any layout.
    options = brief.options.model_copy(update={"gap": ANY_LAYOUT_GAP})
    tried = _keeping(brief, pins).model_copy(update={"options": options})
    search = Search.within(tried, yardstick, deadline)
    if search is None:
        return None
    result = search.next(deadline, should_stop=should_stop)
    if isinstance(result, Ended):
        return False if result.outcome.status == "infeasible" else None
    return True


def bound_with(
    brief: Brief, pins: Sequence[Pin | MountPin], deadline: float, yardstick: Yardstick | None
) -> float | None:
    """What no layout that keeps `pins` scores more than; None where none keeps them, or time ran
    out.

    BriefError, naming the pin, for one that can stand nowhere near its place.
    """
    search = Search.within(_keeping(brief, pins), yardstick, deadline)
    result = None if search is None else search.next(deadline)
    return result.outcome.bound if isinstance(result, Found) else None


def _keeping(brief: Brief, pins: Sequence[Pin | MountPin]) -> Brief:
    """The brief with these pins alone."""
    bays = tuple(pin for pin in pins if isinstance(pin, Pin))
    mounts = tuple(pin for pin in pins if isinstance(pin, MountPin))
    return brief.model_copy(update={"pins": bays, "mount_pins": mounts})


def pin_conflict(brief: Brief, deadline: float) -> Warned:
    """A smallest set of pins that no layout keeps together (a deletion filter).

    `deadline` in monotonic seconds; pins not looked at by then stay in the set, which is
    then said to be no smallest one.
    """
    pins: tuple[Pin | MountPin, ...] = (*brief.pins, *brief.mount_pins)
    kept, settled = smallest(pins, lambda some: possible(brief, some, deadline), deadline)
    names = [_name(brief, pin) for pin in kept]
    if len(kept) == 1:
        detail = f"{names[0]} cannot be kept: nothing else fits the room with it"
    else:
        detail = f"{', '.join(names)} cannot be kept together"
        detail += "; any of them can without the others" if settled else " (time ran out)"
    pointer = _pointer(brief, kept[0]) if kept else "/pins"
    return Warned(code="pins_refused", pointer=pointer, detail=detail)


def _name(brief: Brief, pin: Pin | MountPin) -> str:
    """What a pin is called in messages."""
    if isinstance(pin, MountPin):
        return f"{pin.mount} where it hangs on wall {pin.wall}"
    return f"pin {brief.pins.index(pin) + 1} on wall {pin.wall}"


def _pointer(brief: Brief, pin: Pin | MountPin) -> str:
    """Where a pin stands in the brief."""
    if isinstance(pin, MountPin):
        return f"/mount_pins/{brief.mount_pins.index(pin)}"
    return f"/pins/{brief.pins.index(pin)}"
