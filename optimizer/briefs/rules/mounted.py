"""Rules of hooks and mirrors: each has a name, and goes onto some wall."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.context import Case, Rule
from optimizer.errors import Fault
from optimizer.reference.mounted import mounted_of


def _pointers(case: Case) -> list[str]:
    """JSON Pointers of hooks and mirrors, in the order of `mounted_of`."""
    needs = case.brief.needs
    hooks = [f"/needs/hooks/{i}" for i in range(len(needs.hooks))]
    return [*hooks, *(f"/needs/mirrors/{i}" for i in range(len(needs.mirrors)))]


def _ids(case: Case) -> Iterator[Fault]:
    """Each row of hooks and each mirror has a name of its own."""
    seen: dict[str, str] = {}
    needs = case.brief.needs
    ids = [line.id for line in needs.hooks] + [line.id for line in needs.mirrors]
    for name, pointer in zip(ids, _pointers(case), strict=True):
        first = seen.setdefault(name, pointer)
        if first != pointer:
            detail = f"{name!r} already names {first}; give each its own id"
            yield Fault(f"{pointer}/id", detail, "duplicate_id")


def _sizes(case: Case) -> Iterator[Fault]:
    """Each is no wider than the longest wall, no higher than the highest, and leaves a room."""
    longest = case.longest.clear_length
    for mount, pointer in zip(mounted_of(case.brief), _pointers(case), strict=True):
        wide, high = ("count", "height") if mount.kind == "hooks" else ("width", "height")
        if mount.width > longest + case.tolerance:
            detail = f"{mount.id} takes {case.say(mount.width)} of a wall; the longest is "
            yield Fault(f"{pointer}/{wide}", f"{detail}{case.say(longest)}", "fits_nowhere")
        if mount.top > case.top + case.tolerance:
            detail = f"{mount.id} reaches up to {case.say(mount.top)}; the highest wall is "
            yield Fault(f"{pointer}/{high}", f"{detail}{case.say(case.top)} high", "fits_nowhere")
        if mount.depth > case.depth + case.tolerance:
            detail = f"{mount.id} stands out {case.say(mount.depth)}; the room is "
            yield Fault(f"{pointer}/depth", f"{detail}{case.say(case.depth)}", "deeper_than_room")


RULES = (
    Rule(_ids, ("needs.hooks", "needs.mirrors")),
    Rule(_sizes, ("needs", "construction", "room")),
)
