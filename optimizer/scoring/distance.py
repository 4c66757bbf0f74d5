"""How different two layouts look: walls by kind of bay, and where each item went.

The distance is 0 for layouts a person would call the same and at most 1. The wall part is
the share of wall length given to another kind of bay (or left empty); the item part the
share of pieces that stand elsewhere or nowhere. Order within a wall does not count.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, ZoneKind
from optimizer.geometry.outline import outline_of
from optimizer.geometry.stretches import survey
from optimizer.patterns.pattern import kind_of

ITEM_SHARE = 0.2
"""Part of the distance that items make up, when there are any (our own choice)."""
EMPTY = "empty"


@dataclass(frozen=True, slots=True)
class Portrait:
    """What a person sees: width by (wall, kind), and pieces by (item, wall, level)."""

    widths: Mapping[tuple[str, str], float]
    places: Mapping[tuple[str, str, str], int]


def portrait_of(bays: Sequence[Bay]) -> Portrait:
    """Portrait of a layout's bays; empty wall is left out, being what remains."""
    widths: dict[tuple[str, str], float] = {}
    places: Counter[tuple[str, str, str]] = Counter()
    for bay in bays:
        key = (bay.wall, kind_of(bay.zones))
        widths[key] = widths.get(key, 0.0) + bay.width
        for zone in bay.zones:
            level = "floor" if zone.kind is ZoneKind.FLOOR else "shelf"
            places.update((name, bay.wall, level) for name in zone.items)
    return Portrait(widths, dict(places))


def distance(one: Portrait, other: Portrait, brief: Brief, walls: Sequence[str]) -> float:
    """Distance 0..1 of two layouts; `walls` are the ids of the walls that may carry bays."""
    lengths = {wall.id: wall.clear_length for wall in brief.room.walls if wall.id in walls}
    total = sum(lengths.values())
    pieces = sum(item.count for item in brief.needs.items)
    moved = 0.0
    for wall, length in lengths.items():
        moved += _moved(_shares(one, wall, length), _shares(other, wall, length))
    part = moved / total if total else 0.0
    if not pieces:
        return part
    shifted = sum(
        _moved(_places(one, item.id, item.count), _places(other, item.id, item.count))
        for item in brief.needs.items
    )
    return (1.0 - ITEM_SHARE) * part + ITEM_SHARE * shifted / pieces


def storage_walls(brief: Brief) -> list[str]:
    """Ids of the walls that may carry bays: those with a stretch, by the survey alone."""
    surveyed = survey(brief, outline_of(brief.room, brief.units))
    return sorted({brief.room.walls[stretch.wall].id for stretch in surveyed.stretches})


def differences(
    layouts: Sequence[Layout], brief: Brief, walls: Sequence[str]
) -> tuple[tuple[float, ...], ...]:
    """Matrix of distances between layouts."""
    portraits = [portrait_of(layout.bays) for layout in layouts]
    return tuple(
        tuple(
            0.0 if i == j else distance(one, other, brief, walls)
            for j, other in enumerate(portraits)
        )
        for i, one in enumerate(portraits)
    )


def _places(portrait: Portrait, item: str, count: int) -> dict[str, float]:
    """Pieces of one item by place, those not housed counting as a place too."""
    placed = {
        f"{wall} {level}": float(number)
        for (name, wall, level), number in portrait.places.items()
        if name == item
    }
    return {**placed, EMPTY: count - sum(placed.values())}


def _shares(portrait: Portrait, wall: str, length: float) -> dict[str, float]:
    """Width by kind on one wall, what is left counting as empty."""
    widths = {kind: width for (w, kind), width in portrait.widths.items() if w == wall}
    return {**widths, EMPTY: length - sum(widths.values())}


def _moved(one: Mapping[str, float], other: Mapping[str, float]) -> float:
    """Length that changed its kind."""
    return sum(max(0.0, width - other.get(kind, 0.0)) for kind, width in one.items())
