"""How much shorter each wall may turn out before a layout no longer goes in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Mount, ZoneKind


def margins_of(
    brief: Brief, bays: Sequence[Bay], lengths: Mapping[str, float], mounts: Sequence[Mount] = ()
) -> dict[str, float]:
    """Margin by wall [brief units]; `lengths` are those that the walls count with.

    Wall that is left free beside uprights, and what a bay that the wall or the corner carries
    can be cut narrower: down to its least width, or to what the items in it take; less what hooks
    and mirrors take beside the bays.
    """
    found = {}
    for wall, length in lengths.items():
        own = sorted((bay for bay in bays if bay.wall == wall), key=lambda bay: bay.start)
        if own:
            beside = sum(
                mount.width
                for mount in mounts
                # Between the bays a mount hangs in a gap of its own; only beside them does it take
                # margin.
                if mount.wall == wall and not own[0].start < mount.start < own[-1].start
            )
            free = _free(brief, own, length) - beside
            found[wall] = round(max(0.0, free + _trimmed(brief, own)), 4)
    return found


def _free(brief: Brief, own: Sequence[Bay], length: float) -> float:
    """Wall beside the outermost uprights."""
    panel = brief.construction.panel_thickness
    first, last = own[0], own[-1]
    left = first.start - panel if first.left is Carried.UPRIGHT else 0.0
    right = length - last.end - panel if last.right is Carried.UPRIGHT else 0.0
    return left + right


def _trimmed(brief: Brief, own: Sequence[Bay]) -> float:
    """What bays carried at an end of the row can lose of their width."""
    ends = {own[0].id: own[0].left, own[-1].id: own[-1].right}
    # A bay alone on its wall has both ends: cut narrower at the one that a wall carries.
    if len(own) == 1 and Carried.UPRIGHT in (own[0].left, own[0].right):
        ends = {own[0].id: own[0].left if own[0].left is not Carried.UPRIGHT else own[0].right}
    carried = [bay for bay in own if ends.get(bay.id, Carried.UPRIGHT) is not Carried.UPRIGHT]
    return sum(bay.width - _least(brief, bay) for bay in carried)


def _least(brief: Brief, bay: Bay) -> float:
    """Least width that a bay can be cut down to."""
    rules, widths = brief.construction, {item.id: item.width for item in brief.needs.items}
    least = rules.min_bay_width
    if any(zone.kind is ZoneKind.ROD for zone in bay.zones):
        least = max(least, rules.min_hang_width)
    rows = [
        sum(widths[name] for name in zone.items) + (len(zone.items) + 1) * rules.item_clearance
        for zone in bay.zones
        if zone.items
    ]
    return min(bay.width, max([least, *rows]))
