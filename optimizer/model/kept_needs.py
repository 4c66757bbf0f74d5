"""Rounding to the grid loses none of what a plan promises, where that can be had."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from optimizer.domain.needs import Hang
from optimizer.model.shelf_rows import shelves_of, stow
from optimizer.model.solution import PlannedBay
from optimizer.patterns.bay_rules import BayRules
from optimizer.solving import total
from optimizer.tolerances import FINE

_SHORT_PRICE = 1e3
"""Price of losing a unit of a need that the plan meets, against a unit of width moved."""
_LACK_PRICE = 1e2
"""Price of a unit that a plan leaves short of a need by a hair, where shifting can close it."""
NEARLY_IN = 0.5
"""A need short by less than this [in] is closed where moving widths about can do it."""

Widths = Sequence[tuple[PlannedBay, Any]]
"""Planned bays, each with the expression of its width when placed."""


@dataclass(frozen=True, slots=True)
class KeptNeeds:
    """Terms of the price of what is lost, and the variables that tell how much that is."""

    costs: list[Any] = field(default_factory=list)
    shorts: list[Any] = field(default_factory=list)


def keep_needs(problem: Any, rules: BayRules, widths: Widths) -> KeptNeeds:
    """Add to `problem` what keeps every need that the plan meets met after rounding.

    Soft: rounding may lose what nothing gives back, and whoever minds looks at `shorts`.
    """
    kept = KeptNeeds()
    _keep_stored(problem, rules, widths, kept)
    wanted = [(hang.value, rules.required[hang], _rods(hang)) for hang in Hang]
    wanted.append(("shelf", rules.shelf_wanted, _shelves))
    for name, required, number in wanted:
        planned = sum(number(bay) * bay.width for bay, _ in widths)
        if required <= 0 or planned <= 0:
            continue
        short = problem.add_variable(f"short_{name}", 0, None, "Continuous")
        reached = total(number(bay) * width for bay, width in widths)
        problem += reached + short >= min(required, planned), f"keep_{name}"
        kept.costs.append(_SHORT_PRICE * short)
        kept.shorts.append(short)
        if planned < required < planned + rules.brief.units.from_inch(NEARLY_IN):
            lacks = problem.add_variable(f"lacks_{name}", 0, None, "Continuous")
            problem += reached + lacks >= required, f"close_{name}"
            kept.costs.append(_LACK_PRICE * lacks)
    return kept


def _keep_stored(problem: Any, rules: BayRules, widths: Widths, kept: KeptNeeds) -> None:
    """Keep bays wide enough for the whole rows of stored things that the plan counts on, in
    all."""
    things = rules.things
    shelves = [
        shelf
        for number, (bay, _) in enumerate(widths)
        for shelf in shelves_of(bay.slot.pattern.zones, bay.width, (), number, rules)
    ]
    # Only to count how many rows the plan's widths hold: where they stand is decided later.
    stow(shelves, things, 0.0)
    for number, thing in enumerate(things):
        used = Counter(shelf.bay for shelf in shelves if set(shelf.rows) == {number})
        alike: dict[int, list[int]] = {}
        for place in used:
            alike.setdefault(id(widths[place][0].slot), []).append(place)
        promised, rows = 0, []
        for places in alike.values():
            width = sum(widths[place][0].width for place in places)
            # In all of a slot's bays together, as the model counts: one bay's odd inches are
            # another's row.
            promised += used[places[0]] * int((width + FINE) // thing.width)
        for place, boards in sorted(used.items()):
            whole = problem.add_variable(f"rows_{number}_{place}", 0, None, "Integer")
            problem += thing.width * whole <= widths[place][1], f"whole_{number}_{place}"
            rows.append(boards * whole)
        if rows:
            short = problem.add_variable(f"short_{number}", 0, None, "Continuous")
            problem += total(rows) + short >= min(thing.rows, promised), f"rows_{number}"
            kept.costs.append(_SHORT_PRICE * short)
            kept.shorts.append(short)


def _shelves(bay: PlannedBay) -> int:
    """Shelves of a planned bay that count towards the need for shelf length."""
    return bay.slot.pattern.measures.plain_shelves


def _rods(hang: Hang) -> Any:
    """A function that gives the rods of one hang class in a planned bay."""
    return lambda bay: bay.slot.pattern.measures.hang(hang)
