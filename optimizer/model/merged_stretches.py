"""Neighbouring stretches joined where the boundary between them makes no difference.

Each boundary costs the model a set of slots for spanning bays. Two neighbours are joined where one
stretch with the restrictions of both still allows the same bays: the same kinds with the same
amounts and widths, and places for the same items.
"""

from __future__ import annotations

from dataclasses import replace

from optimizer.domain.layout import ZoneKind
from optimizer.geometry.stretches import Stretch, Surveyed
from optimizer.patterns.column import Column, column_of
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.pattern import Pattern
from optimizer.tolerances import FINE

END_SLIVER_IN = 2.0
"""A blocked sliver at a wall's end up to this wide is left free (our own choice)."""

Signature = tuple[object, ...]


def merged(surveyed: Surveyed, catalogue: Catalogue) -> Surveyed:
    """`surveyed` with neighbours joined wherever that excludes nothing that is scored."""
    kept: list[Stretch] = []
    for stretch in _without_slivers(surveyed, catalogue):
        # Against what was joined already: three alike become one.
        joined = _joined(kept[-1], stretch, catalogue) if kept else None
        if joined is None:
            kept.append(stretch)
        else:
            kept[-1] = joined
    return replace(surveyed, stretches=tuple(kept))


def _without_slivers(surveyed: Surveyed, catalogue: Catalogue) -> list[Stretch]:
    """The stretches without blocked slivers at a wall's end, left by what is flush round the
    corner."""
    limit = catalogue.rules.brief.units.from_inch(END_SLIVER_IN)
    kept = []
    for stretch in surveyed.stretches:
        length = surveyed.outline.walls[stretch.wall].length
        at_end = stretch.start < FINE or stretch.end > length - FINE
        if not (at_end and stretch.blocks and stretch.length <= limit and not stretch.kept):
            kept.append(stretch)
    return kept


def _joined(left: Stretch, right: Stretch, catalogue: Catalogue) -> Stretch | None:
    """One stretch in place of two neighbours; None where that would exclude something."""
    touching = left.wall == right.wall and abs(left.end - right.start) < FINE
    if not touching or left.kept or right.kept or left.opened != right.opened:
        return None
    both = column_of([left, right])
    found = _signatures(both, catalogue)
    for own in (left, right):
        # Both have to offer all that the joint column does: a pattern that fits one of them alone
        # would be lost or, worse, be allowed where it does not fit.
        if _signatures(column_of([own]), catalogue) != found:
            return None
    return Stretch(
        wall=left.wall,
        start=left.start,
        end=right.end,
        height=both.height,
        depth=both.depth,
        blocks=both.blocks,
        opened=left.opened,
    )


def _signatures(column: Column, catalogue: Catalogue) -> list[Signature]:
    """What the patterns of a column offer, in a stable order."""
    found = [_signature(p, column, level=catalogue.rules.level) for p in catalogue.patterns(column)]
    return sorted(found, key=repr)


def _signature(pattern: Pattern, column: Column, *, level: bool) -> Signature:
    """What a pattern offers to the score: two columns with the same signatures are as good as
    each other, whatever their patterns are called."""
    m = pattern.measures
    hosts = tuple(
        (zone.kind.value, round(zone.top - zone.bottom, 3), zone.depth)
        for zone in pattern.zones
        if zone.kind is ZoneKind.FLOOR and pattern.hosting
    )
    return (
        pattern.kind,
        pattern.tiers,
        pattern.min_width,
        pattern.depth,
        # With a level line the height shows at the neighbours; with free lines it may differ.
        pattern.height if level else None,
        (m.long, m.medium, m.short, m.shelves, round(m.shelf_depth, 3), m.open_floor, m.easy),
        (m.fine, m.takes),
        hosts,
        pattern.stands_in(column),
    )
