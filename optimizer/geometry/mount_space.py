"""Where on the walls hooks and mirrors may hang: whatever stands there, what the room allows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from optimizer.geometry.stretches import Stretch
from optimizer.reference.mounted import Mounted
from optimizer.tolerances import FINE

Interval = tuple[float, float]


def free_for(mount: Mounted, stretches: Sequence[Stretch], wall: int) -> list[Interval]:
    """Ranges of a wall, at least as wide as `mount`, over which nothing of the room is in its way.

    `stretches` are those of the survey as it was cut, none joined over what keeps out no bay. Of
    what the brief keeps in its place none is free, but for the mount that is kept there.
    """
    found: list[Interval] = []
    for start, end in _pieces(mount, stretches, wall):
        # Stretches are cut for bays; a mount goes over a cut that does not concern it.
        if found and abs(found[-1][1] - start) < FINE:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return [(low, high) for low, high in found if high - low >= mount.width - FINE]


def _pieces(mount: Mounted, stretches: Sequence[Stretch], wall: int) -> Iterator[Interval]:
    """Stretches of a wall that a mount may hang in."""
    for stretch in stretches:
        own = stretch.mount == mount.id if stretch.mount else stretch.pin is None
        if stretch.wall == wall and own and _takes(mount, stretch):
            yield stretch.start, stretch.end


def _takes(mount: Mounted, stretch: Stretch) -> bool:
    """Whether all of a stretch is high, deep and free enough."""
    if mount.top > stretch.height + FINE or mount.depth > stretch.depth + FINE:
        return False
    return not any(
        block.bottom < mount.top - FINE
        and block.top > mount.bottom + FINE
        and block.depth < mount.depth - FINE
        for block in stretch.blocks
    )
