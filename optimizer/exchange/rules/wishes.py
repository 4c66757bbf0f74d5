"""Rules of the needs: something is wanted, known, and can be in this room at all."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.errors import Fault
from optimizer.exchange.rules.case import Case, Rule
from optimizer.reference.garments import garment, garment_kinds

MAX_GARMENTS = 5000
"""Garments of all kinds together: a limit on input, not a fact of the trade."""


def _some_need(case: Case) -> Iterator[Fault]:
    """At least one thing has to go in."""
    needs = case.brief.needs
    lengths = needs.long_hang + needs.medium_hang + needs.short_hang + needs.shelf_length
    if not lengths and not needs.garments and not needs.items:
        yield Fault(
            "/needs",
            "nothing is wanted; give at least one of long_hang, medium_hang, short_hang, "
            "garments, shelf_length, items",
            "no_needs",
        )


def _garments(case: Case) -> Iterator[Fault]:
    """Kinds of garment are known, and there are not absurdly many."""
    lines = case.brief.needs.garments
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


def _users(case: Case) -> Iterator[Fault]:
    """A user is given by stature or by age; someone seated needs neither."""
    for i, user in enumerate(case.brief.needs.users):
        if user.stature is not None and user.age is not None:
            yield Fault(
                f"/needs/users/{i}",
                f"give stature ({case.say(user.stature)}) for a grown-up or age ({user.age}) for "
                "a child, not both",
                "user_form",
            )
        elif user.stature is None and user.age is None and user.posture == "standing":
            yield Fault(
                f"/needs/users/{i}",
                "a standing user is given by stature, or by age for a child; neither is there",
                "user_form",
            )


def _shelf_spacing(case: Case) -> Iterator[Fault]:
    """Shelves are further apart than they are thick and closer than the room is high."""
    spacing = case.brief.needs.shelf_spacing
    panel = case.brief.construction.panel_thickness
    if spacing <= panel + case.tolerance:
        yield Fault(
            "/needs/shelf_spacing",
            f"shelves {case.say(spacing)} apart, top to top, leave no room over a panel of "
            f"{case.say(panel)}",
            "shelf_spacing_too_small",
        )
    if spacing > case.top + case.tolerance:
        yield Fault(
            "/needs/shelf_spacing",
            f"shelves {case.say(spacing)} apart do not fit under {case.say(case.top)}, the "
            "highest of the walls",
            "shelf_spacing_too_large",
        )


def _shelf_depth(case: Case) -> Iterator[Fault]:
    """Wanted shelves are no deeper than the room."""
    needs = case.brief.needs
    if needs.shelf_length and needs.shelf_depth > case.depth + case.tolerance:
        yield Fault(
            "/needs/shelf_depth",
            f"shelves {case.say(needs.shelf_depth)} deep do not fit a room that is "
            f"{case.say(case.depth)} deep",
            "deeper_than_room",
        )


ROOM = ("room.walls", "room.openings", "room.access")

RULES = (
    Rule(_some_need, ("needs",)),
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
