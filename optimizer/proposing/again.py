"""From an earlier study to the next: instant re-ranking, and a rerun never worse."""

from __future__ import annotations

from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.fields import reading_units
from optimizer.domain.layout import Layout
from optimizer.domain.study import Status, Study, Warned, Yardstick
from optimizer.explaining.tradeoffs import moved
from optimizer.model.alternatives import Search
from optimizer.proposing.assembly import assembled, ranked
from optimizer.proposing.run import Stopper, Watcher, propose, versions
from optimizer.scoring.distance import differences
from optimizer.solving import lp_relaxation


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
    with reading_units(brief.units):
        search = Search(brief, _yardstick_for(study, brief))
        layouts = ranked(_kept(study, brief, search), brief)
    return study.model_copy(
        update={
            "brief": brief,
            "status": Status.WITHIN_GAP if layouts else Status.INFEASIBLE,
            "layouts": layouts,
            "exhausted": False,
            "differences": differences(layouts, brief, search.walls),
            "repairs": (),
            "yardstick": search.yardstick,
            "moved": _moved(study, layouts),
            "versions": versions(brief.options.solver),
        }
    )


def _yardstick_for(study: Study, brief: Brief) -> Yardstick | None:
    return study.yardstick if same_task(study.brief, brief) else None


def _kept(study: Study, brief: Brief, search: Search) -> list[Layout]:
    """Stored layouts that still pass, scored anew, best first."""
    outcome = lp_relaxation(search.model.problem)
    bound = min(100.0, outcome.bound if outcome.bound is not None else 100.0)
    kept = []
    for stored in study.layouts:
        bare = Layout(bays=stored.bays)
        if study.brief.units == brief.units and not check_layout(brief, bare):
            kept.append(assembled(search, stored.bays, bound, "rescored"))
    return sorted(kept, key=lambda layout: -layout.score)


def _moved(study: Study, layouts: tuple[Layout, ...]) -> tuple[str, ...]:
    if not layouts or not study.layouts:
        return ()
    lines = moved(study.layouts[0], layouts[0], study.brief)
    return lines or ("the first layout stays as it was",)


def rerun(
    earlier: Study,
    brief: Brief,
    *,
    warnings: tuple[Warned, ...] = (),
    progress: Watcher | None = None,
    should_stop: Stopper | None = None,
    repairs: bool = True,
) -> Study:
    """A new study of `brief`, never worse than what is stored: the better layout comes first.

    Tells in `moved` what changed against the earlier study's first layout.
    """
    fresh = propose(
        brief,
        warnings=warnings,
        progress=progress,
        should_stop=should_stop,
        repairs=repairs,
        yardstick=_yardstick_for(earlier, brief),
    )
    layouts = fresh.layouts
    with reading_units(brief.units):
        search = Search(brief, fresh.yardstick)
        stored = _kept(earlier, brief, search)
        if stored and (not layouts or stored[0].score > layouts[0].score + 1e-9):
            layouts = _with_stored(stored[0], fresh, search)
    return fresh.model_copy(
        update={
            "layouts": layouts,
            "status": Status.WITHIN_GAP
            if layouts and fresh.status is Status.INFEASIBLE
            else fresh.status,
            "differences": differences(layouts, brief, search.walls),
            "moved": _moved(earlier, layouts),
        }
    )


def _with_stored(stored: Layout, fresh: Study, search: Search) -> tuple[Layout, ...]:
    """`stored` before the fresh layouts that keep their distance from it."""
    brief = search.brief
    bound = fresh.layouts[0].bound if fresh.layouts else stored.bound
    first = stored.model_copy(
        update={
            "bound": max(bound, stored.score),
            "gap": (max(bound, stored.score) - stored.score) / max(1.0, abs(stored.score)),
        }
    )
    least = brief.options.min_difference
    # Fresh bounds speak of layouts that may be left out here; the first one's holds for all.
    apart = [
        layout.model_copy(update={"bound": bound})
        for layout in fresh.layouts
        if differences((first, layout), brief, search.walls)[0][1] >= least
    ]
    return ranked([first, *apart], brief)
