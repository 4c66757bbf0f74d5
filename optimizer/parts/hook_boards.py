"""The boards that hooks go on, and the ids that hooks and mirrors have in the pack."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.layout import Mount
from optimizer.domain.pack import Box, Edge, Part, PartKind, Stock
from optimizer.parts.job import Job
from optimizer.reference.mounted import BOARD_HEIGHT_IN
from optimizer.reference.stored import in_units


def mounts_on(wall: str, job: Job) -> tuple[Mount, ...]:
    """Hooks and mirrors of a wall from left to right."""
    own = (mount for mount in job.layout.mounts if mount.wall == wall)
    return tuple(sorted(own, key=lambda mount: mount.start))


def part_id(mount: Mount, job: Job) -> str:
    """Id of a mount in the pack: those of wall A are A-H1, A-H2 from the left."""
    number = mounts_on(mount.wall, job).index(mount) + 1
    return f"{mount.wall}-H{number}"


def hook_boards(wall: str, job: Job) -> Iterator[Part]:
    """The boards of a wall's hooks."""
    rules, height = job.construction, in_units(BOARD_HEIGHT_IN, job.units)
    for mount in mounts_on(wall, job):
        if mount.kind == "hooks":
            # The board is centred on its hooks, which go through its middle.
            length, middle = job.cut(mount.width), mount.hook_height or 0.0
            yield Part(
                id=part_id(mount, job),
                name="Hook board",
                kind=PartKind.HOOK_BOARD,
                stock=Stock.SHEET,
                material=rules.material.value,
                length=length,
                width=height,
                thickness=job.panel,
                wall=wall,
                bays=(),
                box=Box(
                    along=mount.start,
                    out=0.0,
                    bottom=middle - height / 2.0,
                    size_along=length,
                    size_out=job.panel,
                    size_up=height,
                ),
                shown=(Edge.TOP, Edge.BOTTOM, Edge.LEFT, Edge.RIGHT),
                note=f"{len(mount.hooks)} hooks for {mount.id}",
            )
