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

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from pulp import lpSum

from optimizer.geometry.stretches import Surveyed
from optimizer.model.corners import SCRIBE_IN, Corner, CornerState, Side, corners_of, overlap
from optimizer.model.facing import Conflict, conflicts_of
from optimizer.model.hosting import add_hosts
from optimizer.model.slots import Host, Slot, SlotKind, SlotMaker, chains_of
from optimizer.patterns.column import Column, column_of
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.rules import Rules
from optimizer.solving import new_problem

_FINE = 1e-6
SCRIBED_STEPS = 2
"""Grid steps that rounding may leave open in a run held at both ends; they are scribed."""


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
        for number, corner in enumerate(self.corners):
            self._add_corner(number, corner, maker)
        for number, corner in enumerate(self.corners):
            # Only now: the end bays of one corner are limited by the next one, too.
            self._limit_depths(number, corner)
        self.conflicts = tuple(conflicts_of(self.surveyed, self._depth_classes(), self.rules))
        self._join()
        for index in range(len(self.stretches)):
            self._limit_length(index)
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

    def _add_end(self, slot: Slot) -> SlotVars:
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

    # -- corners -------------------------------------------------------------------

    def _depth_classes(self) -> list[list[float]]:
        """Depths of the patterns that may stand on each stretch."""
        classes: list[set[float]] = [set() for _ in self.stretches]
        for vars_ in self.slots:
            for index in range(vars_.slot.first, vars_.slot.last + 1):
                classes[index].add(round(vars_.slot.pattern.depth, 6))
        return [sorted(own) for own in classes]

    def _add_corner(self, number: int, corner: Corner, maker: SlotMaker) -> None:
        for state in corner.states:
            self.states[number, state.name] = self.binary(f"z_{number}_{state.name}")
        chosen = [self.states[number, state.name] for state in corner.states]
        self.add(lpSum(chosen) == 1, f"one_state_{number}")
        for which, side in enumerate(corner.sides):
            asking = [s for s in corner.states if s.reach_of(which) is not None]
            if asking and side.end is not None:
                self._end_bay(number, which, side, asking, maker)

    def _end_bay(
        self,
        number: int,
        which: int,
        side: Side,
        asking: Sequence[CornerState],
        maker: SlotMaker,
    ) -> None:
        """One bay nearest the corner where a state asks for it, deep as asked, its front open."""
        assert side.end is not None  # noqa: S101
        ends = [self._add_end(slot) for slot in maker.ends(side.end, at_left=side.at_left)]
        holds = {state.name: self.states[number, state.name] for state in asking}
        self.add(lpSum(v.count for v in ends) == lpSum(holds.values()), f"end_bay_{number}_{which}")
        through = [state for state in asking if state.through == which]
        for above, depth in sorted({(state.above, state.depth) for state in through}):
            own = [v.count for v in ends if above + _FINE < v.slot.pattern.depth <= depth + _FINE]
            asked = [
                holds[state.name]
                for state in through
                if (state.above, state.depth) == (above, depth)
            ]
            self.add(lpSum(own) >= lpSum(asked), f"end_depth_{number}_{which}_{depth:g}")
        panel = self.rules.panel
        needed = lpSum(
            max(0.0, (state.reach_of(which) or 0.0) - panel) * holds[state.name] for state in asking
        )
        gap = self._gap(number, which, side.end, asking)
        self.add(lpSum(v.width for v in ends) + gap >= needed, f"end_open_{number}_{which}")

    def _gap(self, number: int, which: int, index: int, asking: Sequence[CornerState]) -> Any:
        """Free wall that an end bay leaves before it, 0 for a pinned one."""
        if self.surveyed.stretches[index].pin is not None:
            return 0
        gap = self.continuous(f"g_{number}_{which}")
        scribe = self.rules.brief.units.from_inch(SCRIBE_IN)
        most = [s.gap_of(which, scribe) * self.states[number, s.name] for s in asking]
        self.add(gap <= lpSum(most), f"gap_{number}_{which}")
        self.gaps.setdefault(index, []).append(gap)
        return gap

    def _limit_depths(self, number: int, corner: Corner) -> None:
        """How deep bays near the corner may be, by state."""
        limited: dict[tuple[int, float], list[Any]] = {}
        for state in corner.states:
            for limit in state.limits:
                for index, near, _ in corner.sides[limit.side].reaches:
                    if near < limit.reach - _FINE:
                        holds = self.states[number, state.name]
                        limited.setdefault((index, limit.depth), []).append(holds)
        for (index, depth), states in sorted(limited.items(), key=lambda entry: entry[0]):
            deeper = self._usage(index, deeper_than=depth)
            if deeper:
                length = self.surveyed.stretches[index].length
                name = f"shallow_{number}_{index}_{depth:g}"
                self.add(lpSum(deeper) <= length * (1 - lpSum(states)), name)

    def _lost(self, index: int) -> list[Any]:
        """Lengths that corners take from a stretch, as terms."""
        lost = []
        for number, corner in enumerate(self.corners):
            for which, side in enumerate(corner.sides):
                for reached, near, far in side.reaches:
                    if reached != index:
                        continue
                    for state in corner.states:
                        taken = overlap(near, far, state.losses[which])
                        if taken > _FINE:
                            lost.append(taken * self.states[number, state.name])
        return lost

    # -- lengths -------------------------------------------------------------------

    def _usage(self, index: int, deeper_than: float = -1.0) -> list[Any]:
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

    def _join(self) -> None:
        """Boundaries: spanning bays, or an upright that both sides share."""
        for chain in self.chains:
            for left, right in itertools.pairwise(chain):
                joints = []
                for keeper, guest in ((left, right), (right, left)):
                    if not self._may_keep(keeper, guest):
                        continue
                    joint = self.binary(f"j_{left}_{right}_{keeper}")
                    joints.append(joint)
                    self.stretches[guest].shared.append(joint)
                    for index in (left, right):
                        self.add(
                            joint <= self.stretches[index].occupied, f"joint_{index}_{joint.name}"
                        )
                self.joints += joints
                self.stretches[left].joined_right += joints
                self.stretches[right].joined_left += joints
                crossing = [
                    v.count
                    for v in self.slots
                    if v.slot.kind is SlotKind.SPAN and v.slot.first <= left < v.slot.last
                ]
                if joints or crossing:
                    self.add(lpSum(joints + crossing) <= 1, f"boundary_{left}_{right}")

    def _may_keep(self, keeper: int, guest: int) -> bool:
        """Whether an upright of any bay of `guest` may stand in `keeper`."""
        stretches = self.surveyed.stretches
        column = self._column(keeper)
        pin = stretches[guest].pin
        if pin is not None:
            # A pinned bay has its own uprights, but for one shared with the pin before it.
            lacks_one = stretches[guest].length < pin.width + 2 * self.rules.panel - _FINE
            return lacks_one and keeper < guest
        own = [
            v.slot.pattern
            for v in self.slots
            if v.slot.kind is not SlotKind.SPAN and v.slot.first == guest
        ]
        if not own or stretches[keeper].length < self.rules.panel:
            return False
        if not self._as_free(keeper, guest):
            return False
        # The guest's clear space reaches over the upright it shares, up to its own ceiling.
        if stretches[keeper].height < stretches[guest].height - _FINE:
            return False
        return all(column.free(0.0, p.height, p.depth) for p in own)

    def _as_free(self, keeper: int, guest: int) -> bool:
        """Whether whatever is in the way of bays of `keeper` is in that of `guest` as well."""
        ways = [pair for conflict in self.conflicts for pair in (conflict, conflict[::-1])]
        own = {(depth, other) for (index, depth), other in ways if index == keeper}
        guests = [(depth, other) for (index, depth), other in ways if index == guest]
        return all(
            any(
                g <= depth + _FINE and across[0] == other[0] and across[1] <= other[1] + _FINE
                for g, across in guests
            )
            for depth, other in own
        )

    def _column(self, index: int) -> Column:
        return column_of([self.surveyed.stretches[index]])

    def _limit_length(self, index: int) -> None:
        stretch, own, panel = (
            self.surveyed.stretches[index],
            self.stretches[index],
            self.rules.panel,
        )
        spans = [v for v in self.slots if v.slot.kind is SlotKind.SPAN]
        own.entered = lpSum(v.count for v in spans if v.slot.last == index)
        own.left_by = lpSum(v.count for v in spans if v.slot.first == index)
        own.covered = lpSum(v.count for v in spans if v.slot.first < index < v.slot.last)
        inner = self._usage_without_cover(index)
        shared = lpSum(own.shared)
        used = lpSum(inner) + panel * own.broken - panel * shared
        self.add(used <= (stretch.length - panel) * own.occupied, f"occupied_{index}")
        lost = lpSum(self._lost(index))
        self.add(
            used + panel * own.occupied <= stretch.length - stretch.length * own.covered - lost,
            f"length_{index}",
        )
        self.add(own.entered + own.covered <= 1, f"entered_{index}")
        self.add(own.left_by + own.covered <= 1, f"left_by_{index}")
        self.add(own.covered + own.occupied <= 1, f"covered_{index}")
        self.add(own.entered <= own.occupied, f"entered_needs_{index}")
        self.add(own.left_by <= own.occupied, f"left_by_needs_{index}")
        self._close_ranks(index, used + panel * own.occupied)

    def _close_ranks(self, index: int, used: Any) -> None:
        """With bays held at both ends of a stretch, a gap between them costs an upright."""
        own, length = self.stretches[index], self.surveyed.stretches[index].length
        held_left = own.entered + lpSum(own.joined_left) + self._ends(index, at_left=True)
        held_right = own.left_by + lpSum(own.joined_right) + self._ends(index, at_left=False)
        if not len(lpSum([held_left])) or not len(lpSum([held_right])):
            self.add(own.broken <= 0, f"unbroken_{index}")
            return
        slack = length - used
        scribed = SCRIBED_STEPS * self.rules.grid
        self.add(
            slack <= scribed + length * (2 - held_left - held_right) + length * own.broken,
            f"closed_{index}",
        )

    def _ends(self, index: int, *, at_left: bool) -> Any:
        """Number of bays of a stretch that stand against the wall's end in a corner."""
        return lpSum(
            v.count
            for v in self.slots
            if v.slot.kind is SlotKind.END and v.slot.first == index and v.slot.at_left is at_left
        )

    def _usage_without_cover(self, index: int) -> list[Any]:
        panel = self.rules.panel
        terms: list[Any] = list(self.gaps.get(index, ()))
        for vars_ in self.slots:
            slot = vars_.slot
            if slot.kind is not SlotKind.SPAN and slot.first == index:
                terms.append(vars_.width + panel * vars_.count)
            elif slot.kind is SlotKind.SPAN and slot.first == index:
                terms.append(vars_.left)
            elif slot.kind is SlotKind.SPAN and slot.last == index:
                terms.append(vars_.right)
        return terms

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
        terms = self._usage(index, deeper_than=depth - 10 * _FINE)
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


def total(terms: Iterable[Any]) -> Any:
    """Sum of expressions."""
    return lpSum(terms)
