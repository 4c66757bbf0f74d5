"""How different two layouts look, from 0 (a person would call them the same) to 1.

The wall part of the distance is the share of wall length that has another look of bay, or is empty
instead. The item part is the share of pieces that stand elsewhere, or nowhere. The order of bays on
a wall does not count, nor does what is under a rod. Where the room maps onto itself (is mirror
symmetric, say), the distance is the least one to any image of the other layout. Walls that map onto
each other then count with their mean length, and widths as shares of their wall, so that it makes
no difference which of the two layouts is mirrored.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Zone, ZoneKind
from optimizer.geometry.outline import outline_of
from optimizer.geometry.stretches import survey
from optimizer.patterns.pattern import look_of
from optimizer.scoring.symmetry import symmetries_of

ITEM_SHARE = 0.2
"""Part of the distance that items make up, when there are any (our own choice)."""
EMPTY = "empty"

_ALIKE = 1e-9


@dataclass(frozen=True, slots=True)
class Portrait:
    """What a person sees of a layout: widths by (wall, look) and pieces by (item, wall, level)."""

    widths: Mapping[tuple[str, str], float]
    places: Mapping[tuple[str, str, str], int]


@dataclass(frozen=True, slots=True)
class RoomImages:
    """What portraits of one room are compared on.

    `lengths` are those of the walls that may carry bays, `weights` what each counts in the wall
    part [brief units]. Each of the `images` tells which wall every wall maps onto, the identity
    first.
    """

    lengths: Mapping[str, float]
    weights: Mapping[str, float]
    images: tuple[Mapping[str, str], ...]

    @property
    def total(self) -> float:
        """Length of all walls."""
        return sum(self.lengths.values())

    def imaged(self, portrait: Portrait) -> Iterator[Portrait]:
        """The images of a portrait, itself first; those that equal an earlier one are left out."""
        seen: list[Portrait] = []
        for image in self.images:
            new = self._image(portrait, image)
            # A layout that is symmetric itself has one image less to keep away from.
            if not any(self._alike(new, old) for old in seen):
                seen.append(new)
                yield new

    def _image(self, portrait: Portrait, image: Mapping[str, str]) -> Portrait:
        """A layout as it would look turned or mirrored onto other walls."""
        widths = {
            (image.get(wall, wall), look): width * self._stretch(wall, image)
            for (wall, look), width in portrait.widths.items()
        }
        places = {
            (item, image.get(wall, wall), level): count
            for (item, wall, level), count in portrait.places.items()
        }
        return Portrait(widths, places)

    def _stretch(self, wall: str, image: Mapping[str, str]) -> float:
        """Length of the wall that `wall` falls on over its own."""
        # Alike walls may differ by an inch: as shares of their wall widths stay comparable.
        onto = image.get(wall, wall)
        return 1.0 if onto == wall else self.lengths[onto] / self.lengths[wall]

    def _alike(self, one: Portrait, other: Portrait) -> bool:
        """Whether two layouts show the same."""
        keys = {*one.widths, *other.widths}
        same = all(
            abs(one.widths.get(key, 0.0) - other.widths.get(key, 0.0)) <= _ALIKE for key in keys
        )
        return same and one.places == other.places


def room_images(brief: Brief, walls: Sequence[str]) -> RoomImages:
    """The ground of a brief; `walls` are the ids of the walls that may carry bays."""
    names = [wall.id for wall in brief.room.walls]
    lengths = {wall.id: wall.clear_length for wall in brief.room.walls if wall.id in walls}
    images = []
    for found in symmetries_of(brief):
        image = {name: names[found[names.index(name)]] for name in lengths}
        # A symmetry of the room counts only where it takes usable walls to usable walls.
        if all(onto in lengths for onto in image.values()) and image not in images:
            images.append(image)
    weights = {
        name: sum(lengths[image[name]] for image in images) / len(images) for name in lengths
    }
    return RoomImages(lengths, weights, tuple(images))


def portrait_of(bays: Sequence[Bay], name: Callable[[Sequence[Zone]], str] = look_of) -> Portrait:
    """The portrait of a layout's bays; empty wall is what remains and is left out.

    `name` gives a bay's name from its zones: its look, for the distance.
    """
    widths: dict[tuple[str, str], float] = {}
    places: Counter[tuple[str, str, str]] = Counter()
    for bay in bays:
        key = (bay.wall, name(bay.zones))
        widths[key] = widths.get(key, 0.0) + bay.width
        for zone in bay.zones:
            level = "floor" if zone.kind is ZoneKind.FLOOR else "shelf"
            places.update((item, bay.wall, level) for item in zone.items)
    return Portrait(widths, dict(places))


def distance(one: Portrait, other: Portrait, brief: Brief, walls: Sequence[str]) -> float:
    """Distance 0..1 of two layouts; `walls` are the ids of the walls that may carry bays."""
    return _distance(one, other, brief, room_images(brief, walls))


def _distance(one: Portrait, other: Portrait, brief: Brief, ground: RoomImages) -> float:
    """The distance to the nearest image of the other layout."""
    return min(_apart(one, image, brief, ground) for image in ground.imaged(other))


def _apart(one: Portrait, other: Portrait, brief: Brief, ground: RoomImages) -> float:
    """Distance of two portraits, without their images."""
    pieces = sum(item.count for item in brief.needs.items)
    moved = 0.0
    for wall, length in ground.lengths.items():
        changed = _moved(_shares(one, wall, length), _shares(other, wall, length))
        moved += changed * ground.weights[wall] / length
    # The share of the usable wall that holds something else.
    part = moved / ground.total if ground.total else 0.0
    if not pieces:
        return part
    shifted = sum(
        _moved(_places(one, item.id, item.count), _places(other, item.id, item.count))
        for item in brief.needs.items
    )
    return (1.0 - ITEM_SHARE) * part + ITEM_SHARE * shifted / pieces


def storage_walls(brief: Brief) -> list[str]:
    """Ids of the walls that may carry bays: those with at least one stretch in the survey."""
    surveyed = survey(brief, outline_of(brief.room, brief.units))
    return sorted({brief.room.walls[stretch.wall].id for stretch in surveyed.stretches})


def differences(
    layouts: Sequence[Layout], brief: Brief, walls: Sequence[str]
) -> tuple[tuple[float, ...], ...]:
    """Matrix of the distances between layouts: symmetric, with zeros on its diagonal."""
    portraits = [portrait_of(layout.bays) for layout in layouts]
    ground = room_images(brief, walls)
    table = [[0.0] * len(portraits) for _ in portraits]
    for (i, one), (j, other) in combinations(enumerate(portraits), 2):
        table[i][j] = table[j][i] = _distance(one, other, brief, ground)
    return tuple(tuple(row) for row in table)


def _places(portrait: Portrait, item: str, count: int) -> dict[str, float]:
    """Number of pieces of one item by place; those not housed count as a place of their own."""
    placed = {
        f"{wall} {level}": float(number)
        for (name, wall, level), number in portrait.places.items()
        if name == item
    }
    return {**placed, EMPTY: count - sum(placed.values())}


def _shares(portrait: Portrait, wall: str, length: float) -> dict[str, float]:
    """Width by look on one wall; what remains counts as empty."""
    widths = {look: width for (w, look), width in portrait.widths.items() if w == wall}
    return {**widths, EMPTY: length - sum(widths.values())}


def _moved(one: Mapping[str, float], other: Mapping[str, float]) -> float:
    """Length that changed its look."""
    # One-sided: both sides add up to the same total, so that what one lacks the other has more.
    return sum(max(0.0, width - other.get(kind, 0.0)) for kind, width in one.items())
