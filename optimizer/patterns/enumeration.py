"""All bay patterns for a column: stacks with their widths, the dominated ones dropped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from optimizer.domain.layout import ZoneKind
from optimizer.patterns.column import Column
from optimizer.patterns.groups import Group, groups_of, height_classes, rows_of
from optimizer.patterns.measures import measures_of
from optimizer.patterns.pattern import Pattern, kind_of, label_of
from optimizer.patterns.rules import Rules
from optimizer.patterns.stacks import (
    Stack,
    Stacker,
    hanging_stacks,
    rod_sequences,
    shelf_stacks,
)
from optimizer.units import floor_to

_FINE = 1e-6


@dataclass
class Catalogue:
    """Patterns by column, enumerated on demand and kept."""

    rules: Rules
    _known: dict[Column, tuple[Pattern, ...]] = field(default_factory=dict)

    @cached_property
    def floor_groups(self) -> tuple[Group, ...]:
        """Groups of items that may stand on the floor."""
        kinds = [piece for piece in self.rules.pieces if piece.on_floor]
        return groups_of(kinds, self.rules, self.rules.brief.construction.max_bay_width)

    @cached_property
    def shelf_groups(self) -> tuple[Group, ...]:
        """Rows of items that may stand on a shelf."""
        kinds = [piece for piece in self.rules.pieces if piece.on_shelf]
        plain = self.rules.board_width(self.rules.brief.needs.shelf_depth, stiffened=False)
        return rows_of(kinds, self.rules, plain, self.rules.brief.construction.max_bay_width)

    @cached_property
    def floor_heights(self) -> tuple[float, ...]:
        """Heights of floor zones made for items."""
        return height_classes(self.floor_groups)

    @cached_property
    def tall_clears(self) -> tuple[float, ...]:
        """Clear heights that items on shelves need beyond the wished spacing."""
        rules = self.rules
        regular = rules.brief.needs.shelf_spacing - rules.panel - rules.overhead
        return tuple(h for h in height_classes(self.shelf_groups) if h > regular + _FINE)

    @cached_property
    def board_depths(self) -> tuple[float, ...]:
        """Depths of boards: as wished, and as deep as the items meant for shelves."""
        wished = self.rules.brief.needs.shelf_depth
        deepest = max((group.depth for group in self.shelf_groups), default=0.0)
        return (wished, deepest) if deepest > wished + _FINE else (wished,)

    @cached_property
    def floor_depths(self) -> tuple[float, ...]:
        """Depths of floor zones made for items: within the hanging depth, and beyond."""
        hang = self.rules.brief.construction.hang_depth
        depths = [group.depth for group in self.floor_groups]
        within = [d for d in depths if d <= hang + _FINE]
        beyond = [d for d in depths if d > hang + _FINE]
        return tuple(max(part) for part in (within, beyond) if part)

    def patterns(self, column: Column) -> tuple[Pattern, ...]:
        """Patterns that fit `column`, in a stable order."""
        if column not in self._known:
            self._known[column] = self._enumerate(column)
        return self._known[column]

    def _enumerate(self, column: Column) -> tuple[Pattern, ...]:
        found: dict[str, Pattern] = {}
        for stack, hosting in self._stacks(column):
            pattern = self._pattern(stack, hosting)
            fits = pattern.depth <= column.depth + _FINE
            if fits and pattern.max_width >= pattern.min_width:
                found.setdefault(pattern.label, pattern)
        return undominated(list(found.values()))

    def _stacks(self, column: Column) -> list[tuple[Stack, bool]]:
        stacks: list[tuple[Stack, bool]] = []
        hang = self.rules.brief.construction.hang_depth
        for depth in self.board_depths:
            stacker = Stacker(self.rules, column, depth)
            floors = self.floor_depths or (0.0,)
            for floor_depth in floors:
                heights = self._heights_for(floor_depth)
                stacks += shelf_stacks(stacker, heights, floor_depth, self.tall_clears)
                if depth > hang + _FINE:
                    continue
                for hangs in rod_sequences(self.rules):
                    stacks += hanging_stacks(stacker, hangs, heights, max(floor_depth, hang))
        return stacks

    def _heights_for(self, floor_depth: float) -> tuple[float, ...]:
        """Floor zone heights some group of at most `floor_depth` asks for."""
        fitting = [g.height for g in self.floor_groups if g.depth <= floor_depth + _FINE]
        if not fitting:
            return ()
        tallest = max(fitting)
        top = min((h for h in self.floor_heights if h >= tallest - _FINE), default=tallest)
        return tuple(h for h in self.floor_heights if h <= top + _FINE)

    def _pattern(self, zones: Stack, hosting: bool) -> Pattern:
        """The stack with its widths: plain, and beyond that with stiffened boards."""
        rules, construction = self.rules, self.rules.brief.construction
        boards = [zone for zone in zones if zone.kind is ZoneKind.SHELF]
        has_rod = any(zone.kind is ZoneKind.ROD for zone in zones)
        cap = rules.rod_width if has_rod else floor_to(construction.max_bay_width, rules.grid)
        shallowest = min(zone.depth or 0.0 for zone in boards)
        plain = min(cap, rules.board_width(shallowest, stiffened=False))
        widest = plain
        if construction.stiffener_allowed:
            widest = max(plain, min(cap, rules.board_width(shallowest, stiffened=True)))
        depth = max(zone.depth or 0.0 for zone in zones)
        height = max(zone.bottom for zone in boards)
        return Pattern(
            label=label_of(zones),
            kind=kind_of(zones),
            zones=zones,
            depth=depth,
            height=height,
            min_width=rules.min_width,
            plain_width=plain,
            max_width=widest,
            hosting=hosting,
            measures=measures_of(zones, depth, height, False, rules),
        )


def _beats(one: Pattern, other: Pattern) -> bool:
    """Whether `one` can always stand in for `other` without loss in anything measured."""
    a, b = one.measures, other.measures
    fits = (
        one.min_width <= other.min_width
        and one.max_width >= other.max_width
        and one.plain_width >= other.plain_width
        and one.depth <= other.depth + _FINE
        and one.height <= other.height + _FINE
        and one.kind == other.kind
        and one.hosting == other.hosting
        and (not one.hosting or one.zones[0].top == other.zones[0].top)
    )
    gives = (
        a.long >= b.long
        and a.medium >= b.medium
        and a.short >= b.short
        and a.shelves >= b.shelves
        and a.easy >= b.easy
        and a.open_floor >= b.open_floor
    )
    takes = a.cost_per_width <= b.cost_per_width and a.cost <= b.cost and a.parts <= b.parts
    return fits and gives and takes


def undominated(patterns: Sequence[Pattern]) -> tuple[Pattern, ...]:
    """`patterns` without those another one beats; of equals the first stays.

    Patterns are only compared within a kind, since a layout's kind is what people see, and
    never where shelf zones could host items that the other's could not.
    """
    kept: list[Pattern] = []
    for index, pattern in enumerate(patterns):
        rivals = [*kept, *patterns[index + 1 :]]
        beaten = any(
            _beats(rival, pattern)
            and not (rival in patterns[index + 1 :] and _beats(pattern, rival))
            and _hosts_as_well(rival, pattern)
            for rival in rivals
        )
        if not beaten:
            kept.append(pattern)
    return tuple(kept)


def _hosts_as_well(rival: Pattern, pattern: Pattern) -> bool:
    """Whether each shelf zone of `pattern` has one in `rival` no lower, higher or shallower."""
    boards = [zone for zone in rival.zones if zone.kind is ZoneKind.SHELF]
    return all(
        any(
            board.top - board.bottom >= zone.top - zone.bottom - _FINE
            and (board.depth or 0.0) >= (zone.depth or 0.0) - _FINE
            and board.bottom <= zone.bottom + _FINE
            for board in boards
        )
        for zone in pattern.zones
        if zone.kind is ZoneKind.SHELF
    )
