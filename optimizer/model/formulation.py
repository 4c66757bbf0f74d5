"""The mixed-integer model of one brief.

Sets
    stretches s (geometry), slots (bays inside a stretch, over several, against a wall's end;
    see `slots`), corners with states, ends of walls, items.
Variables
    n[slot]      bays of the slot: integer for those inside a stretch, binary otherwise
    e[slot]      width beyond n x least width; a[slot, s] parts of a spanning bay
    q[slot,t]    bays that need at least tier t: a stiffener, one mid support, two, ...
    m[slot,l]    number of bays of the slot at least as wide as level l
    h[nook,g]    number of groups g of items in zones of a wall that take the same groups
    o[s], k[s]   stretch s carries uprights; its bays are broken into two runs
    j[b,side]    the bays either side of boundary b share an upright that stands on `side`
    c[end]       the side wall (or in a wrapped corner the next wall's boards) carries the bay
                 at an end of a wall: no upright stands there
    z[corner,state]
    g[corner,side]  free wall before an end bay
    u[s,d]       stretch s carries bays deeper than class d
    y[mount,place]  hooks or a mirror hang there (`constraints.mounts`)
Constraints
    length of each stretch, with panel thickness for each upright and what corners take;
    one state a corner; aisle and overlap between walls; each item at most once.
Objective
    the score: linear in widths and counts, with concave piecewise-linear utilities.

Bays of a slot need not be equally wide: everything counted is linear in total width, so
only the total is decided here and widths are given out when the bays are placed.
"""

from __future__ import annotations

import math
from typing import Any

from optimizer.geometry.stretches import Surveyed
from optimizer.model.bay_conflicts import conflicts_of
from optimizer.model.constraints.bays import add_bays
from optimizer.model.constraints.carried_ends import add_carried, tie_to_corners
from optimizer.model.constraints.corner_states import add_end_bays, add_states, limit_corner
from optimizer.model.constraints.lengths import fill_walls, join, limit_length
from optimizer.model.constraints.mounts import add_mounts, tie_mounts
from optimizer.model.constraints.nooks import add_nooks
from optimizer.model.constraints.pins import keep_pins
from optimizer.model.corners import corners_of
from optimizer.model.records import FINE, Model, Rank, StretchVars
from optimizer.model.slots import SlotMaker
from optimizer.patterns.enumeration import Catalogue
from optimizer.solving import total


