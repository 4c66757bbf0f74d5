"""Single changes of the brief that would help, each tried by a solve.

A repair is listed only when the best layout found of the changed brief is checked, leaves less
short than the layout at hand, and leaves no need shorter than that does; it is `proved` because
that layout exists. What a person gives up least for comes first.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, Unmet
from optimizer.domain.need_ids import NeedId
from optimizer.domain.study import Repair, Yardstick
from optimizer.errors import OptimizerError
from optimizer.explaining.changes import Change, Cost, changes
from optimizer.explaining.shortfalls import amount_text, shortfalls
from optimizer.model.search.alternatives import Found, Search
from optimizer.scoring.amounts import amounts_of

MOST_LISTED = 8
QUICK_GAP = 0.02
"""A repair needs a better layout, not the best one."""
LEAST_SHARE = 0.25
"""Part of the time left that a change may take at least; most take far less."""
_SAME = 1e-3
"""Shares of needs, and shortfalls, closer than this are the same."""

Checked = Callable[[Brief, Layout], bool]


@dataclass(frozen=True, slots=True)
class _Tried:
    """A change that helps, and what its layout leaves short."""

    change: Change
    left: tuple[Unmet, ...]
    shortness: float


def repairs(
    brief: Brief, yardstick: Yardstick, layout: Layout, passes: Checked, deadline: float
) -> tuple[Repair, ...]:
    """Changes that leave less short than `layout` does, what costs least first."""
    if not layout.unmet:
        return ()
    found: list[_Tried] = []
    wanted = list(changes(brief, layout))
    for number, change in enumerate(wanted):
        now = time.monotonic()
        if now >= deadline:
            break
        # An equal part of the time left, but enough for one that takes a while.
        share = max(LEAST_SHARE, 1 / (len(wanted) - number))
        tried = _try(brief, yardstick, change, passes, now + share * (deadline - now))
        if tried is not None and _helps(change, layout, tried):
            left = tuple(unmet for unmet in tried.unmet if unmet.need != change.gives_up)
            found.append(_Tried(change, left, _shortness(left)))
    listed = sorted(_mildest(found), key=lambda tried: (tried.change.cost, tried.shortness))
    return tuple(_repair(tried, brief) for tried in _chosen(listed))


def _helps(change: Change, before: Layout, after: Layout) -> bool:
    """Whether less is short in all, and nothing more than before of any single need."""
    # A need that the change gives up is left out of both sides.
    kept = [unmet for unmet in before.unmet if unmet.need != change.gives_up]
    had = {unmet.need: unmet.shortfall for unmet in kept}
    left = [unmet for unmet in after.unmet if unmet.need != change.gives_up]
    worse = any(unmet.shortfall > had.get(unmet.need, 0.0) + _SAME for unmet in left)
    return not worse and _shortness(left) < _shortness(kept) - _SAME


def _shortness(left: Sequence[Unmet]) -> float:
    """Shares of the needs that are short, added up."""
    return sum(unmet.shortfall / unmet.required for unmet in left)


def _mildest(found: Sequence[_Tried]) -> list[_Tried]:
    """Of changes of one kind, tried from the mildest up, those that leave less than any milder."""
    kept: list[_Tried] = []
    for tried in found:
        same = [other for other in kept if _kind(other) == _kind(tried)]
        if all(tried.shortness < other.shortness - _SAME for other in same):
            kept.append(tried)
    return kept


def _kind(tried: _Tried) -> tuple[Any, ...]:
    """What a change is a change of: of what is gone without or built, each is its own."""
    change = tried.change
    apart = change.cost in (Cost.ASKING_LESS, Cost.GOING_WITHOUT, Cost.BUILDING)
    return (change.cost, change.words if apart else "")


def _chosen(listed: Sequence[_Tried]) -> list[_Tried]:
    """At most `MOST_LISTED`, one of every kind of cost before a second of any."""
    costs = [tried.change.cost for tried in listed]
    turns = [costs[:number].count(cost) for number, cost in enumerate(costs)]
    order = sorted(range(len(listed)), key=lambda number: (turns[number], number))
    return [listed[number] for number in sorted(order[:MOST_LISTED])]


def _repair(tried: _Tried, brief: Brief) -> Repair:
    """A change that was tried, as the study tells of it."""
    return Repair(
        change=tried.change.words,
        effect=_effect(tried.left, brief, tried.change.gives_up),
        proved=True,
        patch=tried.change.patch,
        leaves={unmet.need: unmet.shortfall for unmet in tried.left},
    )


def _effect(left: Sequence[Unmet], brief: Brief, but: str | None) -> str:
    """What a change achieves, in words."""
    if not left:
        return "everything else asked for is met" if but else "everything asked for is met"
    parts = [f"{u.need.words} short by {amount_text(u.need, u.shortfall, brief)}" for u in left]
    return "leaves " + "; ".join(parts)


def with_remedies(
    layouts: Sequence[Layout], found: Sequence[Repair], brief: Brief
) -> tuple[Layout, ...]:
    """Layouts whose impossible needs tell in the same breath which repair would meet them."""
    return tuple(
        layout.model_copy(update={"unmet": tuple(_remedied(u, found, brief) for u in layout.unmet)})
        for layout in layouts
    )


def _remedied(unmet: Unmet, found: Sequence[Repair], brief: Brief) -> Unmet:
    """A need with the first repair that meets it, else the one that leaves least of it short."""
    if unmet.reason != "impossible":
        return unmet
    # To give up the need itself is no way to meet it.
    able = [r for r in found if not _lets_go(r, unmet.need)]
    if not able:
        return unmet
    best = min(able, key=lambda repair: repair.leaves.get(unmet.need, 0.0))
    left = best.leaves.get(unmet.need, 0.0)
    if left >= unmet.shortfall - _SAME:
        return unmet
    does = (
        "it would be met"
        if left <= _SAME
        else f"it would be short by {amount_text(unmet.need, left, brief)} only"
    )
    detail = f"{unmet.detail}. With {best.change} {does} (proved by a layout)"
    return unmet.model_copy(update={"detail": detail})


def _lets_go(repair: Repair, need: NeedId) -> bool:
    """Whether a repair asks for less of a need, or drops it, and so is no way to meet it."""
    needs = repair.patch.get("needs", {})
    if need.is_item:
        return "items" in needs
    if need.is_stored:
        return "stored" in needs
    if need.is_mounted:
        return "hooks" in needs or "mirrors" in needs
    return need in needs


def patched(brief: Brief, patch: dict[str, Any]) -> Brief:
    """`brief` under a merge patch (RFC 7396)."""
    return Brief.model_validate(merge(brief.model_dump(mode="json"), patch))


def merge(target: Any, patch: Any) -> Any:
    """JSON merge patch by the algorithm of RFC 7396, section 2."""
    if not isinstance(patch, dict):
        return patch
    merged = dict(target) if isinstance(target, dict) else {}
    for key, value in patch.items():
        if value is None:
            merged.pop(key, None)
        else:
            merged[key] = merge(merged.get(key), value)
    return merged


def _try(
    brief: Brief, yardstick: Yardstick, change: Change, passes: Checked, deadline: float
) -> Layout | None:
    """The best layout of the changed brief, checked; None when there is none in time."""
    try:
        # By the reader, with all its rules: a change may make a brief that is refused.
        changed, _ = read_brief(merge(brief.model_dump(mode="json"), change.patch))
        options = changed.options.model_copy(update={"gap": max(QUICK_GAP, changed.options.gap)})
        changed = changed.model_copy(update={"options": options})
        search = Search.within(changed, yardstick, deadline)
        if search is None:
            return None
        result = search.next(deadline)
    except (OptimizerError, ValueError):
        return None
    if not isinstance(result, Found) or not (result.bays or result.mounts):
        return None
    amounts = amounts_of(result.bays, search.rules, search.surveyed, result.mounts)
    unmet = shortfalls(search.frame.needs(), search.frame.achieved(amounts), changed)
    layout = Layout(bays=result.bays, mounts=result.mounts, unmet=unmet)
    return layout if passes(changed, Layout(bays=result.bays, mounts=result.mounts)) else None
