"""From an earlier study to the next: instant re-ranking, and a rerun never worse."""

from __future__ import annotations

import time

from optimizer.checking import passes
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, Unmet
from optimizer.domain.study import Leader, Status, Steadied, Study, Warned, Yardstick
from optimizer.explaining.tradeoffs import moved
from optimizer.model.search.alternatives import Search
from optimizer.proposing.assembly import assembled, before, ranked
from optimizer.proposing.leader_updates import bounds_of, layouts_of, relead
from optimizer.proposing.run import ProgressListener, Stopper, propose
from optimizer.proposing.stability import LEAST_SHARE, SETTLING_SHARE, Settling, warnings_of
from optimizer.scoring.distance import differences
from optimizer.solving import lp_relaxation
from optimizer.versions import versions


def same_task(one: Brief, other: Brief) -> bool:
    """Whether two briefs differ in nothing that decides what can be built or is needed."""
    return (
        one.units == other.units
        and one.room == other.room
        and one.needs == other.needs
        and one.construction == other.construction
    )


def rescore(study: Study, brief: Brief) -> Study:
    """The stored layouts re-ranked under `brief`, without a solve.

    Layouts that no longer pass the checker are left out. The bound of each is the linear
    relaxation's: no new solve can score above it.
    """
    search = Search(brief, _yardstick_for(study, brief))
    layouts = _with_reasons(ranked(_kept(study, brief, search), brief), study, brief)
    leaders = _leaders_again(study, brief, search, layouts)
    return study.model_copy(
        update={
            "brief": brief,
            "status": Status.WITHIN_GAP if layouts else Status.INFEASIBLE,
            "layouts": layouts,
            "exhausted": False,
            "differences": differences(layouts, brief, search.walls),
            "leaders": leaders,
            "repairs": (),
            "yardstick": search.yardstick,
            "moved": _moved(study, layouts),
            "versions": versions(brief.options.solver),
        }
    )


def _leaders_again(
    study: Study, brief: Brief, search: Search, layouts: tuple[Layout, ...]
) -> tuple[Leader, ...]:
    """Leaders among all that is stored; their proofs hold while nothing that scores changed."""
    if study.brief.units != brief.units:
        return ()
    same = same_task(study.brief, brief) and study.brief.priorities == brief.priorities
    loss = brief.options.max_quality_loss <= study.brief.options.max_quality_loss
    bounds = bounds_of(study, kept=same and loss)
    return relead(search, layouts, layouts_of(study), bounds)


def _with_reasons(layouts: tuple[Layout, ...], study: Study, brief: Brief) -> tuple[Layout, ...]:
    """Layouts whose needs that no layout meets are called so, as `study` found."""
    # A proof holds for the brief that it was made for.
    if not same_task(study.brief, brief):
        return layouts
    known = {
        (unmet.need, unmet.required): unmet
        for layout in study.layouts
        for unmet in layout.unmet
        if unmet.reason == "impossible"
    }

    def told(unmet: Unmet) -> Unmet:
        """The unmet need with the reason that is known of it."""
        found = known.get((unmet.need, unmet.required))
        if found is None or unmet.reason != "unknown":
            return unmet
        why = {"reason": found.reason, "detail": found.detail, "rule": found.rule}
        return unmet.model_copy(update=why)

    return tuple(
        layout.model_copy(update={"unmet": tuple(map(told, layout.unmet))}) for layout in layouts
    )


def _yardstick_for(study: Study, brief: Brief) -> Yardstick | None:
    """The earlier yardstick where it still holds: only priorities have changed."""
    return study.yardstick if same_task(study.brief, brief) else None


def _kept(study: Study, brief: Brief, search: Search) -> list[Layout]:
    """Stored layouts that still pass, scored anew, best first."""
    outcome = lp_relaxation(search.model.problem)
    bound = min(100.0, outcome.bound if outcome.bound is not None else 100.0)
    kept = []
    for stored in study.layouts:
        if _stands(stored, study, brief):
            kept.append(assembled(search, stored.bays, bound, "rescored", stored.mounts))
    return sorted(kept, key=lambda layout: -layout.score)


