"""One bay pattern: a stack of zones, and the range of widths that it may have."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.patterns.column import Column
from optimizer.patterns.measures import Measures
from optimizer.tolerances import FINE


@dataclass(frozen=True, slots=True)
class Tier:
    """How a bay up to `width` is supported between its ends, and what that costs [brief units].

    `stiffened` boards have a stiffener in front; `supports` is the number of mid supports, with
    pieces of at most `piece` between them. `cost` and `parts` are added to those of a plain bay.
    """

    width: float
    stiffened: bool = False
    supports: int = 0
    cost: float = 0.0
    parts: int = 0
    piece: float = 0.0

    @property
    def longest(self) -> float:
        """Longest piece of board between its ends and mid supports."""
        return min(self.piece, self.width) if self.supports else self.width


@dataclass(frozen=True, slots=True)
class Pattern:
    """A vertical stack of zones with its depth, the height of its top board, and its range of
    widths.

    `tiers` rise in width and in cost, and a bay has the first one that is wide enough. A `hosting`
    pattern has a floor zone made for items taller than `floor_above`, and is used only with items
    in it.
    """

    label: str
    kind: str
    zones: tuple[Zone, ...]
    depth: float
    height: float
    min_width: float
    tiers: tuple[Tier, ...]
    hosting: bool
    measures: Measures
    floor_above: float = 0.0

    @property
    def max_width(self) -> float:
        """Greatest width."""
        return self.tiers[-1].width

    @property
    def boards(self) -> tuple[Zone, ...]:
        """Shelf zones, from the bottom up."""
        return tuple(zone for zone in self.zones if zone.kind is ZoneKind.SHELF)

    @property
    def has_rod(self) -> bool:
        """Whether something hangs in it."""
        return any(zone.kind is ZoneKind.ROD for zone in self.zones)

    @property
    def shelves_alone(self) -> bool:
        """Whether it holds boards as deep as itself and nothing that hangs."""
        depths = {self.depth if board.depth is None else board.depth for board in self.boards}
        return not self.has_rod and all(abs(depth - self.depth) < FINE for depth in depths)

    def stands_in(self, column: Column) -> bool:
        """Whether its uprights may stand in `column`."""
        return column.free(0.0, self.height, self.depth)

    def tier(self, width: float) -> Tier:
        """The tier of a bay of this width; the last one for wider bays."""
        fitting = (tier for tier in self.tiers if width <= tier.width + FINE)
        return next(fitting, self.tiers[-1])

    def stiffened(self, width: float) -> bool:
        """Whether a bay of this width has stiffeners."""
        return self.tier(width).stiffened


def _number(value: float) -> str:
    """A length to a thousandth, without idle zeros."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


_SAME = 1e-3
"""Spacings that differ by less are one [brief units]."""


def _pitch(pair: Sequence[Zone]) -> float:
    """The distance of two zones over one another."""
    return pair[1].bottom - pair[0].bottom


def label_of(zones: Sequence[Zone], *, hosting: bool = False) -> str:
    """Name of a stack from bottom to top, such as floor:26.5+short@69.5+shelf*2x12@73.25-83.25.

    No other stack of one column has the same. Shelves that are equally far apart are counted, with
    the tops of the lowest and the highest of them; a floor zone made for items is `items:26.5`.
    """
    parts: list[str] = []
    run: list[Zone] = []
    for zone in zones:
        if zone.kind is ZoneKind.SHELF:
            if not _goes_on(run, zone):
                # Of two boards with another distance over them the upper one may begin a run.
                kept = run[1:] if len(run) == 2 and run[0].depth == zone.depth else []
                parts += _told(run[: len(run) - len(kept)])
                run = kept
            run.append(zone)
            continue
        parts += _told(run)
        run = []
        if zone.kind is ZoneKind.FLOOR:
            parts.append(f"{'items' if hosting else 'floor'}:{_number(zone.top)}")
        else:
            parts.append(f"{zone.hang}@{_number(zone.rod_height or 0.0)}")
    return "+".join([*parts, *_told(run)])


def _goes_on(run: Sequence[Zone], zone: Zone) -> bool:
    """Whether a shelf is as deep as the one under it, and as far from it as that from the next."""
    if not run:
        return True
    level = len(run) < 2 or abs(_pitch(run[-2:]) - _pitch((run[-1], zone))) <= _SAME
    return level and run[-1].depth == zone.depth


def _told(run: Sequence[Zone]) -> list[str]:
    """Equally spaced shelves as one piece of a label; nothing for none."""
    if not run:
        return []
    depth = "" if run[0].depth is None else f"x{_number(run[0].depth)}"
    if len(run) == 1:
        return [f"shelf{depth}@{_number(run[0].bottom)}"]
    return [f"shelf*{len(run)}{depth}@{_number(run[0].bottom)}-{_number(run[-1].bottom)}"]


def former_label_of(zones: Sequence[Zone], *, hosting: bool = False) -> str:
    """The name that a stack had before names told where the highest shelf of a run is.

    Pins of stored studies may be named so. Shelves were counted on over the lowest one whatever its
    distance, and the count began again only where the distance changed further up.
    """
    parts: list[str] = []
    run: list[Zone] = []
    for zone in [*zones, None]:
        shelf = zone is not None and zone.kind is ZoneKind.SHELF
        if run and (not shelf or _parted(run, zone)):
            times = f"*{len(run)}" if len(run) > 1 else ""
            parts.append(_told(run[:1])[0].replace("shelf", f"shelf{times}", 1))
            run = []
        if zone is not None and shelf:
            run.append(zone)
        elif zone is not None:
            parts.append(label_of([zone], hosting=hosting))
    return "+".join(parts)


def _parted(run: Sequence[Zone], zone: Zone | None) -> bool:
    """Whether a shelf is at another distance than those above the lowest of a run."""
    if zone is None or len(run) < 3:
        return False
    return abs(_pitch(run[-2:]) - _pitch((run[-1], zone))) > _SAME


def look_of(zones: Sequence[Zone]) -> str:
    """What distinguishes a bay from others at a glance: its rods, or its shelves.

    What stands under a rod does not count, since it is moved in an afternoon.
    """
    rods = [str(zone.hang) for zone in zones if zone.kind is ZoneKind.ROD]
    if rods:
        return "+".join(rods)
    return "shelves over floor" if zones and zones[0].kind is ZoneKind.FLOOR else "shelves"


def kind_of(zones: Sequence[Zone]) -> str:
    """What a person would call a bay: by its rods or shelves, and by what is under them."""
    rods = [str(zone.hang) for zone in zones if zone.kind is ZoneKind.ROD]
    head = "+".join(rods) if rods else "shelves"
    if zones and zones[0].kind is ZoneKind.FLOOR:
        return f"{head} over floor"
    if rods and zones[0].kind is ZoneKind.SHELF:
        return f"{head} over shelves"
    return head
