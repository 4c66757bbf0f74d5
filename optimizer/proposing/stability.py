"""Stability: what of the earlier first layout a rerun keeps, and what it has to let go.

To keep what was is no condition: a bay that the new brief does not let be, or that
cannot be had together with wider ones, is let go and the reason told. Pins of the brief itself
stay conditions.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import MAX_PINS, Brief, Pin, shelved_in
from optimizer.domain.study import Steadied, SteadyBay, Study, Warned, Yardstick
from optimizer.errors import BriefError
from optimizer.explaining.pins import pin_of, possible

SETTLING_SHARE = 0.3
"""Part of the time limit in which it is found out what can be kept."""
LEAST_SHARE = 0.1
"""Part of the time limit that is left for the search whatever happens."""

NO_ROOM = f"a brief has at most {MAX_PINS} pins"
NO_LAYOUT = "no layout of the new brief has it together with the pins and what else is kept"
NO_TIME = "no layout that has it was found in the time for this"
OTHER_UNITS = "the new brief is in other units"


def steady_bays_of(earlier: Study, share: float) -> tuple[SteadyBay, ...]:
    """The earlier first layout's widest bays that make up the share of its bays' width."""
    bays = earlier.layouts[0].bays if earlier.layouts else ()
    wanted = share * sum(bay.width for bay in bays)
    found: list[SteadyBay] = []
    # Widest first: they make up the share with the fewest conditions.
    for bay in sorted(bays, key=lambda bay: -bay.width):
        if sum(one.pin.width for one in found) >= wanted - 1e-6:
            break
        pin = pin_of(bay).model_copy(update={"stored": shelved_in(bay)})
        found.append(SteadyBay(bay=bay.id, pin=pin))
    return tuple(found)


@dataclass
class Settling:
    """Finds out what can be kept; `deadline` in monotonic seconds."""

    brief: Brief
    yardstick: Yardstick | None
    deadline: float
    should_stop: Callable[[], bool] | None = None
    let_go: list[SteadyBay] = field(default_factory=list)

    def settle(self, earlier: Study, share: float) -> Steadied:
        """What stays and what goes; BriefError where the brief's own pins cannot stand."""
        bays = steady_bays_of(earlier, share)
        if earlier.brief.units != self.brief.units:
            self._drop(bays, OTHER_UNITS)
            bays = ()
        # What the brief pins itself stays; the rest competes for the pins that are left.
        own = [one for one in bays if one.pin in self.brief.pins]
        free = [one for one in bays if one not in own]
        room = MAX_PINS - len(self.brief.pins)
        self._drop(free[room:], NO_ROOM)
        standing = self._standing(free[:room])
        kept = self._together(standing) if standing else []
        order = {one.bay: place for place, one in enumerate(bays)}
        return Steadied(
            share=share,
            kept=tuple(sorted([*own, *kept], key=lambda one: order[one.bay])),
            let_go=tuple(self.let_go),
        )

    def _drop(self, bays: Iterable[SteadyBay], reason: str) -> None:
        """Let these bays go, and keep why."""
        self.let_go += [one.model_copy(update={"reason": reason}) for one in bays]

    def _pins(self, bays: Sequence[SteadyBay]) -> tuple[Pin, ...]:
        """Pins of the brief with those of these bays."""
        return (*self.brief.pins, *(one.pin for one in bays))

    def _standing(self, bays: Sequence[SteadyBay]) -> list[SteadyBay]:
        """Those that no rule of briefs refuses, beside the pins and wider ones."""
        left = list(bays)
        while left:
            # Read as any brief is, so that pins are refused by the same rules and in the same
            # words.
            data = self.brief.model_copy(update={"pins": self._pins(left)}).model_dump(mode="json")
            try:
                read_brief(data)
            except BriefError as error:
                left = self._without(left, error)
            else:
                break
        return left

    def _without(self, bays: list[SteadyBay], error: BriefError) -> list[SteadyBay]:
        """Those that the error does not name; the error again where it names none."""
        first = len(self.brief.pins)
        reasons: dict[int, str] = {}
        for fault in error.faults:
            steps = fault.pointer.split("/")
            if steps[1:2] == ["pins"] and len(steps) > 2 and int(steps[2]) >= first:
                reasons.setdefault(int(steps[2]) - first, _reason(fault.detail))
        if not reasons:
            raise error
        for place, reason in reasons.items():
            self._drop([bays[place]], reason)
        return [one for place, one in enumerate(bays) if place not in reasons]

    def _together(self, bays: list[SteadyBay]) -> list[SteadyBay]:
        """All of them where a layout has them all, else one after the other, widest first."""
        # Usually all go together, which is one question; half of the time is kept for asking
        # one by one where they do not.
        half = (time.monotonic() + self.deadline) / 2
        left = bays
        while left:
            try:
                if self._possible(left, half):
                    return left
                break
            except BriefError as error:
                left = self._without(left, error)
        kept: list[SteadyBay] = []
        for place, one in enumerate(left):
            now = time.monotonic()
            until = now + (self.deadline - now) / (len(left) - place)
            can_be = self._possible([*kept, one], until)
            if can_be:
                kept.append(one)
            else:
                self._drop([one], NO_TIME if can_be is None else NO_LAYOUT)
        return kept

    def _possible(self, bays: Sequence[SteadyBay], until: float) -> bool | None:
        """Whether these can be had together; None where that was not settled in time."""
        if time.monotonic() >= until:
            return None
        return possible(
            self.brief,
            self._pins(bays),
            until,
            yardstick=self.yardstick,
            should_stop=self.should_stop,
        )


def _reason(detail: str) -> str:
    """What a fault of a pin says, less what is of use only to someone who writes pins."""
    return detail.removeprefix("the pin cannot be kept: ").partition("; what can: ")[0]


def warnings_of(told: Steadied, brief: Brief) -> tuple[Warned, ...]:
    """A warning for each bay that was let go, led to the wall it stood on."""
    names = [wall.id for wall in brief.room.walls]
    return tuple(
        Warned(
            code="let_go",
            pointer=f"/room/walls/{names.index(one.pin.wall)}"
            if one.pin.wall in names
            else "/room/walls",
            detail=f"bay {one.bay} of the earlier layout, on wall {one.pin.wall}, "
            f"was let go: {one.reason}",
        )
        for one in told.let_go
    )
