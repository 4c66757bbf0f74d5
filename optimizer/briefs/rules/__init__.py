"""Rules of the brief that look at several fields at once: faults and warnings."""

from __future__ import annotations

from collections.abc import Collection

from optimizer.briefs.rules import (
    corners,
    features,
    items,
    kept_clear,
    mount_pins,
    mounted,
    need_notices,
    needs,
    pins,
    room_notices,
    rooms,
    sizes,
    stock,
)
from optimizer.briefs.rules.brief_view import BriefView
from optimizer.domain.brief import Brief
from optimizer.domain.study import Warned
from optimizer.errors import Fault

RULES = (
    *rooms.RULES,
    *corners.RULES,
    *features.RULES,
    *kept_clear.RULES,
    *needs.RULES,
    *items.RULES,
    *mounted.RULES,
    *stock.RULES,
    *pins.RULES,
    *mount_pins.RULES,
)
NOTICES = (*room_notices.NOTICES, *corners.NOTICES, *need_notices.NOTICES)


def faults_across(brief: Brief, unsound: Collection[str] = ()) -> list[Fault]:
    """Every fault of absurd sizes and of the rules over several fields.

    `unsound` names parts (`section` or `section.key`) whose values stand in for faulty
    ones; rules that read them are left out, and so are those that read an absurd size,
    which would only repeat what is wrong with it.
    """
    view = BriefView(brief)
    found = [f for rule in sizes.RULES if rule.can_run(unsound) for f in rule.check(view)]
    unsound = {*unsound, *(_part(fault.pointer) for fault in found)}
    found += [f for rule in RULES if rule.can_run(unsound) for f in rule.check(view)]
    return found


def _part(pointer: str) -> str:
    """The part of a brief that a JSON Pointer leads into."""
    return ".".join(pointer.split("/")[1:3])


def warnings_of(brief: Brief) -> tuple[Warned, ...]:
    """What a builder should know about a brief without faults."""
    view = BriefView(brief)
    return tuple(warned for notice in NOTICES for warned in notice.check(view))
