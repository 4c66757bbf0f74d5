"""Single changes of the brief that would help, each tried by a solve.

Every change is a small JSON merge patch (RFC 7396) on the brief. A repair is listed only
when a layout of the changed brief was found that is checked and leaves less short; it is
`proved` because that layout exists.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.needs import Hang
from optimizer.domain.study import Repair, Yardstick
from optimizer.errors import OptimizerError
from optimizer.explaining.shortfalls import amount_text, is_counted, need_text, shortfalls
from optimizer.geometry.outline import outline_of
from optimizer.model.search.alternatives import Found, Search
from optimizer.scoring.amounts import amounts_of
from optimizer.units import format_length

WALL_STEP_IN = 10.0
SPACING_STEP_IN = 1.0
MOST_LISTED = 6
QUICK_GAP = 0.02
"""A repair needs a better layout, not the best one."""

Checked = Callable[[Brief, Layout], bool]


@dataclass(frozen=True, slots=True)
class Change:
    """A single change: in words, as a merge patch, and the need it gives up if any."""

    words: str
    patch: dict[str, Any]
    gives_up: str | None = None


def repairs(
    brief: Brief, yardstick: Yardstick, layout: Layout, passes: Checked, deadline: float
) -> tuple[Repair, ...]:
    """Changes that leave less short than `layout` does, the most helpful first."""
    found: list[tuple[float, Repair]] = []
    before = _shortness(layout)
    for change in _changes(brief, layout):
        if time.monotonic() >= deadline:
            break
        tried = _try(brief, yardstick, change, passes, deadline)
        if tried is None:
            continue
        after = _shortness(tried, change.gives_up)
        own = _shortness(layout, change.gives_up)
        if after < own - 1e-3:
            effect = _effect(tried, brief, change.gives_up)
            found.append(
                (after, Repair(change=change.words, effect=effect, proved=True, patch=change.patch))
            )
    if before <= 0:
        return ()
    ranked = sorted(found, key=lambda entry: entry[0])
    return tuple(repair for _, repair in ranked[:MOST_LISTED])


def _shortness(layout: Layout, but: str | None = None) -> float:
    """Shares of the needs that are short, added up."""
    return sum(u.shortfall / u.required for u in layout.unmet if u.need != but)


def _effect(layout: Layout, brief: Brief, but: str | None) -> str:
    left = [u for u in layout.unmet if u.need != but]
    if not left:
        return "everything else asked for is met" if but else "everything asked for is met"
    parts = [
        f"{need_text(u.need)} short by {amount_text(u.need, u.shortfall, brief)}" for u in left
    ]
    return "leaves " + "; ".join(parts)


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
        changed = patched(brief, change.patch)
        options = changed.options.model_copy(update={"gap": max(QUICK_GAP, changed.options.gap)})
        changed = changed.model_copy(update={"options": options})
        outline_of(changed.room, changed.units)
        search = Search(changed, yardstick)
        result = search.next(deadline)
    except (OptimizerError, ValueError):
        return None
    if not isinstance(result, Found) or not result.bays:
        return None
    amounts = amounts_of(result.bays, search.rules, search.surveyed)
    unmet = shortfalls(search.frame.needs(), search.frame.achieved(amounts), changed)
    layout = Layout(bays=result.bays, unmet=unmet)
    return layout if passes(changed, Layout(bays=result.bays)) else None


def _changes(brief: Brief, layout: Layout) -> Iterator[Change]:
    short = {unmet.need for unmet in layout.unmet}
    yield from _less_asked(brief, layout)
    yield from _without_items(brief, short)
    yield from _fewer_stored(brief, layout)
    if "shelf_length" in short:
        yield from _closer_shelves(brief)
    yield from _longer_walls(brief, layout)
    yield from _higher_rods(brief, short)


def _less_asked(brief: Brief, layout: Layout) -> Iterator[Change]:
    """Ask for what the layout reaches, one length at a time."""
    for unmet in layout.unmet:
        if is_counted(unmet.need):
            continue
        explicit = getattr(brief.needs, unmet.need)
        if explicit + 1e-6 < unmet.shortfall:
            continue
        less = format_length(unmet.shortfall, brief.units)
        yield Change(
            f"ask for {less} less {need_text(unmet.need)}",
            {"needs": {unmet.need: max(0.0, explicit - unmet.shortfall)}},
        )


def _without_items(brief: Brief, short: set[str]) -> Iterator[Change]:
    items = brief.needs.items
    for item in sorted(items, key=lambda i: (f"item:{i.id}" not in short, -i.width)):
        rest = [other.model_dump(mode="json") for other in items if other.id != item.id]
        yield Change(f"drop the {item.id}", {"needs": {"items": rest}}, f"item:{item.id}")


def _fewer_stored(brief: Brief, layout: Layout) -> Iterator[Change]:
    """Store as many of one kind as the layout has room for, the rest elsewhere."""
    for unmet in layout.unmet:
        if not unmet.need.startswith("stored:") or unmet.achieved < 1:
            continue
        kind = need_text(unmet.need)
        lines = [
            line.model_copy(update={"count": int(unmet.achieved)}) if line.kind == kind else line
            for line in brief.needs.stored
        ]
        less = amount_text(unmet.need, unmet.shortfall, brief)
        stored = [line.model_dump(mode="json") for line in lines]
        yield Change(f"keep {less} of the {kind} elsewhere", {"needs": {"stored": stored}})


def _closer_shelves(brief: Brief) -> Iterator[Change]:
    step = brief.units.from_inch(SPACING_STEP_IN)
    for times in (1, 2):
        spacing = brief.needs.shelf_spacing - times * step
        if spacing > 6 * step:
            yield Change(
                f"shelf spacing {format_length(spacing, brief.units)}",
                {"needs": {"shelf_spacing": spacing}},
            )


def _longer_walls(brief: Brief, layout: Layout) -> Iterator[Change]:
    """More wall, in a closed room together with the wall that runs back along it."""
    step = round(brief.units.from_inch(WALL_STEP_IN))
    outline = outline_of(brief.room, brief.units)
    used = {bay.wall for bay in layout.bays}
    for index, wall in enumerate(brief.room.walls):
        if wall.id not in used:
            continue
        grown = [index]
        if outline.closed:
            back = [
                other
                for other, line in enumerate(outline.walls)
                if line.direction[0] == -outline.walls[index].direction[0]
                and line.direction[1] == -outline.walls[index].direction[1]
            ]
            if not back:
                continue
            grown.append(max(back, key=lambda other: outline.walls[other].length))
        walls = [w.model_dump(mode="json") for w in brief.room.walls]
        for number in grown:
            walls[number]["length"] = brief.room.walls[number].clear_length + step
        amount = format_length(step, brief.units)
        yield Change(f"{amount} more on wall {wall.id}", {"room": {"walls": walls}})


def _higher_rods(brief: Brief, short: set[str]) -> Iterator[Change]:
    hangs = {f"{hang}_hang" for hang in Hang}
    if not short & hangs or not brief.needs.users:
        return
    yield Change(
        "rods beyond the reach of those listed (a pull-down rod or a step)",
        {"needs": {"users": [], "accessible_reach": False}},
    )
