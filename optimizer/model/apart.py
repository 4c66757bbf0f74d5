"""Keeping a new layout at a distance from one already found.

With shares of wall length (and of pieces) that add up to the same total in every layout,
the distance is the sum of what the earlier layout has and the new one lacks. For each
kind the earlier layout has, v is at most that difference; one binary picks whether it
counts. Only those kinds matter, so a reference layout costs a handful of binaries.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pulp import lpSum

from optimizer.domain.layout import Bay
from optimizer.model.formulation import Formulation
from optimizer.scoring.distance import EMPTY, ITEM_SHARE, portrait_of


class Reference:
    """Constraints that keep the model at least `least` away from `bays`."""

    def __init__(self, model: Formulation, bays: Sequence[Bay], least: float, number: int) -> None:
        self.model = model
        self.number = number
        self.portrait = portrait_of(bays)
        brief = model.rules.brief
        self.walls = carrying_walls(model)
        total = sum(brief.room.wall(wall).clear_length for wall in self.walls)
        pieces = sum(item.count for item in brief.needs.items)
        wall_share = (1.0 - ITEM_SHARE if pieces else 1.0) / total if total else 0.0
        terms = [wall_share * moved for moved in self._moved_walls()]
        if pieces:
            terms += [ITEM_SHARE / pieces * moved for moved in self._moved_items()]
        model.add(lpSum(terms) >= least, f"apart_from_{number}")

    def _lacking(self, had: float, now: Any, most: float, name: str) -> Any:
        """max(0, had - now) from below, where now is at most `most`."""
        model = self.model
        lacking = model.continuous(f"v_{self.number}_{name}", had)
        counts = model.binary(f"y_{self.number}_{name}")
        model.add(lacking <= had * counts, f"v_on_{self.number}_{name}")
        spread = max(most - had, 0.0)
        model.add(lacking <= had - now + spread * (1 - counts), f"v_by_{self.number}_{name}")
        return lacking

    def _moved_walls(self) -> list[Any]:
        names = [wall.id for wall in self.model.rules.brief.room.walls]
        moved = []
        for index, wall in enumerate(names):
            if wall not in self.walls:
                continue
            length = self.model.rules.brief.room.wall(wall).clear_length
            widths = self._widths(index)
            had = {k: w for (name, k), w in self.portrait.widths.items() if name == wall}
            empty = length - sum(had.values())
            now_empty = length - lpSum(lpSum(w) for w in widths.values())
            for place, (kind, width) in enumerate(sorted(had.items())):
                now = lpSum(widths.get(kind, []))
                moved.append(self._lacking(width, now, length, f"{index}_{place}"))
            if empty > 1e-6:
                moved.append(self._lacking(empty, now_empty, length, f"{index}_{EMPTY}"))
        return moved

    def _widths(self, wall: int) -> dict[str, list[Any]]:
        """Width by kind on one wall, as expressions."""
        widths: dict[str, list[Any]] = {}
        for vars_ in self.model.slots:
            if self.model.surveyed.stretches[vars_.slot.first].wall == wall:
                widths.setdefault(vars_.slot.pattern.kind, []).append(vars_.width)
        return widths

    def _moved_items(self) -> list[Any]:
        moved = []
        for index, item in enumerate(self.model.rules.brief.needs.items):
            places = self._places(item.id)
            had = {
                (wall, level): count
                for (name, wall, level), count in self.portrait.places.items()
                if name == item.id
            }
            nowhere = item.count - sum(had.values())
            for place, (key, count) in enumerate(sorted(had.items())):
                now = lpSum(places.get(key, []))
                moved.append(self._lacking(count, now, item.count, f"item_{index}_{place}"))
            if nowhere > 0:
                now = item.count - lpSum(lpSum(p) for p in places.values())
                moved.append(self._lacking(nowhere, now, item.count, f"item_{index}_{EMPTY}"))
        return moved

    def _places(self, item: str) -> dict[tuple[str, str], list[Any]]:
        """Pieces of one item by wall and level, as expressions."""
        names = [wall.id for wall in self.model.rules.brief.room.walls]
        places: dict[tuple[str, str], list[Any]] = {}
        for vars_ in self.model.slots:
            wall = names[self.model.surveyed.stretches[vars_.slot.first].wall]
            for host, held in vars_.hosts:
                level = "floor" if host.on_floor else "shelf"
                for name, count in host.group.counts:
                    if name == item:
                        places.setdefault((wall, level), []).append(count * held)
        return places


def carrying_walls(model: Formulation) -> list[str]:
    """Ids of the walls that may carry bays."""
    names = [wall.id for wall in model.rules.brief.room.walls]
    return sorted({names[stretch.wall] for stretch in model.surveyed.stretches})
