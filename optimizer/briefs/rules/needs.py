"""Rules of the needs: something is wanted, known, and can be in this room at all."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.errors import Fault
from optimizer.reference.garments import garment, garment_kinds
from optimizer.reference.stored import stored_allowance, stored_kinds, thing_of

MAX_GARMENTS = 5000
"""Garments of all kinds together: a limit on input, not a fact of the trade."""


def _some_need(view: BriefView) -> Iterator[Fault]:
    """Something has to go in: an amount, or as much as a priority favours."""
    priorities = view.brief.priorities
    if not view.brief.needs.amounts and not priorities.hanging and not priorities.shelving:
        yield Fault(
            "/needs",
            "nothing is wanted; give an amount (long_hang, medium_hang, short_hang, garments, "
            "shelf_length, stored, items, hooks, mirrors) or let hanging or shelving be a priority",
            "no_needs",
        )


def _stored(view: BriefView) -> Iterator[Fault]:
    """Kinds of things stored by count are known or bring their sizes, each once."""
    seen: dict[str, int] = {}
    for i, line in enumerate(view.brief.needs.stored):
        if stored_allowance(line.kind) is None and not line.sized:
            yield Fault(
                f"/needs/stored/{i}/kind",
                f"{line.kind!r} is no known kind of thing; give its width, depth and pitch, or one "
                f"of: {', '.join(stored_kinds())}",
                "unknown_stored",
            )
        first = seen.setdefault(line.kind, i)
        if first != i:
            detail = f"{line.kind!r} is line number {first + 1} already; add up the counts"
            yield Fault(f"/needs/stored/{i}/kind", detail, "duplicate_id")


def _stored_sizes(view: BriefView) -> Iterator[Fault]:
    """Things stored by count go onto a board of this room, and under its highest ceiling."""
    construction = view.brief.construction
    for i, line in enumerate(view.brief.needs.stored):
        if stored_allowance(line.kind) is None and not line.sized:
            continue
        thing = thing_of(line, construction.panel_thickness, view.units)
        sizes = (
            ("width", thing.width, construction.max_bay_width, "the widest bay (max_bay_width)"),
            ("depth", thing.depth, view.depth, "the depth of the room"),
            ("pitch", thing.clear, view.top, "the height of the highest wall"),
        )
        for key, size, most, what in sizes:
            if size > most + view.tolerance:
                detail = f"{line.kind} take {view.say(size)}; {what} is {view.say(most)}"
                yield Fault(f"/needs/stored/{i}/{key}", detail, "fits_nowhere")
        if thing.clear <= view.tolerance:
            yield Fault(
                f"/needs/stored/{i}/pitch",
                f"shelves {view.say(thing.pitch)} apart, top to top, leave no room over a panel of "
                f"{view.say(construction.panel_thickness)}",
                "shelf_spacing_too_small",
            )


def _garments(view: BriefView) -> Iterator[Fault]:
    """Kinds of garment are known, and there are not absurdly many."""
    lines = view.brief.needs.garments
    for i, line in enumerate(lines):
        if garment(line.kind) is None:
            yield Fault(
                f"/needs/garments/{i}/kind",
                f"{line.kind!r} is no known kind of garment; known: {', '.join(garment_kinds())}",
                "unknown_garment",
            )
    total = sum(line.count for line in lines)
    if total > MAX_GARMENTS:
        yield Fault(
            "/needs/garments",
            f"{total} garments in all; at most {MAX_GARMENTS} are taken",
            "too_many",
        )


def _users(view: BriefView) -> Iterator[Fault]:
    """A user is given by stature or by age; someone seated needs neither."""
    for i, user in enumerate(view.brief.needs.users):
        if user.stature is not None and user.age is not None:
            yield Fault(
                f"/needs/users/{i}",
                f"give stature ({view.say(user.stature)}) for a grown-up or age ({user.age}) for "
                "a child, not both",
                "user_form",
            )
        elif user.stature is None and user.age is None and user.posture == "standing":
            yield Fault(
                f"/needs/users/{i}",
                "a standing user is given by stature, or by age for a child; neither is there",
                "user_form",
            )


def _shelf_spacing(view: BriefView) -> Iterator[Fault]:
    """Shelves are further apart than they are thick and closer than the room is high."""
    spacing = view.brief.needs.shelf_spacing
    panel = view.brief.construction.panel_thickness
    if spacing <= panel + view.tolerance:
        yield Fault(
            "/needs/shelf_spacing",
            f"shelves {view.say(spacing)} apart, top to top, leave no room over a panel of "
            f"{view.say(panel)}",
            "shelf_spacing_too_small",
        )
    if spacing > view.top + view.tolerance:
        yield Fault(
            "/needs/shelf_spacing",
            f"shelves {view.say(spacing)} apart do not fit under {view.say(view.top)}, the "
            "highest of the walls",
            "shelf_spacing_too_large",
        )


def _shelf_depth(view: BriefView) -> Iterator[Fault]:
    """Wanted shelves are no deeper than the room."""
    needs = view.brief.needs
    # Without any amount shelves come in by priority, as deep as is said here.
    if (
        needs.shelf_length or not needs.amounts
    ) and needs.shelf_depth > view.depth + view.tolerance:
        yield Fault(
            "/needs/shelf_depth",
            f"shelves {view.say(needs.shelf_depth)} deep do not fit a room that is "
            f"{view.say(view.depth)} deep",
            "deeper_than_room",
        )


ROOM = ("room.walls", "room.openings", "room.access")

RULES = (
    Rule(_some_need, ("needs", "priorities")),
    Rule(_stored, ("needs.stored",)),
    Rule(
        _stored_sizes,
        (
            "needs.stored",
            "needs.aisle",
            "room.walls",
            "room.openings",
            "room.access",
            "room.ceiling_height",
            "construction",
        ),
    ),
    Rule(_garments, ("needs.garments",)),
    Rule(_users, ("needs.users",)),
    Rule(
        _shelf_spacing,
        (
            "needs.shelf_spacing",
            "construction.panel_thickness",
            "room.walls",
            "room.ceiling_height",
        ),
    ),
    Rule(_shelf_depth, (*ROOM, "needs", "construction.hang_depth")),
)
