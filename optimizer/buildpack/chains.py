"""Dimension chains along the walls: what follows what, from the left corner to the right."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.layout import Bay, Carried
from optimizer.domain.pack import ChainLink, WallChain
from optimizer.errors import BuildError
from optimizer.parts.hook_boards import mounts_on
from optimizer.parts.job import Job
from optimizer.parts.strips import strips_on
from optimizer.parts.uprights import uprights_on


def wall_chains(job: Job) -> tuple[WallChain, ...]:
    """One chain for each wall in use: uprights, bays, hooks, mirrors, strips and what stays open.

    The links follow one another without gap and add up to the wall's least reading.
    """
    used = (w for w in job.walls if w in job.bays_by_wall or mounts_on(w, job))
    return tuple(_chain(wall, job) for wall in used)


def _chain(wall: str, job: Job) -> WallChain:
    """The chain of one wall; BuildError names what lies over something else."""
    total = job.walls[wall].clear_length
    links: list[ChainLink] = []
    here = 0.0
    # By start alone: of two that begin together neither label says which comes first.
    for label, start, length in sorted(_pieces(wall, job), key=lambda piece: piece[1]):
        if start > here + job.tolerance:
            links.append(ChainLink(label="open", start=here, length=start - here))
        elif start < here - job.tolerance:
            raise BuildError(f"{label} of wall {wall} lies over what is before it")
        # Gaps within the tolerance are closed, so that the links add up without a rest.
        begin = max(start, here) if start > here + job.tolerance else here
        end = start + length
        links.append(ChainLink(label=label, start=begin, length=end - begin))
        here = end
    if here < total - job.tolerance:
        links.append(ChainLink(label="open", start=here, length=total - here))
    # The tape ends at the wall: what noise is left goes to the last link.
    elif links:
        last = links[-1]
        links[-1] = last.model_copy(update={"length": total - last.start})
    return WallChain(wall=wall, total=total, links=tuple(links))


def _pieces(wall: str, job: Job) -> Iterator[tuple[str, float, float]]:
    """Label, start and length of everything along a wall, in no order."""
    for upright in uprights_on(wall, job):
        yield upright.id, upright.start, job.panel
    for mount in mounts_on(wall, job):
        yield mount.id, mount.start, mount.width
    for bay in job.bays_by_wall.get(wall, ()):
        yield bay.id, bay.start, bay.width
        yield from _run_through(bay, job)
    for strip in strips_on(wall, job):
        if strip.width:
            yield strip.part or "caulk", strip.start, strip.width


def _run_through(bay: Bay, job: Job) -> Iterator[tuple[str, float, float]]:
    """At a wrapped corner, the depth of the next wall's boards that a bay ends against."""
    length = job.walls[bay.wall].clear_length
    for left, carried in ((True, bay.left), (False, bay.right)):
        if carried is Carried.CORNER:
            other = job.side_wall_of(bay, left=left)
            start = 0.0 if left else bay.end
            yield f"boards of {other}", start, bay.start if left else length - bay.end