def _stands(stored: Layout, study: Study, brief: Brief) -> bool:
    """Whether a layout of `study` passes the checker under `brief`."""
    bare = Layout(bays=stored.bays, mounts=stored.mounts)
    return study.brief.units == brief.units and passes(brief, bare)


def _moved(study: Study, layouts: tuple[Layout, ...]) -> tuple[str, ...]:
    """What differs between the first layouts of the two studies."""
    if not layouts or not study.layouts:
        return ()
    lines = moved(study.layouts[0], layouts[0], study.brief)
    return lines or ("the first layout stays as it was",)


def rerun(
    earlier: Study,
    brief: Brief,
    *,
    stability: float = 0.0,
    warnings: tuple[Warned, ...] = (),
    progress: ProgressListener | None = None,
    should_stop: Stopper | None = None,
    repairs: bool = True,
) -> Study:
    """A new study of `brief`, never worse than what is stored: the better layout comes first.

    `stability` is the share of the earlier first layout to keep where that can be; what cannot
    is let go, and told. Tells in `moved` what changed against the earlier first layout. Where an
    earlier layout still stands there is one to look at, and no provisional one is told.
    """
    held, told, yardstick = brief, None, _yardstick_for(earlier, brief)
    if stability > 0 and earlier.layouts:
        held, told, yardstick = _held(earlier, brief, stability, yardstick, should_stop)
        warnings = (*warnings, *warnings_of(told, brief))
    fresh = propose(
        held,
        warnings=warnings,
        progress=progress,
        should_stop=should_stop,
        repairs=repairs,
        yardstick=yardstick,
        early=not any(_stands(layout, earlier, brief) for layout in earlier.layouts),
    )
    layouts, leaders = fresh.layouts, fresh.leaders
    if fresh.yardstick is None:
        # The room was not posed in time: there is nothing to score stored layouts by.
        return fresh.model_copy(update={"brief": brief, "stability": told})
    search = Search(held, fresh.yardstick)
    stored = _kept(earlier, held, search)
    # More than noise: equal layouts stay in the order in which the new search found them.
    if stored and (not layouts or stored[0].score > layouts[0].score + 1e-9):
        layouts = _with_reasons(_with_stored(stored[0], fresh, search), fresh, held)
        # The best is better now, so that fewer are within the loss: what was proved holds.
        bounds = bounds_of(fresh, kept=True)
        leaders = relead(search, layouts, layouts_of(fresh), bounds)
    return fresh.model_copy(
        update={
            "brief": brief,
            "layouts": layouts,
            "leaders": leaders,
            "status": Status.WITHIN_GAP
            if layouts and fresh.status is Status.INFEASIBLE
            else fresh.status,
            "differences": differences(layouts, brief, search.walls),
            "moved": _moved(earlier, layouts),
            "stability": told,
        }
    )


def _held(
    earlier: Study,
    brief: Brief,
    stability: float,
    yardstick: Yardstick | None,
    should_stop: Stopper | None,
) -> tuple[Brief, Steadied, Yardstick]:
    """The brief with what is kept pinned and the time that is left, and what was settled."""
    started, limit = time.monotonic(), brief.options.time_limit_s
    yardstick = yardstick or Search(brief.model_copy(update={"pins": ()})).yardstick
    settling = Settling(brief, yardstick, started + SETTLING_SHARE * limit, should_stop)
    told = settling.settle(earlier, stability)
    pins = [bay.pin for bay in told.kept if bay.pin not in brief.pins]
    left = max(LEAST_SHARE * limit, limit - (time.monotonic() - started))
    options = brief.options.model_copy(update={"time_limit_s": left})
    held = brief.model_copy(update={"pins": (*brief.pins, *pins), "options": options})
    return held, told, yardstick


def _with_stored(stored: Layout, fresh: Study, search: Search) -> tuple[Layout, ...]:
    """`stored` before the fresh layouts that keep their distance from it."""
    return before(stored, fresh.layouts, search.brief, search.walls)