class Formulation(Model):
    """The model of one brief: variables by slot, stretch and corner, without objective."""

    def __init__(
        self, surveyed: Surveyed, catalogue: Catalogue, deadline: float = math.inf
    ) -> None:
        """Builds variables and constraints family by family; later ones read what earlier ones
        made. `deadline`: see `Model`."""
        super().__init__(surveyed, catalogue, deadline)
        maker = SlotMaker(surveyed, catalogue)
        # Uprights first: bays, mounts and corners are tied to whether a stretch carries any.
        self._add_stretches()
        self._add_inside(maker)
        add_mounts(self)
        # States need to know the depths that may stand there, and so come after the slots inside;
        # the end bays that states ask for come after these in turn.
        self.corners = corners_of(
            surveyed, self._depth_classes(), self._depth_classes(rods=False), self.rules
        )
        add_states(self)
        add_end_bays(self, maker)
        add_carried(self)
        tie_to_corners(self)
        for number in range(len(self.corners)):
            limit_corner(self, number)
        fill_walls(self)
        # Only now are all bays known: end bays bring depths of their own.
        self.conflicts = tuple(conflicts_of(surveyed, self._all_depths(), self.rules))
        join(self)
        for index in range(len(self.stretches)):
            limit_length(self, index)
        tie_mounts(self)
        self._keep_apart()
        keep_pins(self)
        add_nooks(self)
        self._house()

    def _add_stretches(self) -> None:
        """Two binaries a stretch: whether it carries uprights, whether its bays are in two runs."""
        for index in range(len(self.surveyed.stretches)):
            occupied = self.binary(f"o_{index}", Rank.UPRIGHTS)
            broken = self.binary(f"k_{index}", Rank.UPRIGHTS)
            self.stretches.append(StretchVars(occupied, broken))

    def _add_inside(self, maker: SlotMaker) -> None:
        """Bays inside stretches and over their boundaries."""
        for chain in self.chains:
            for index in chain:
                add_bays(self, maker.inner(index))
            add_bays(self, maker.spans(chain))

    def _depth_classes(self, *, rods: bool = True) -> list[list[float]]:
        """Depths of the patterns that may stand on each stretch; of those of shelves if asked."""
        classes: list[set[float]] = [set() for _ in self.stretches]
        for vars_ in self.slots:
            pattern = vars_.slot.pattern
            if not rods and not pattern.shelves_alone:
                continue
            for index in vars_.parts:
                classes[index].add(round(pattern.depth, 6))
        if rods:
            # Where only mounts may be, the walls beside them keep off these.
            mounts = self._mount_depths()
            classes = [own or set(sorted(m)[-1:]) for own, m in zip(classes, mounts, strict=True)]
        return [sorted(own) for own in classes]

    def _mount_depths(self) -> list[set[float]]:
        """Depths of the mounts that may hang in each stretch."""
        depths: list[set[float]] = [set() for _ in self.stretches]
        for hanging in self.hangings:
            for index in hanging.takes:
                depths[index].add(round(self.rules.mounted[hanging.mount].depth, 6))
        return depths

    def _all_depths(self) -> list[list[float]]:
        """Depths of all that may be in each stretch, mounts each as deep as they are."""
        bays, mounts = self._depth_classes(), self._mount_depths()
        return [sorted({*own, *more}) for own, more in zip(bays, mounts, strict=True)]

    # -- other walls ---------------------------------------------------------------

    def _keep_apart(self) -> None:
        """Aisle and overlap between walls that do not meet at an inside corner."""
        for number, conflict in enumerate(self.conflicts):
            users = [self.uses(index, depth) for index, depth in conflict]
            self.add(total(users) <= 1, f"apart_{number}")

    def uses(self, index: int, depth: float) -> Any:
        """A binary that is 1 when the stretch carries bays of at least `depth`."""
        if (index, depth) in self.flags:
            return self.flags[index, depth]
        flag = self.binary(f"u_{index}_{depth:g}".replace(".", "p"), Rank.UPRIGHTS)
        terms = self.usage(index, deeper_than=depth - 10 * FINE)
        # No more than the sum can reach: a greater factor would let the relaxation have a whole bay
        # for a fraction of the flag. Uprights may stand a panel beyond either end.
        most = self.surveyed.stretches[index].length + 2 * self.rules.panel
        self.add(total(terms) <= most * flag, f"uses_{flag.name}")
        # Single bays are counted besides: by length a narrow one would need but a part of the flag.
        for number, bays in enumerate(self.single(index, deeper_than=depth - 10 * FINE)):
            self.add(bays <= flag, f"uses_{flag.name}_{number}")
        self.flags[index, depth] = flag
        return flag

    # -- items ---------------------------------------------------------------------

    def _house(self) -> None:
        """Each piece is in one place at most."""
        # By number: ids may differ in what no name of a column may hold.
        for number, piece in enumerate(self.rules.pieces):
            places = total(
                count * held
                for nook in self.nooks
                for host, held in nook.held
                for name, count in host.group.counts
                if name == piece.id
            )
            housed = self.continuous(f"i_{number}", piece.count)
            self.add(places == housed, f"item_{number}")
            self.housed[piece.id] = housed

    # -- sums the objective and the alternatives need ------------------------------

    def runs(self) -> Any:
        """Runs of bays that share uprights."""
        uprights = total(s.occupied + s.broken for s in self.stretches)
        joints = total(joint.holds for joint in self.joints)
        # An occupied stretch has a run, two where it is broken; a joint, or a bay that spans, makes
        # one run of two.
        return uprights - joints - total(v.count for v in self.slots if v.slot.spans)

    def spare_uprights(self) -> Any:
        """Uprights beyond one for each bay: less those whose place walls and corners take."""
        return self.runs() - total(self.carried.values())
