"""All bay patterns that fit a column, without those that another pattern dominates.

A pattern dominates another one if it can stand wherever the other can, and gives at least as much
of everything that is scored for no more cost. Dropping dominated patterns loses no score and makes
the model much smaller.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from optimizer.domain.layout import ZoneKind
from optimizer.patterns.bay_rules import BayRules, rod_sequences
from optimizer.patterns.column import Column
from optimizer.patterns.groups import Group, groups_of, height_classes, rows_of
from optimizer.patterns.housing import Housing
from optimizer.patterns.ladder import Ladder
from optimizer.patterns.level_stacks import LevelStacker
from optimizer.patterns.measures import measures_of
from optimizer.patterns.pattern import Pattern, Tier, kind_of, label_of
from optimizer.patterns.stacks import (
    Stack,
    Stacker,
    hanging_stacks,
    shelf_stacks,
)
from optimizer.patterns.tiers import tiers_of
from optimizer.tolerances import FINE


@dataclass
class Catalogue:
    """The patterns of one brief, by column: enumerated when first asked for, then kept.

    `ladder` has the heights of boards in a room with a level line.
    """

    rules: BayRules
    ladder: Ladder
    _known: dict[Column, tuple[Pattern, ...]] = field(default_factory=dict)

    @cached_property
    def floor_groups(self) -> tuple[Group, ...]:
        """Groups of items that may stand on the floor."""
        kinds = [piece for piece in self.rules.pieces if piece.on_floor]
        return groups_of(kinds, self.rules, self.rules.max_width)

    @cached_property
    def shelf_groups(self) -> tuple[Group, ...]:
        """Rows of items that may stand on a shelf."""
        kinds = [piece for piece in self.rules.pieces if piece.on_shelf]
        plain = self.rules.board_piece(self.rules.brief.needs.shelf_depth, stiffened=False)
        return rows_of(kinds, self.rules, plain, self.rules.max_width)

    @cached_property
    def floor_heights(self) -> tuple[float, ...]:
        """Heights of floor zones made for items."""
        return height_classes(self.floor_groups)

    @cached_property
    def tall_clears(self) -> tuple[float, ...]:
        """Clear heights that items on shelves need and shelves at the wished spacing do not
        have."""
        rules = self.rules
        regular = rules.brief.needs.shelf_spacing - rules.panel - rules.overhead
        return tuple(h for h in height_classes(self.shelf_groups) if h > regular + FINE)

    @cached_property
    def board_depths(self) -> tuple[float, ...]:
        """Depths of boards: as wished, and as deep as what is meant for shelves.

        Where a pin names boards that are ripped a blade shallower, others may be so too: in a
        wrapped corner those of both walls go by one another's depth.
        """
        wished, ripped = self.rules.brief.needs.shelf_depth, self.rules.ripped
        depths = [group.depth for group in self.shelf_groups]
        depths += [thing.depth for thing in self.rules.things]
        deepest = max(depths, default=0.0)
        found = (wished, deepest) if deepest > wished + FINE else (wished,)
        return (ripped, *found) if ripped is not None and self.rules.keeps_ripped else found

    @cached_property
    def floor_depths(self) -> tuple[float, ...]:
        """Depths of floor zones for items: the greatest within the hanging depth, and the greatest
        beyond it."""
        hang = self.rules.brief.construction.hang_depth
        depths = [group.depth for group in self.floor_groups]
        within = [d for d in depths if d <= hang + FINE]
        beyond = [d for d in depths if d > hang + FINE]
        return tuple(max(part) for part in (within, beyond) if part)

    def patterns(self, column: Column) -> tuple[Pattern, ...]:
        """The patterns that fit `column`, always in the same order."""
        if column not in self._known:
            self._known[column] = self._enumerate(column)
        return self._known[column]

    def every(self, column: Column) -> tuple[Pattern, ...]:
        """All patterns that fit `column`, those too that another one is never worse than: what a
        person may ask for by name."""
        return tuple(_for_taller(self._all(column), self.rules))

    def _enumerate(self, column: Column) -> tuple[Pattern, ...]:
        """Every pattern that fits a column, without those that another is never worse than."""
        kept = undominated(self._all(column), Housing(self.rules, self.shelf_groups))
        return tuple(_for_taller(kept, self.rules))

    def _all(self, column: Column) -> list[Pattern]:
        """Every pattern that fits a column."""
        found: dict[tuple[str, float], Pattern] = {}
        stacks = self._level_stacks(column) if self.rules.level else self._stacks(column)
        for stack, hosting in stacks:
            pattern = self._pattern(stack, hosting, column)
            fits = pattern is not None and pattern.depth <= column.depth + FINE
            if pattern is not None and fits and pattern.max_width >= pattern.min_width:
                # Two ways of stacking may come to one stack.
                found.setdefault((pattern.label, pattern.depth), pattern)
        return list(found.values())

    def _level_stacks(self, column: Column) -> list[tuple[Stack, bool]]:
        """Stacks whose boards lie on the levels of the room's ladder."""
        stacks: list[tuple[Stack, bool]] = []
        hang = self.rules.brief.construction.hang_depth
        for depth in self.board_depths:
            stacker = LevelStacker(self.rules, self.ladder, column, depth)
            for floor_depth in self.floor_depths or (0.0,):
                heights = self._heights_for(floor_depth)
                stacks += stacker.shelf_stacks(heights, floor_depth, self.tall_clears)
                if depth > hang + FINE:
                    continue
                for hangs in rod_sequences(self.rules):
                    stacks += stacker.hanging_stacks(hangs, heights, max(floor_depth, hang))
        return stacks

    def _stacks(self, column: Column) -> list[tuple[Stack, bool]]:
        """Stacks whose top board may lie anywhere (`top_line` free)."""
        stacks: list[tuple[Stack, bool]] = []
        hang = self.rules.brief.construction.hang_depth
        for depth in self.board_depths:
            stacker = Stacker(self.rules, column, depth)
            floors = self.floor_depths or (0.0,)
            for floor_depth in floors:
                heights = self._heights_for(floor_depth)
                stacks += shelf_stacks(stacker, heights, floor_depth, self.tall_clears)
                if depth > hang + FINE:
                    continue
                for hangs in rod_sequences(self.rules):
                    stacks += hanging_stacks(stacker, hangs, heights, max(floor_depth, hang))
        return stacks

    def _heights_for(self, floor_depth: float) -> tuple[float, ...]:
        """Heights of floor zones that groups of items no deeper than `floor_depth` ask for."""
        fitting = [g.height for g in self.floor_groups if g.depth <= floor_depth + FINE]
        if not fitting:
            return ()
        tallest = max(fitting)
        # As high as the class that the tallest of them falls in, not as high as it is itself.
        top = min((h for h in self.floor_heights if h >= tallest - FINE), default=tallest)
        return tuple(h for h in self.floor_heights if h <= top + FINE)

    def _pattern(self, zones: Stack, hosting: bool, column: Column) -> Pattern | None:
        """The stack as a pattern with its range of widths; None if no width can be built."""
        rules = self.rules
        depth = max(zone.depth or 0.0 for zone in zones)
        tiers = tiers_of(zones, depth, column, rules)
        if not tiers:
            return None
        has_rod = any(zone.kind is ZoneKind.ROD for zone in zones)
        height = max(zone.bottom for zone in zones if zone.kind is ZoneKind.SHELF)
        return Pattern(
            label=label_of(zones, hosting=hosting),
            kind=kind_of(zones),
            zones=zones,
            depth=depth,
            height=height,
            min_width=rules.min_hang_width if has_rod else rules.min_width,
            tiers=tiers,
            hosting=hosting,
            measures=measures_of(zones, depth, height, False, rules),
        )


