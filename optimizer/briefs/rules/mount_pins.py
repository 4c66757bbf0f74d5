"""Rules of mounts to keep: asked for, on their wall, apart from bays, openings and each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.briefs.rules.features import unknown_wall
from optimizer.domain.layout import Carried
from optimizer.errors import Fault
from optimizer.geometry.stretches import pin_ends
from optimizer.reference.mounted import mounted_of


@dataclass(frozen=True, slots=True)
class _Kept:
    """What is kept from `start` to `end` of a wall."""

    pointer: str
    name: str
    wall: str
    start: float
    end: float

    def over(self, view: BriefView, start: float, end: float) -> bool:
        """Whether it reaches over another range of its wall."""
        return self.start < end - view.tolerance and start < self.end - view.tolerance


def _known(view: BriefView) -> Iterator[Fault]:
    """Each pin names hooks or a mirror of the needs, once, and a wall of the room."""
    asked = {mount.id for mount in mounted_of(view.brief)}
    seen: set[str] = set()
    for i, pin in enumerate(view.brief.mount_pins):
        pointer = f"/mount_pins/{i}"
        if pin.mount not in asked:
            known = ", ".join(sorted(asked)) or "none"
            detail = f"no hooks and no mirror are called {pin.mount!r}; asked for: {known}"
            yield Fault(f"{pointer}/mount", detail, "unknown_mount")
        elif pin.mount in seen:
            yield Fault(f"{pointer}/mount", f"{pin.mount!r} is kept in two places", "duplicate_id")
        seen.add(pin.mount)
        if view.wall(pin.wall) is None:
            yield unknown_wall(view, pointer, pin.wall)


def _fit(view: BriefView) -> Iterator[Fault]:
    """A kept mount ends on its wall, over no opening or its casing."""
    for kept in _mounts(view):
        wall = view.wall(kept.wall)
        if wall is not None and kept.end > wall.clear_length + view.tolerance:
            yield Fault(
                f"{kept.pointer}/start",
                f"{kept.name} to {view.say(kept.end)} reaches beyond wall {wall.id}, which is "
                f"{view.say(wall.clear_length)} long",
                "outside_wall",
            )
        for _, opening, on in view.openings:
            trim = opening.start - opening.casing, opening.start + opening.width + opening.casing
            if on is wall and kept.over(view, *trim):
                detail = f"{kept.name} hangs over the opening of wall {kept.wall} or its casing"
                yield Fault(f"{kept.pointer}/start", detail, "overlap")


def _apart(view: BriefView) -> Iterator[Fault]:
    """No two kept things take the same wall."""
    mounts = list(_mounts(view))
    for kept in mounts:
        for bay in _bays(view):
            if bay.wall == kept.wall and kept.over(view, bay.start, bay.end):
                yield _overlap(kept, bay)
    for one, other in combinations(mounts, 2):
        if one.wall == other.wall and one.over(view, other.start, other.end):
            yield _overlap(other, one)


def _overlap(kept: _Kept, other: _Kept) -> Fault:
    """The fault of one thing kept where another is kept."""
    detail = f"{kept.name} hangs where {other.name} of wall {kept.wall} is kept"
    return Fault(f"{kept.pointer}/start", detail, "overlap")


def _mounts(view: BriefView) -> Iterator[_Kept]:
    """The kept mounts that the brief asks for."""
    widths = {mount.id: mount.width for mount in mounted_of(view.brief)}
    for i, pin in enumerate(view.brief.mount_pins):
        if pin.mount in widths:
            end = pin.start + widths[pin.mount]
            yield _Kept(f"/mount_pins/{i}", pin.mount, pin.wall, pin.start, end)


def _bays(view: BriefView) -> Iterator[_Kept]:
    """The pinned bays with their uprights."""
    panel = view.brief.construction.panel_thickness
    for i, pin in enumerate(view.brief.pins):
        wall = view.wall(pin.wall)
        if wall is not None:
            ends = pin_ends(pin, wall.clear_length, panel)
            left, right = (panel if end is Carried.UPRIGHT else 0.0 for end in ends)
            start, end = pin.start - left, pin.start + pin.width + right
            yield _Kept(f"/pins/{i}", "a bay", pin.wall, start, end)


_NEEDS = ("mount_pins", "needs")
RULES = (
    Rule(_known, (*_NEEDS, "room.walls")),
    Rule(_fit, (*_NEEDS, "room.walls", "room.openings")),
    Rule(_apart, (*_NEEDS, "pins", "room.walls", "construction")),
)
