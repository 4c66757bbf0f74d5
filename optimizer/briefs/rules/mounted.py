"""Rules of hooks and mirrors: each has a name, and goes onto some wall."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.errors import Fault
from optimizer.reference.mounted import mounted_of


def _pointers(view: BriefView) -> list[str]:
    """JSON Pointers of hooks and mirrors, in the order of `mounted_of`."""
    needs = view.brief.needs
    hooks = [f"/needs/hooks/{i}" for i in range(len(needs.hooks))]
    return [*hooks, *(f"/needs/mirrors/{i}" for i in range(len(needs.mirrors)))]


def _ids(view: BriefView) -> Iterator[Fault]:
    """Each row of hooks and each mirror has a name of its own."""
    seen: dict[str, str] = {}
    needs = view.brief.needs
    ids = [line.id for line in needs.hooks] + [line.id for line in needs.mirrors]
    for name, pointer in zip(ids, _pointers(view), strict=True):
        first = seen.setdefault(name, pointer)
        if first != pointer:
            detail = f"{name!r} already names {first}; give each its own id"
            yield Fault(f"{pointer}/id", detail, "duplicate_id")


def _sizes(view: BriefView) -> Iterator[Fault]:
    """Each is no wider than the longest wall, no higher than the highest, and leaves a room."""
    longest = view.longest.clear_length
    for mount, pointer in zip(mounted_of(view.brief), _pointers(view), strict=True):
        wide, high = ("count", "height") if mount.kind == "hooks" else ("width", "height")
        if mount.width > longest + view.tolerance:
            detail = f"{mount.id} takes {view.say(mount.width)} of a wall; the longest is "
            yield Fault(f"{pointer}/{wide}", f"{detail}{view.say(longest)}", "fits_nowhere")
        if mount.top > view.top + view.tolerance:
            detail = f"{mount.id} reaches up to {view.say(mount.top)}; the highest wall is "
            yield Fault(f"{pointer}/{high}", f"{detail}{view.say(view.top)} high", "fits_nowhere")
        if mount.depth > view.depth + view.tolerance:
            detail = f"{mount.id} stands out {view.say(mount.depth)}; the room is "
            yield Fault(f"{pointer}/depth", f"{detail}{view.say(view.depth)}", "deeper_than_room")


RULES = (
    Rule(_ids, ("needs.hooks", "needs.mirrors")),
    Rule(_sizes, ("needs", "construction", "room")),
)
