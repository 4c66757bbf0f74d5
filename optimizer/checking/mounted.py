"""R20 Mounted: hooks and mirrors hang on wall that is kept for them, free in front."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from optimizer.checking.access import walked_before
from optimizer.checking.boxes import Solid
from optimizer.checking.case import Case, Placed
from optimizer.checking.openings import floor_before
from optimizer.checking.shapes import Box, gap_between
from optimizer.domain.layout import Bay, Mount
from optimizer.errors import Fault
from optimizer.reference.mounted import Mounted, mounted_of


@dataclass(frozen=True, slots=True)
class Hung:
    """A mount on a wall of the room, `shape` as a bay that takes the same wall and floor."""

    mount: Mount
    shape: Placed
    pointer: str


def mounts_on(case: Case) -> list[Hung]:
    """The mounts of a layout whose walls the room has."""
    found = []
    for index, mount in enumerate(case.layout.mounts):
        line = case.plan.find(mount.wall)
        if line is None:
            continue
        along = (mount.start, mount.end)
        # Rules of floor and access ask only where a bay stands: a stand-in for a bay will do. It is
        # made without validation, which would refuse one without zones.
        bay = Bay.model_construct(
            id=mount.id,
            wall=mount.wall,
            start=mount.start,
            width=mount.width,
            depth=mount.depth,
            pattern=mount.kind,
            zones=(),
            height=mount.top,
            stiffened=False,
            mid_supports=(),
        )
        # Numbers below zero, so that it is never taken for a bay of the layout.
        shape = Placed(-1 - index, bay, line, along, line.rect(along, (0.0, mount.depth)))
        found.append(Hung(mount, shape, f"/mounts/{index}"))
    return found


def mount_solids(case: Case) -> list[Solid]:
    """Boxes of the mounts with what hangs on them."""
    return [
        Solid(
            hung.pointer,
            f"{hung.mount.kind} {hung.mount.id}",
            Box(hung.shape.footprint, (hung.mount.bottom, hung.mount.top)),
        )
        for hung in mounts_on(case)
    ]


def check_mounted(case: Case) -> Iterator[Fault]:
    """Findings on mounts that are not asked for, made otherwise, or where they may not hang."""
    wanted = {mount.id: mount for mount in mounted_of(case.brief)}
    seen: set[str] = set()
    for index, mount in enumerate(case.layout.mounts):
        pointer, asked = f"/mounts/{index}", wanted.get(mount.id)
        if asked is None or mount.id in seen:
            detail = "hangs twice" if mount.id in seen else "is not asked for by the brief"
            yield Fault(pointer, f"{mount.kind} {mount.id} {detail}", "mount_unknown")
        else:
            yield from _as_asked(case, pointer, mount, asked)
        seen.add(mount.id)
        if case.plan.find(mount.wall) is None:
            yield Fault(f"{pointer}/wall", f"the room has no wall {mount.wall}", "unknown_wall")
    for hung in mounts_on(case):
        yield from _on_wall(case, hung)
        yield from _beside(case, hung)
        yield from _before(case, hung)


def _as_asked(case: Case, pointer: str, mount: Mount, asked: Mounted) -> Iterator[Fault]:
    """Size, height and hooks are those of the brief."""
    for key in ("width", "bottom", "top", "depth"):
        own, wanted = getattr(mount, key), getattr(asked, key)
        if abs(own - wanted) > case.tolerance:
            detail = f"{key} of {mount.id} is {case.say(own)}; {case.say(wanted)} is asked for"
            yield Fault(f"{pointer}/{key}", detail, "mount_size")
    hooks = asked.hooks(mount.start)
    same = len(hooks) == len(mount.hooks) and all(
        abs(one - other) <= case.tolerance for one, other in zip(hooks, mount.hooks, strict=True)
    )
    height = (mount.hook_height or 0.0) - (asked.hook_height or 0.0)
    if mount.kind != asked.kind or not same or abs(height) > case.tolerance:
        detail = f"{mount.id} is not the {asked.kind} that the brief asks for"
        yield Fault(pointer, detail, "mount_size")


def _on_wall(case: Case, hung: Hung) -> Iterator[Fault]:
    """R1, R3, R6: on the wall, under its ceiling, beside its openings."""
    mount, line = hung.mount, hung.shape.wall
    if mount.end > line.length + case.tolerance:
        detail = f"{mount.id} ends at {case.say(mount.end)}; wall {mount.wall} is "
        yield Fault(hung.pointer, f"{detail}{case.say(line.length)} long", "wall_fit")
    clear = line.clear_height(hung.shape.along, case.brief.room.ceiling_height)
    if mount.top > clear + case.tolerance:
        detail = f"{mount.id} reaches up to {case.say(mount.top)}; the wall is "
        yield Fault(hung.pointer, f"{detail}{case.say(clear)} high there", "height")
    for opening, wall in case.openings():
        trim = (opening.start - opening.casing, opening.start + opening.width + opening.casing)
        if wall is line and gap_between(hung.shape.along, trim) < -case.tolerance:
            detail = f"{mount.id} hangs over the opening on wall {mount.wall} or its casing"
            yield Fault(hung.pointer, detail, "opening")


def _beside(case: Case, hung: Hung) -> Iterator[Fault]:
    """No bay and no other mount takes the same wall or floor, and corners stay open (R7)."""
    mount, shape = hung.mount, hung.shape
    others = [(placed, f"bay {placed.bay.id}") for placed in case.bays]
    others += [
        (other.shape, f"{other.mount.kind} {other.mount.id}")
        for other in mounts_on(case)
        # Each pair once: numbers run downwards from -1.
        if other.shape.index < shape.index
    ]
    for other, name in others:
        if other.footprint.overlaps(shape.footprint, case.tolerance):
            detail = f"{mount.kind} {mount.id} hangs where {name} is"
            yield Fault(hung.pointer, detail, "mount_taken")


def _before(case: Case, hung: Hung) -> Iterator[Fault]:
    """R8, R9: no bay stands in front within the aisle, all of the width; in a reach-in the wall
    faces an opening."""
    mount, shape = hung.mount, hung.shape
    if case.reach_in:
        if not any(case.plan.seen_through(opening, shape.wall) for opening, _ in case.openings()):
            detail = f"wall {mount.wall} faces no opening; {mount.id} is not reached there"
            yield Fault(hung.pointer, detail, "reach_in_wall")
        return
    front = shape.wall.rect(shape.along, (mount.depth, mount.depth + case.brief.needs.aisle))
    for placed in case.bays:
        if placed.footprint.overlaps(front, case.tolerance):
            detail = f"bay {placed.bay.id} stands before {mount.kind} {mount.id}, within the aisle"
            yield Fault(hung.pointer, detail, "aisle")


def check_mount_openings(case: Case) -> Iterator[Fault]:
    """R6: nothing hangs over the floor before an opening."""
    if case.reach_in:
        return
    for hung in mounts_on(case):
        shape = hung.shape.footprint.shape(case.tolerance)
        for opening, line in case.openings():
            if shape.intersects(floor_before(case, opening, line)):
                detail = f"{hung.mount.id} hangs in the way before the opening on wall "
                yield Fault(hung.pointer, f"{detail}{opening.wall}", "opening_floor")


def check_mount_access(case: Case, walked: Any) -> Iterator[Fault]:
    """R9: one can stand before a mount."""
    for hung in mounts_on(case):
        spans = walked_before(case, hung.shape, walked)
        longest = max((high - low for low, high in spans), default=0.0)
        wanted = min(hung.mount.width, case.brief.construction.corner_opening)
        if longest < wanted - case.tolerance:
            detail = f"of the floor before {hung.mount.id} {case.say(longest)} in one piece is "
            yield Fault(hung.pointer, f"{detail}reached; {case.say(wanted)} is the least", "access")