def _for_taller(patterns: Sequence[Pattern], rules: BayRules) -> list[Pattern]:
    """Patterns with the item height above which each hosting one is used (`floor_above`).

    Shorter items go into the next lower floor zone of the same kind.
    """

    def clear(pattern: Pattern) -> float:
        """Clear height for items on the floor of a pattern."""
        return rules.item_clear(pattern.zones, 0)

    def alike(one: Pattern, other: Pattern) -> bool:
        """Whether two patterns differ in their heights alone."""
        return one.kind == other.kind and one.zones[0].depth == other.zones[0].depth

    hosting = [pattern for pattern in patterns if pattern.hosting]
    result = []
    for pattern in patterns:
        if pattern.hosting:
            own = clear(pattern) - FINE
            lower = [clear(p) for p in hosting if alike(p, pattern) and clear(p) < own]
            result.append(replace(pattern, floor_above=max(lower, default=0.0)))
        else:
            result.append(pattern)
    return result


def _reaches_as_far(one: Pattern, other: Pattern) -> bool:
    """Whether `one` can be as wide as `other` in every tier, with no more cost and no more
    parts."""

    def matched(tier: Tier) -> bool:
        """Whether some tier of the other pattern is as wide for no more money and parts."""
        return any(
            own.width >= tier.width - FINE
            and own.cost <= tier.cost + FINE
            and own.parts <= tier.parts
            for own in one.tiers
        )

    return all(matched(tier) for tier in other.tiers)


def _beats(one: Pattern, other: Pattern) -> bool:
    """Whether `one` dominates `other`: can always replace it without loss in anything measured."""
    a, b = one.measures, other.measures
    fits = (
        one.min_width <= other.min_width
        and _reaches_as_far(one, other)
        and one.depth <= other.depth + FINE
        and one.height <= other.height + FINE
        and one.kind == other.kind
        and one.hosting == other.hosting
        # A floor zone of another height is for other items.
        and (not one.hosting or one.zones[0].top == other.zones[0].top)
    )
    gives = (
        a.long >= b.long
        and a.medium >= b.medium
        and a.short >= b.short
        and a.plain_shelves >= b.plain_shelves
        and (a.shelves >= b.shelves or not b.takes)
        and all(mine >= other for mine, other in zip(a.takes, b.takes, strict=True))
        and a.easy >= b.easy
        and a.open_floor >= b.open_floor
    )
    takes = a.cost_per_width <= b.cost_per_width and a.cost <= b.cost and a.parts <= b.parts
    return fits and gives and takes


def undominated(patterns: Sequence[Pattern], housing: Housing) -> tuple[Pattern, ...]:
    """The patterns that no other one dominates; of equal ones the first stays.

    Only patterns of one kind are compared, since the kind is what people see, and one that can hold
    items is never dropped for one that cannot.
    """
    kept: list[Pattern] = []
    for index, pattern in enumerate(patterns):
        # Those dropped already need no look: what dominates them dominates what they would.
        rivals = [*kept, *patterns[index + 1 :]]
        beaten = any(
            _beats(rival, pattern)
            # Of two that dominate each other the first stays, or both would go.
            and not (rival in patterns[index + 1 :] and _beats(pattern, rival))
            and housing.as_well(rival, pattern)
            for rival in rivals
        )
        if not beaten:
            kept.append(pattern)
    return tuple(kept)
