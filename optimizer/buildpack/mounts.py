"""Hooks and mirrors: what is bought and driven for them, where they hang, what to mind."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.construction import Fastener
from optimizer.domain.layout import Mount
from optimizer.domain.pack import Caution, MarkoutLine
from optimizer.parts.hook_boards import mounts_on, part_id
from optimizer.parts.job import Job
from optimizer.structure.fixings import stud_fixing, studs_caught

HOOK_KEY = "coat_hook"
CLIP_KEY = "mirror_clip"
SCREWS_PER_STUD = 2
"""Screws of a hook board at each stud: common practice."""
LEAST_STUDS = 2
"""A board or a mirror on fewer studs gets hollow-wall anchors at its ends (common practice)."""
ANCHORS = 2
"""Anchors at an end, one above the other: common practice."""
CLIPS_PER_MIRROR = 4
GLASS_LB_SQ_FT = 3.3
"""Weight of 1/4 in glass, from its density of 2,500 kg/m3 (EN 572-1, from memory)."""
GLASS_KG_M2 = 16.0

Counted = tuple[str, str, int, str, str]
"""Key, name, count, what it is used for and the part of something bought by the piece."""


def _anchors(mount: Mount, job: Job) -> int:
    """How many hollow-wall anchors a hook board or mirror needs for want of studs."""
    return max(0, LEAST_STUDS - len(_studs(mount, job))) * ANCHORS


def _studs(mount: Mount, job: Job) -> tuple[float, ...]:
    """Studs that it can be fastened to, by their distance from the left end of the wall."""
    return studs_caught(job.walls[mount.wall], mount.start, mount.end, job.units)


def mount_hardware(job: Job) -> Iterator[Counted]:
    """What is bought for hooks and mirrors by the piece, and what fastens them."""
    packing = job.panel - job.construction.cleat_thickness
    for mount in job.layout.mounts:
        own = part_id(mount, job)
        if mount.kind == "hooks":
            yield HOOK_KEY, "coat hook", len(mount.hooks), "hooks on their boards", own
            fixing = stud_fixing(job.construction, job.units, packing, kind=Fastener.SCREWS)
            count = SCREWS_PER_STUD * len(_studs(mount, job))
            yield fixing.key, fixing.name, count, "hook boards to studs", own
        else:
            size = (
                f"mirror clip for {job.short(mount.width)} x {job.short(mount.top - mount.bottom)}"
            )
            yield CLIP_KEY, size, CLIPS_PER_MIRROR, "mirrors to the wall", own
        yield "wall_anchor", "hollow-wall anchor", _anchors(mount, job), "hooks and mirrors", own


def mount_lines(wall: str, job: Job) -> Iterator[MarkoutLine]:
    """Where hook boards and mirrors go on a wall: their top edges."""
    packing = job.panel - job.construction.cleat_thickness
    for mount in mounts_on(wall, job):
        hooks, studs, anchors = mount.kind == "hooks", _studs(mount, job), _anchors(mount, job)
        fixing = stud_fixing(job.construction, job.units, packing, kind=Fastener.SCREWS)
        notes = [mount.id]
        if hooks:
            places = ", ".join(job.short(place) for place in mount.hooks)
            notes.append(f"hooks {job.short(mount.hook_height or 0.0)} up, at {places}")
        else:
            notes.append(
                f"bottom edge {job.short(mount.bottom)} up; clips on studs where there are"
            )
        if anchors:
            notes.append(f"{anchors} hollow-wall anchors: too few studs behind it")
        yield MarkoutLine(
            order=1,
            wall=wall,
            kind="hook_board" if hooks else "mirror",
            part=part_id(mount, job),
            height=mount.top,
            from_datum=mount.top - job.construction.datum_height,
            start=mount.start,
            end=mount.end,
            studs=studs,
            fastener=fixing.name if hooks else "mirror clip",
            fastener_length=fixing.length if hooks else None,
            fasteners=SCREWS_PER_STUD * len(studs) if hooks else CLIPS_PER_MIRROR,
            flagged=bool(anchors),
            note="; ".join(notes),
        )


def mount_cautions(job: Job) -> Iterator[Caution]:
    """What to mind with mirrors and hooks."""
    for mount in job.layout.mounts:
        if mount.kind == "mirror":
            yield Caution(
                where="assembly",
                topic="mirror",
                text=f"The mirror {mount.id} weighs about {_weight(mount, job)} if of 1/4 in "
                "(6 mm) glass: two people carry it. Buy one with a safety backing, and clips and "
                "anchors rated for more than it weighs.",
                source="common practice",
            )
    if any(mount.kind == "hooks" for mount in job.layout.mounts):
        yield Caution(
            where="assembly",
            topic="hooks",
            text="Hook boards are for coats and bags, not for climbing: screw them to studs, and "
            "keep hooks out of the way of a child's eyes.",
            source="common practice",
        )


def _weight(mount: Mount, job: Job) -> str:
    """The weight of a mirror's glass, as a text with its unit."""
    area = mount.width * (mount.top - mount.bottom)
    if job.weight_unit == "lb":
        return f"{area / 144.0 * GLASS_LB_SQ_FT:.0f} lb"
    return f"{area / 1e6 * GLASS_KG_M2:.0f} kg"
