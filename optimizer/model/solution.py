"""Reading a solution of the model: which bays of which slots, how wide, and what they hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.model.formulation import Formulation
from optimizer.model.mount_places import MountPlace
from optimizer.model.records import SlotVars, WallEnd
from optimizer.model.seating import Held, seated
from optimizer.model.slots import Slot
from optimizer.patterns.pattern import Tier

_HALF = 0.5


@dataclass(frozen=True, slots=True)
class PlannedBay:
    """A bay as the model chose it, still without a position.

    Its width lies between its least width and `most` [brief units], and `width` is where the model
    put it. `propped` tells whether mid supports hold its boards there, where stiffeners might do as
    well.
    """

    slot: Slot
    width: float
    least: float
    most: float
    hosts: Held
    propped: bool = False


@dataclass(frozen=True, slots=True)
class SharedUpright:
    """An upright over the boundary of two stretches, standing in stretch `keeper`."""

    left: int
    right: int
    keeper: int


@dataclass(frozen=True, slots=True)
class BayPlan:
    """Everything that the model chose.

    The bays, the state of each corner, uprights shared over boundaries, ends of walls that carry
    bays, stretches whose bays are in two runs, and the places of hooks and mirrors.
    """

    bays: tuple[PlannedBay, ...]
    states: dict[int, str]
    joints: frozenset[SharedUpright]
    broken: frozenset[int]
    carried: frozenset[WallEnd] = frozenset()
    hangings: tuple[MountPlace, ...] = ()


def _holds(variable: object) -> bool:
    """Whether a binary is 1 in the solution, to a solver's tolerance."""
    value = variable.value()  # type: ignore[attr-defined]
    return (value or 0.0) > _HALF


def read_plan(model: Formulation) -> BayPlan:
    """The plan that the values of the model's variables describe."""
    held = seated(model.nooks)
    bays: list[PlannedBay] = []
    for vars_ in model.slots:
        number = round(vars_.count.value() or 0.0)
        if number:
            name = vars_.count.name
            bays.extend(_bays_of(vars_, [held.get((name, bay), ()) for bay in range(number)]))
    return BayPlan(
        bays=tuple(bays),
        states={number: name for (number, name), z in model.states.items() if _holds(z)},
        joints=frozenset(
            SharedUpright(j.left, j.right, j.keeper) for j in model.joints if _holds(j.holds)
        ),
        broken=frozenset(i for i, stretch in enumerate(model.stretches) if _holds(stretch.broken)),
        carried=frozenset(end for end, carried in model.carried.items() if _holds(carried)),
        hangings=tuple(hanging for hanging in model.hangings if _holds(hanging.chosen)),
    )


def _bays_of(vars_: SlotVars, hosted: Sequence[Held]) -> list[PlannedBay]:
    """The bays of one slot: what each holds says how wide it has to be at least."""
    slot = vars_.slot
    leasts = [max([slot.min_width, *(g.width for _, g in held)]) for held in hosted]
    tiers = _tiers_of(vars_, len(hosted))
    most = [max(tier.width, slot.min_width) for tier in tiers]
    widths = shared_out(float(vars_.width.value() or 0.0), leasts, most)
    return [
        PlannedBay(slot, width, least, cap, held, propped=tier.supports > 0)
        for width, least, cap, held, tier in zip(widths, leasts, most, hosted, tiers, strict=True)
    ]


def _tiers_of(vars_: SlotVars, number: int) -> list[Tier]:
    """The tier of each bay of a slot: the widest without mid supports first, those with them last.

    Wide groups of items are given out from the first bay on, and so find bays without mid supports.
    """
    needs = [(tier, min(number, round(need.value() or 0.0))) for tier, need in vars_.tiers]
    tiers = []
    for place, (tier, need) in enumerate(needs):
        beyond = needs[place + 1][1] if place + 1 < len(needs) else 0
        tiers += [tier] * (need - beyond)
    # The widest groups are in the first bays (`seated`), which so need the widest tiers.
    whole = sorted((t for t in tiers if not t.supports), key=lambda t: t.width, reverse=True)
    carried = sorted((t for t in tiers if t.supports), key=lambda t: t.width)
    return [*whole, *carried]


def shared_out(total: float, leasts: Sequence[float], most: Sequence[float]) -> list[float]:
    """`total` divided as evenly as the least and the greatest widths allow [brief units].

    All widths are equal, except where a bay must be wider or may not be so wide (water filling).
    """
    low, high = min(leasts), max(most)

    def widths(level: float) -> list[float]:
        """Widths at a common level, each within its own limits."""
        return [min(max(level, least), cap) for least, cap in zip(leasts, most, strict=True)]

    # Bisection to the last digit of a double: 60 halvings of any width in a room.
    for _ in range(60):
        middle = (low + high) / 2
        if sum(widths(middle)) < total:
            low = middle
        else:
            high = middle
    return widths(high)
