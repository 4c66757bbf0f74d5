"""R1 Wall fit, R2 Width: where bays stand on their walls and how wide they are."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.checking.case import Case, Placed
from optimizer.checking.floor_plan import SIDES
from optimizer.checking.pins import is_pinned
from optimizer.checking.wraps import carried
from optimizer.domain.layout import Bay, Carried, ZoneKind
from optimizer.errors import Fault


def check_walls(case: Case) -> Iterator[Fault]:
    """Findings on walls that do not exist, names, fit on the wall, and widths."""
    yield from _unknown_walls(case)
    for placed in case.bays:
        yield from _fit(case, placed)
    for index, bay in enumerate(case.layout.bays):
        yield from _width(case, f"/bays/{index}/width", bay)
        yield from _grid(case, f"/bays/{index}/width", bay)


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
    """R1: uprights lie on the wall, and an end that the wall carries at the wall's end."""
    low, high = placed.along
    if low < -case.tolerance or high > placed.wall.length + case.tolerance:
        with_uprights = " with its uprights" if placed.uprights else ""
        yield Fault(
            placed.pointer,
            f"bay {placed.bay.id}{with_uprights} runs from {case.say(low)} to "
            f"{case.say(high)}, but wall {placed.bay.wall} from 0 to "
            f"{case.say(placed.wall.length)}",
            "wall_fit",
        )
        return
    gaps = {"left": low, "right": placed.wall.length - high}
    for side in SIDES:
        if carried(placed, side) is Carried.WALL and gaps[side] > case.tolerance:
            yield Fault(
                f"{placed.pointer}/{side}",
                f"the {side} end of bay {placed.bay.id} is carried by the wall, but lies "
                f"{case.say(gaps[side])} from the end of wall {placed.bay.wall}",
                "wall_fit",
            )


def _width(case: Case, pointer: str, bay: Bay) -> Iterator[Fault]:
    """R2: width within its limits."""
    rules = case.brief.construction
    hangs = any(zone.kind is ZoneKind.ROD for zone in bay.zones)
    least = max(rules.min_bay_width, rules.min_hang_width if hangs else 0.0)
    most = rules.max_bay_width
    if not least - case.tolerance <= bay.width <= most + case.tolerance:
        yield Fault(
            pointer,
            f"bay {bay.id} is {case.say(bay.width)} wide; "
            f"bays{' with a rod' if hangs else ''} are {case.say(least)} to {case.say(most)}",
            "width",
        )


def _grid(case: Case, pointer: str, bay: Bay) -> Iterator[Fault]:
    """R2: width on the grid, unless a pin says otherwise or a wall or corner ends it."""
    step = case.units.grid
    off = abs(bay.width - round(bay.width / step) * step)
    # What a wall ends is cut to fit; only between uprights is the width ours to choose.
    between_uprights = {bay.left, bay.right} == {Carried.UPRIGHT}
    if off > case.tolerance and between_uprights and not is_pinned(case, bay):
        yield Fault(
            pointer,
            f"bay {bay.id} is {case.say(bay.width)} wide, which is no multiple of "
            f"{step:g} {case.units.value}",
            "width_grid",
        )
