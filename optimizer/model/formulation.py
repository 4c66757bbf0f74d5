"""The mixed-integer model of one brief.

Sets
    stretches s (geometry), slots (inner, span, end; see `slots`), corners with states,
    items.
Variables
    n[slot]      bays of the slot: integer for inner slots, binary otherwise
    e[slot]      width beyond n x least width (inner, end); a[slot], c[slot] parts of a
                 spanning bay in its first and last stretch
    h[slot,g]    number of groups g of items that bays of the slot hold
    m[slot,l]    number of bays of the slot at least as wide as level l
    o[s], k[s]   stretch s carries uprights; its bays are broken into two runs
    j[b,side]    the bays either side of boundary b share an upright that stands on `side`
    z[corner,state]
    g[corner,side]  free wall before an end bay
    u[s,d]       stretch s carries bays deeper than class d
Constraints
    length of each stretch, with panel thickness for each upright and what corners take;
    one state a corner; aisle and overlap between walls; each item at most once.
Objective
    the score: linear in widths and counts, with concave piecewise-linear utilities.

Bays of a slot need not be equally wide: everything counted is linear in total width, so
only the total is decided here and widths are given out when the bays are placed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from pulp import lpSum

from optimizer.geometry.stretches import Surveyed
from optimizer.model.cornering import add_corner, limit_depths
from optimizer.model.corners import Corner, corners_of
from optimizer.model.facing import Conflict, conflicts_of
from optimizer.model.hosting import add_hosts
from optimizer.model.lengths import join, limit_length
from optimizer.model.slots import Host, Slot, SlotKind, SlotMaker, chains_of
from optimizer.patterns.column import Column, column_of
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.rules import Rules
from optimizer.solving import new_problem

_FINE = 1e-6


@dataclass
class SlotVars:
    """Variables of one slot and its total width as an expression."""

    slot: Slot
    count: Any
    width: Any
    extra: Any
    stiff: Any = 0
    left: Any = None
    right: Any = None
    hosts: list[tuple[Host, Any]] = field(default_factory=list)
    levels: list[tuple[float, Any]] = field(default_factory=list)


@dataclass
class StretchVars:
    """Variables of one stretch; `shared` are uprights of it that stand next door."""

    occupied: Any
    broken: Any
    entered: Any = 0
    left_by: Any = 0
    covered: Any = 0
    shared: list[Any] = field(default_factory=list)
    joined_left: list[Any] = field(default_factory=list)
    joined_right: list[Any] = field(default_factory=list)


class Formulation:
    """The model of one brief: variables by slot, stretch and corner, without objective."""

    def __init__(self, surveyed: Surveyed, catalogue: Catalogue) -> None:
        self.surveyed = surveyed
        self.catalogue = catalogue
        self.rules: Rules = catalogue.rules
        self.problem = new_problem("closet", maximise=True)
        self.chains = chains_of(surveyed.stretches)
        self.slots: list[SlotVars] = []
        self.stretches: list[StretchVars] = []
        self.joints: list[Any] = []
        self.states: dict[tuple[int, str], Any] = {}
        self.gaps: dict[int, list[Any]] = {}
        self.corners: tuple[Corner, ...] = ()
        self.conflicts: tuple[Conflict, ...] = ()
        self.housed: dict[str, Any] = {}
        self.flags: dict[tuple[int, float], Any] = {}
        self.shut: list[tuple[tuple[int, float], ...]] = []
        self._build()

    # -- variables -----------------------------------------------------------------

    def binary(self, name: str) -> Any:
        """A new 0-1 variable."""
        return self.problem.add_variable(name, 0, 1, "Integer")

    def continuous(self, name: str, most: float | None = None) -> Any:
        """A new variable of at least 0."""
        return self.problem.add_variable(name, 0, most, "Continuous")

    def add(self, constraint: Any, name: str) -> None:
        """Add a named constraint."""
        self.problem += constraint, name

    def _build(self) -> None:
        maker = SlotMaker(self.surveyed, self.catalogue)
        for index in range(len(self.surveyed.stretches)):
            self.stretches.append(StretchVars(self.binary(f"o_{index}"), self.binary(f"k_{index}")))
        for chain in self.chains:
            for index in chain:
                for slot in maker.inner(index):
                    self._add_inner(slot)
            for slot in maker.spans(chain):
                self._add_span(slot)
        self.corners = corners_of(self.surveyed, self._depth_classes(), self.rules)
        for number in range(len(self.corners)):
            add_corner(self, number, maker)
        for number in range(len(self.corners)):
            # Only now: the end bays of one corner are limited by the next one, too.
            limit_depths(self, number)
        self.conflicts = tuple(conflicts_of(self.surveyed, self._depth_classes(), self.rules))
        join(self)
        for index in range(len(self.stretches)):
            limit_length(self, index)
        self._keep_apart()
        self._keep_pins()
        self._house()

    def _add_inner(self, slot: Slot) -> None:
        name = f"{slot.kind}_{slot.first}_{len(self.slots)}"
        count = self.problem.add_variable(f"n_{name}", 0, slot.most, "Integer")
        spread = slot.max_width - slot.min_width
        extra = self.continuous(f"e_{name}", spread * slot.most)
        self._register(self._sized(slot, count, extra, name), name)

    def _sized(self, slot: Slot, count: Any, extra: Any, name: str) -> SlotVars:
        """Bays of a slot with their total width; the wider ones with stiffened boards."""
        width = slot.min_width * count + extra
        stiff = self._limit_width(slot, count, width, name)
        return SlotVars(slot, count, width, extra, stiff)

    def _limit_width(self, slot: Slot, count: Any, width: Any, name: str) -> Any:
        """Keep widths within the limits; the number of stiffened bays, or 0."""
        plain, widest = max(slot.pattern.plain_width, slot.min_width), slot.max_width
        if slot.pattern.stiffened(slot.min_width):
            self.add(width <= widest * count, f"widest_{name}")
            return count
        if widest <= plain + _FINE:
            self.add(width <= widest * count, f"widest_{name}")
            return 0
        stiff = self.problem.add_variable(f"q_{name}", 0, slot.most, "Integer")
        self.add(stiff <= count, f"stiff_{name}")
        self.add(width <= plain * count + (widest - plain) * stiff, f"widest_{name}")
        return stiff

    def _add_span(self, slot: Slot) -> None:
        name = f"{slot.kind}_{slot.first}_{slot.last}_{len(self.slots)}"
        stretches = self.surveyed.stretches
        count = self.binary(f"n_{name}")
        covered = sum(s.length for s in stretches[slot.first + 1 : slot.last])
        parts = []
        for side, index in (("a", slot.first), ("c", slot.last)):
            most = min(slot.max_width, stretches[index].length - self.rules.panel)
            part = self.continuous(f"{side}_{name}", max(most, 0.0))
            self.add(part <= max(most, 0.0) * count, f"{side}_part_{name}")
            parts.append(part)
        width = covered * count + parts[0] + parts[1]
        self.add(width >= slot.min_width * count, f"least_{name}")
        stiff = self._limit_width(slot, count, width, name)
        extra = width - slot.min_width * count
        vars_ = SlotVars(slot, count, width, extra, stiff, parts[0], parts[1])
        self._register(vars_, name)

    def add_end(self, slot: Slot) -> SlotVars:
        """Variables of one more slot, a bay against a wall's end."""
        name = f"{slot.kind}_{slot.first}_{len(self.slots)}"
        count = self.binary(f"n_{name}")
        extra = self.continuous(f"e_{name}", slot.max_width - slot.min_width)
        vars_ = self._sized(slot, count, extra, name)
        self._register(vars_, name)
        return vars_

    def _register(self, vars_: SlotVars, name: str) -> None:
        """Keep a slot's variables and let it hold items."""
        add_hosts(self, vars_, name)
        self.slots.append(vars_)

    def _depth_classes(self) -> list[list[float]]:
        """Depths of the patterns that may stand on each stretch."""
        classes: list[set[float]] = [set() for _ in self.stretches]
        for vars_ in self.slots:
            for index in range(vars_.slot.first, vars_.slot.last + 1):
                classes[index].add(round(vars_.slot.pattern.depth, 6))
        return [sorted(own) for own in classes]

    # -- lengths -------------------------------------------------------------------

    def usage(self, index: int, deeper_than: float = -1.0) -> list[Any]:
        """Length that bays deeper than a class take of a stretch, as terms."""
        panel = self.rules.panel
        terms: list[Any] = []
        for vars_ in self.slots:
            slot = vars_.slot
            if not slot.first <= index <= slot.last or slot.pattern.depth <= deeper_than + _FINE:
                continue
            if slot.kind is not SlotKind.SPAN:
                terms.append(vars_.width + panel * vars_.count)
            elif index == slot.first:
                terms.append(vars_.left + panel * vars_.count)
            elif index == slot.last:
                terms.append(vars_.right + panel * vars_.count)
            else:
                terms.append(self.surveyed.stretches[index].length * vars_.count)
        return terms

    def column(self, index: int) -> Column:
        """Clear space over one stretch."""
        return column_of([self.surveyed.stretches[index]])

    def _keep_pins(self) -> None:
        """Every pinned bay is there, inside its stretch or as the end bay of a corner."""
        for index, stretch in enumerate(self.surveyed.stretches):
            if stretch.pin is not None:
                bays = [v.count for v in self.slots if v.slot.first == index]
                self.add(lpSum(bays) == 1, f"pin_{index}")

    # -- other walls ---------------------------------------------------------------

    def _keep_apart(self) -> None:
        """Aisle and overlap between walls that do not meet at an inside corner."""
        for number, conflict in enumerate(self.conflicts):
            users = [self.uses(index, depth) for index, depth in conflict]
            self.add(lpSum(users) <= 1, f"apart_{number}")

    def uses(self, index: int, depth: float) -> Any:
        """A binary that is 1 when the stretch carries bays of at least `depth`."""
        if (index, depth) in self.flags:
            return self.flags[index, depth]
        flag = self.binary(f"u_{index}_{depth:g}".replace(".", "p"))
        terms = self.usage(index, deeper_than=depth - 10 * _FINE)
        self.add(lpSum(terms) <= self.surveyed.stretches[index].length * flag, f"uses_{flag.name}")
        self.flags[index, depth] = flag
        return flag

    # -- items ---------------------------------------------------------------------

    def _house(self) -> None:
        """Each piece is in one place at most."""
        for piece in self.rules.pieces:
            places = lpSum(
                count * held
                for vars_ in self.slots
                for host, held in vars_.hosts
                for name, count in host.group.counts
                if name == piece.id
            )
            self.housed[piece.id] = places
            self.add(places <= piece.count, f"item_{_safe(piece.id)}")

    # -- sums the objective and the alternatives need ------------------------------

    def spare_uprights(self) -> Any:
        """Uprights beyond one for each bay."""
        uprights = lpSum(s.occupied + s.broken for s in self.stretches) - lpSum(self.joints)
        spans = lpSum(v.count for v in self.slots if v.slot.kind is SlotKind.SPAN)
        return uprights - spans

    def opened_width(self, vars_: SlotVars) -> Any:
        """Part of a slot's width that lies in front of a reach-in's opening."""
        slot, stretches = vars_.slot, self.surveyed.stretches
        pin = stretches[slot.first].pin
        if pin is not None:
            end = pin.start + pin.width
            return self.surveyed.opened_width(pin.wall, pin.start, end) * vars_.count
        if slot.kind is not SlotKind.SPAN:
            return vars_.width if stretches[slot.first].opened else 0
        parts = [
            stretches[index].length * vars_.count
            for index in range(slot.first + 1, slot.last)
            if stretches[index].opened
        ]
        for index, part in ((slot.first, vars_.left), (slot.last, vars_.right)):
            if stretches[index].opened:
                parts.append(part)
        return lpSum(parts)


def _safe(text: str) -> str:
    """`text` as part of a constraint's name."""
    return "".join(c if c.isalnum() else "_" for c in text)
