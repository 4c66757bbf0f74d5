"""R1 Wall fit, R2 Width, R15 Pins: where bays stand along their walls and how wide they are."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from optimizer.checking.case import Case, Placed
from optimizer.domain.brief import Pin
from optimizer.domain.layout import Bay
from optimizer.errors import Fault


def check_walls(case: Case) -> Iterator[Fault]:
    """Findings on walls that do not exist, fit on the wall, neighbours, widths and pins."""
    yield from _unknown_walls(case)
    for placed in case.bays:
        yield from _fit(case, placed)
    for line in case.plan.walls:
        row = sorted((p for p in case.bays if p.wall is line), key=lambda p: p.bay.start)
        for left, right in pairwise(row):
            yield from _neighbours(case, left, right)
    for index, bay in enumerate(case.layout.bays):
        yield from _width(case, f"/bays/{index}", bay)
    for pin in case.brief.pins:
        yield from _pinned(case, pin)


def _unknown_walls(case: Case) -> Iterator[Fault]:
    """Bays and fillers on walls that the room does not have, and bays that share a name."""
    names: set[str] = set()
    for index, bay in enumerate(case.layout.bays):
        if case.plan.find(bay.wall) is None:
            yield Fault(f"/bays/{index}/wall", f"the room has no wall {bay.wall}", "wall_unknown")
        if bay.id in names:
            yield Fault(f"/bays/{index}/id", f"two bays are called {bay.id}", "bay_id")
        names.add(bay.id)
    for index, filler in enumerate(case.layout.fillers):
        if case.plan.find(filler.wall) is None:
            detail = f"the room has no wall {filler.wall}"
            yield Fault(f"/fillers/{index}/wall", detail, "wall_unknown")


def _fit(case: Case, placed: Placed) -> Iterator[Fault]:
    """R1: both uprights lie on the wall."""
    low, high = placed.along
    if low >= -case.tolerance and high <= placed.wall.length + case.tolerance:
        return
    yield Fault(
        placed.pointer,
        f"bay {placed.bay.id} with its uprights runs from {case.say(low)} to {case.say(high)}, "
        f"but wall {placed.bay.wall} from 0 to {case.say(placed.wall.length)}",
        "wall_fit",
    )


def _neighbours(case: Case, left: Placed, right: Placed) -> Iterator[Fault]:
    """R1: one shared upright, or two of their own."""
    apart = right.bay.start - left.bay.end
    shared = abs(apart - case.thickness) <= case.tolerance
    if shared or apart >= 2.0 * case.thickness - case.tolerance:
        return
    yield Fault(
        right.pointer,
        f"bays {left.bay.id} and {right.bay.id} are {case.say(apart)} apart on wall "
        f"{right.bay.wall}: one shared upright takes exactly {case.say(case.thickness)}, "
        f"two take {case.say(2.0 * case.thickness)} or more",
        "neighbours",
    )


def _matches(case: Case, bay: Bay, pin: Pin) -> bool:
    """Whether a bay is the one that a pin keeps."""
    same = bay.wall == pin.wall and bay.pattern == pin.pattern
    near = abs(bay.start - pin.start) <= case.tolerance
    return same and near and abs(bay.width - pin.width) <= case.tolerance


def _width(case: Case, pointer: str, bay: Bay) -> Iterator[Fault]:
    """R2: width within its limits and on the grid."""
    rules = case.brief.construction
    least, most = rules.min_bay_width, rules.max_bay_width
    if not least - case.tolerance <= bay.width <= most + case.tolerance:
        yield Fault(
            f"{pointer}/width",
            f"bay {bay.id} is {case.say(bay.width)} wide; "
            f"bays are {case.say(least)} to {case.say(most)}",
            "width",
        )
    step = case.units.grid
    off = abs(bay.width - round(bay.width / step) * step)
    if off > case.tolerance and not any(_matches(case, bay, pin) for pin in case.brief.pins):
        yield Fault(
            f"{pointer}/width",
            f"bay {bay.id} is {case.say(bay.width)} wide, which is no multiple of "
            f"{step:g} {case.units.value}",
            "width_grid",
        )


def _pinned(case: Case, pin: Pin) -> Iterator[Fault]:
    """R15: the bay that a pin keeps is there."""
    if any(_matches(case, bay, pin) for bay in case.layout.bays):
        return
    yield Fault(
        "/bays",
        f"the bay pinned on wall {pin.wall} from {case.say(pin.start)}, {case.say(pin.width)} "
        f"wide, pattern {pin.pattern}, is not there",
        "pin",
    )
