"""The measures of a layout, worked out from its zones alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from optimizer.checking.case import Case, Placed, zone_depth
from optimizer.checking.shapes import common_part, united
from optimizer.checking.stored import rows_of, things_in
from optimizer.domain.layout import Zone, ZoneKind
from optimizer.domain.needs import Hang


@dataclass(slots=True)
class Measures:
    """Sums over the zones of a layout [brief units; areas in their square].

    `easy_least` and `easy_most` are the length within easy reach at the least and at the most: a
    rod or board within the tolerance of a limit of the easy band may count or not. `shelf_free` is
    the length of shelves as far apart as wished, less what things stored by count take of them.
    `pieces` counts housed items by id, `stored` counted things by kind.
    """

    hang: dict[Hang, float] = field(default_factory=lambda: dict.fromkeys(Hang, 0.0))
    shelf_length: float = 0.0
    shelf_area: float = 0.0
    open_floor: float = 0.0
    easy_least: float = 0.0
    easy_most: float = 0.0
    pieces: Counter[str] = field(default_factory=Counter)
    shelf_free: float = 0.0
    stored: Counter[str] = field(default_factory=Counter)


def measures_of(case: Case) -> Measures:
    """What the zones of a layout add up to."""
    found, things = Measures(), things_in(case)
    for _, bay, zone in case.zones():
        found.pieces.update(zone.items)
        for kept in zone.stored:
            found.stored[kept.kind] += kept.count
        if zone.kind is ZoneKind.ROD and zone.hang is not None:
            found.hang[zone.hang] += bay.width
        elif zone.kind is ZoneKind.SHELF:
            found.shelf_length += bay.width
            found.shelf_area += bay.width * zone_depth(bay, zone)
            # Closer shelves serve what is counted alone, and meet no need for shelf length.
            if not is_fine(case, zone):
                found.shelf_free += bay.width - sum(rows_of(zone, things))
        elif zone.kind is ZoneKind.FLOOR and not zone.items:
            found.open_floor += bay.width
    for placed in case.bays:
        length = _easy_width(case, placed)
        # At the very edge of easy reach a height may count or not: hence a least and a most.
        for height, part in _handled(case, placed.bay.zones):
            found.easy_least += part * length if _is_easy(case, height, -case.tolerance) else 0.0
            found.easy_most += part * length if _is_easy(case, height, case.tolerance) else 0.0
    return found


def is_fine(case: Case, zone: Zone) -> bool:
    """Whether a shelf has less clear height than wished, so that it serves counted things alone."""
    needs = case.brief.needs
    usual = min(case.brief.construction.min_shelf_clear, needs.shelf_spacing - case.thickness)
    return zone.kind is ZoneKind.SHELF and zone.top - zone.bottom < usual - case.tolerance


def _handled(case: Case, zones: tuple[Zone, ...]) -> Iterator[tuple[float, float]]:
    """Heights at which the rods and boards of a bay are used, and what each counts for: shelves
    closer together than wished for their part of the spacing."""
    for zone in zones:
        if zone.kind is ZoneKind.SHELF:
            pitch = zone.top - zone.bottom + case.thickness
            yield zone.bottom, pitch / case.brief.needs.shelf_spacing if is_fine(case, zone) else 1
        elif zone.kind is ZoneKind.ROD and zone.rod_height is not None:
            yield zone.rod_height, 1


def _is_easy(case: Case, height: float, slack: float) -> bool:
    """Whether a height lies in the easy band, widened by `slack`."""
    reach = case.reach
    return reach.easy_low - slack <= height <= reach.easy_high + slack


def _easy_width(case: Case, placed: Placed) -> float:
    """Width of a bay that counts for easy reach: in a reach-in, before an opening."""
    if not case.reach_in:
        return placed.bay.width
    seen = [
        span
        for opening, _ in case.openings()
        for span in case.plan.seen_through(opening, placed.wall)
    ]
    parts = (common_part(placed.clear, span) for span in united(seen))
    return sum(max(0.0, high - low) for low, high in parts)
