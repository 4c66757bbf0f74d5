"""Fewer sheets: for each layout the nearest one that takes a sheet less.

Boards a trifle shallower may come one more to a sheet (`patterns.rips`). Each depth of boards is
taken down to the next such depth, by itself and with the others; what results is measured, scored,
laid out on sheets and checked as any layout is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

from optimizer.buildpack.takings import takes_fewer
from optimizer.checking import passes
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Zone, ZoneKind
from optimizer.domain.study import Depth, Leaner, Yardstick
from optimizer.errors import OptimizerError
from optimizer.model.search.alternatives import Search
from optimizer.patterns.rips import dividing_depth
from optimizer.proposing.assembly import measured, scored
from optimizer.tolerances import FINE
from optimizer.units import format_short

MOST_SHALLOWER = 0.16
"""Largest share of their depth that boards lose: 14 in to 11-7/8 in. Our choice."""

MOST_LOSS = 1.0
"""Points of score that a sheet less may cost. Our choice."""


def leaner_layouts(
    search: Search,
    yardstick: Yardstick,
    layouts: Sequence[Layout],
    over: Callable[[], bool],
) -> tuple[Leaner, ...]:
    """For each layout the nearest with fewer sheets, by loss of score, then of depth.

    None of them leaves a need shorter than its layout does. Ends once `over` says so.
    """
    found: list[Leaner] = []
    for layout in layouts:
        if over():
            break
        if layout.metrics is not None and layout.metrics.sheets > 1:
            nearest = _nearest(search, yardstick, layout)
            found += [nearest] if nearest else []
    return tuple(found)


def _nearest(search: Search, yardstick: Yardstick, layout: Layout) -> Leaner | None:
    """The layout with fewer sheets that loses least of the score, if any does."""
    choices = []
    for depths in _choices(search.brief, layout):
        change = {depth.before: depth.now for depth in depths}
        bays = tuple(_shallower(bay, change) for bay in layout.bays)
        # What is lost costs nothing to tell; sheets are laid out for the nearest ones first.
        now = scored(search, layout.model_copy(update={"bays": bays}), yardstick, 0.0)
        loss = layout.score - now.score
        if loss <= MOST_LOSS:
            choices.append((round(loss, 3), _taken(depths), depths, bays))
    choices.sort(key=lambda choice: choice[:2])
    found = (_tried(search, yardstick, layout, depths, bays) for *_, depths, bays in choices)
    return next((leaner for leaner in found if leaner is not None), None)


def _taken(depths: Sequence[Depth]) -> float:
    """The largest share of depth that is given up."""
    return max(1.0 - depth.now / depth.before for depth in depths)


def _choices(brief: Brief, layout: Layout) -> Iterator[tuple[Depth, ...]]:
    """Each depth of boards by itself, then together."""
    boards = {
        depth_of(zone, bay)
        for bay in layout.bays
        for zone in bay.zones
        if zone.kind is ZoneKind.SHELF
    }
    changed = [
        Depth(before=depth, now=now)
        for depth in sorted(boards)
        if (now := dividing_depth(brief, depth)) >= depth * (1.0 - MOST_SHALLOWER)
    ]
    # Two at most, since each choice costs a layout on sheets.
    for many in range(1, min(len(changed), 2) + 1):
        yield from combinations(changed, many)


def _tried(
    search: Search,
    yardstick: Yardstick,
    layout: Layout,
    depths: tuple[Depth, ...],
    bays: tuple[Bay, ...],
) -> Leaner | None:
    """The layout with these depths, where it takes a sheet less and loses little."""
    assert layout.metrics is not None  # noqa: S101 - asked by the caller
    bare = Layout(bays=bays, mounts=layout.mounts)
    try:
        if not passes(search.brief, bare) or not takes_fewer(
            search.brief, bare, layout.metrics.sheets
        ):
            return None
        made = measured(search, bays, layout.mounts)
    except OptimizerError:
        return None
    before, now = layout.metrics, made.metrics
    assert now is not None  # noqa: S101 - measured
    if now.sheets >= before.sheets or now.material_cost >= before.material_cost:
        return None
    short = {need.need: need.shortfall for need in layout.unmet}
    if any(need.shortfall > short.get(need.need, 0.0) + FINE for need in made.unmet):
        return None
    made = scored(search, made, yardstick, 0.0)
    loss = layout.score - made.score
    if loss > MOST_LOSS or not passes(search.brief, made):
        return None
    return Leaner(
        rank=layout.rank,
        sheets=now.sheets,
        saved=before.sheets - now.sheets,
        material_cost=now.material_cost,
        loss=max(0.0, loss),
        depths=depths,
        detail=_told(search.brief, depths, max(0.0, loss)),
        layout=made,
    )


def _shallower(bay: Bay, change: dict[float, float]) -> Bay:
    """A bay with its boards at the new depths, as deep as its deepest zone."""
    depths = [
        depth if zone.kind is ZoneKind.ROD else change.get(depth, depth)
        for zone in bay.zones
        for depth in (depth_of(zone, bay),)
    ]
    zones = tuple(
        zone.model_copy(update={"depth": depth})
        for zone, depth in zip(bay.zones, depths, strict=True)
    )
    return bay.model_copy(update={"zones": zones, "depth": max(depths)})


def depth_of(zone: Zone, bay: Bay) -> float:
    """Depth of a zone: its own, else its bay's."""
    return bay.depth if zone.depth is None else zone.depth


def _told(brief: Brief, depths: Sequence[Depth], loss: float) -> str:
    """What changes and what it costs, in words."""
    boards = " and ".join(
        f"{format_short(depth.now, brief.units)} in place of "
        f"{format_short(depth.before, brief.units)}"
        for depth in depths
    )
    points = f"{loss:.1f} points of score less" if loss >= 0.05 else "no loss of score"
    return f"boards {boards} deep, {points}"
