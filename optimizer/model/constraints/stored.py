"""Things stored by count: how much of which shelves each kind takes.

The shelves of the whole room are sorted by which kinds they are high and deep enough for, and by
whether they are closer together than wished. The variables are lengths of each sort given to each
kind: a handful for a kind, however many bays there are. As a flow problem that is exact in lengths;
in whole rows (four pairs on a shelf, not 3.8) it is an upper bound. Where a single kind goes onto a
sort of shelf, the rows of a slot's bays are whole variables, and the bound is exact.

No kind gets more than the whole rows in the widest bays that are carried in the same way. Items
that stand on such shelves take their width of them.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from optimizer.domain.layout import Zone
from optimizer.model.records import FINE, Model, SlotVars
from optimizer.patterns.bay_rules import BayRules
from optimizer.solving import combined, total


@dataclass(frozen=True, slots=True)
class Sort:
    """Shelves that take the same things; `fine` ones are closer together than the wished
    spacing."""

    things: frozenset[int]
    fine: bool

    @property
    def key(self) -> str:
        """Part of the names of its variables."""
        return "_".join(map(str, sorted(self.things))) + ("f" if self.fine else "")


@dataclass
class StoredVars:
    """Lengths given to each thing (by its number), and in all on plain and on fine shelves, as
    expressions.

    `propped` is 1 where bays that things go into have mid supports, which break rows.
    """

    lengths: list[Any] = field(default_factory=list)
    plain: Any = 0
    fine: Any = 0
    propped: Any = None


def sort_of(zone: Zone, rules: BayRules) -> Sort | None:
    """The sort of a shelf zone; None for one that takes none of the things."""
    things = rules.takes(zone)
    return Sort(things, rules.is_fine(zone)) if things else None


def add_storing(model: Model) -> StoredVars:
    """Add variables and rows for things stored by count; an empty record where there are none."""
    things = model.rules.things
    if not things:
        return StoredVars()
    sorts = _sorts(model)
    # Lengths by sort and kind, not by slot and kind: hundreds of columns less, and by Hall's
    # theorem as exact in lengths.
    given = {
        (sort, number): model.continuous(f"x_{sort.key}_{number}", things[number].length)
        for sort in sorts
        for number in sorted(sort.things)
    }
    lengths = []
    for number, thing in enumerate(things):
        own = total(x for (_, other), x in given.items() if other == number)
        model.add(own <= thing.length, f"stored_{number}")
        lengths.append(own)
    beside = _items(model, sorts)
    for sort, slots in sorts.items():
        taken = total(x for (own, _), x in given.items() if own == sort)
        length = combined((boards, v.width) for v, boards in slots)
        model.add(taken + total(beside[sort]) <= length, f"shelves_{sort.key}")
        for number in sorted(sort.things):
            width = things[number].width
            rows = combined((boards * width, _most_rows(v, width)) for v, boards in slots)
            model.add(given[sort, number] <= rows, f"most_{sort.key}_{number}")
        if len(sort.things) == 1:
            width = things[min(sort.things)].width
            rows = combined((boards * width, _rows(model, v, width)) for v, boards in slots)
            model.add(taken <= rows, f"rows_{sort.key}")
    return StoredVars(
        lengths,
        plain=total(x for (sort, _), x in given.items() if not sort.fine),
        fine=total(x for (sort, _), x in given.items() if sort.fine),
        propped=_propped(model, sorts),
    )


def _propped(model: Model, sorts: dict[Sort, list[tuple[SlotVars, int]]]) -> Any:
    """Whether any bay that takes things has mid supports."""
    takers = {id(v): v for slots in sorts.values() for v, _ in slots}
    propped = model.binary("propped")
    for number, vars_ in enumerate(takers.values()):
        if not isinstance(vars_.supported, int):
            most = vars_.slot.most
            # Set to 0 from outside, it keeps mid supports out of all of them (`Search._unpropped`).
            model.add(vars_.supported <= most * propped, f"propped_{number}")
    return propped


def _sorts(model: Model) -> dict[Sort, list[tuple[SlotVars, int]]]:
    """Slots with shelves of each sort, and how many each bay has."""
    found: dict[Sort, list[tuple[SlotVars, int]]] = {}
    for vars_ in model.slots:
        sorts = [sort_of(zone, model.rules) for zone in vars_.slot.pattern.zones]
        for sort, boards in Counter(sort for sort in sorts if sort).items():
            found.setdefault(sort, []).append((vars_, boards))
    return dict(sorted(found.items(), key=lambda entry: entry[0].key))


def _rows(model: Model, vars_: SlotVars, width: float) -> Any:
    """Number of whole rows of one width on one board of each of a slot's bays, as an expression."""
    if width not in vars_.rows:
        name = f"r_{vars_.count.name}_{width:g}".replace(".", "p")
        most = math.floor(vars_.widest / width + FINE)
        rows = model.integer(name, most * vars_.slot.most)
        model.add(width * rows <= vars_.width, f"whole_{name}")
        model.add(rows <= _most_rows(vars_, width), f"most_{name}")
        vars_.rows[width] = rows
    return vars_.rows[width]


def _most_rows(vars_: SlotVars, width: float) -> Any:
    """Upper limit of `_rows`, by how wide each bay may be."""
    parts = []
    before = 0
    for tier, need in vars_.tiers:
        rows = math.floor(min(tier.width, vars_.widest) / width + FINE)
        parts.append((float(rows - before), need))
        before = rows
    return combined(parts)


def _items(model: Model, sorts: dict[Sort, Any]) -> dict[Sort, list[Any]]:
    """Widths that items take of each sort of shelf."""
    beside: dict[Sort, list[Any]] = {sort: [] for sort in sorts}
    for nook in model.nooks:
        # All zones of a nook are of one sort.
        first = nook.zones[0]
        sort = sort_of(first.slot.slot.pattern.zones[first.zone], model.rules)
        if sort is not None:
            beside[sort] += [host.group.width * held for host, held in nook.held]
    return beside
