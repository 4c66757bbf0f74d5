"""Layouts with everything that is said of them: terms, metrics, fillers, rank."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Protocol

from optimizer.buildpack.takings import Takings, takings_of
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Filler, Layout, Metrics, Mount
from optimizer.domain.needs import Hang
from optimizer.domain.study import Status, Yardstick
from optimizer.explaining.shortfalls import shortfalls
from optimizer.explaining.tradeoffs import trade_off
from optimizer.geometry.stretches import Surveyed
from optimizer.model.search.alternatives import Search
from optimizer.patterns.bay_rules import BayRules
from optimizer.proposing.margins import margins_of
from optimizer.scoring.amounts import Amounts, amounts_of
from optimizer.scoring.distance import differences
from optimizer.scoring.terms import Frame
from optimizer.stocking.plan import CHOOSING_STEPS
from optimizer.structure.assessment import worst
from optimizer.tolerances import FINE

_EXACT = 1e-6
FORGIVEN = 0.5
"""Points that placing may take of a layout."""


class ScoringBasis(Protocol):
    """What a layout is measured on: a search is one, and so is a brief that is only surveyed."""

    brief: Brief
    rules: BayRules
    surveyed: Surveyed
    frame: Frame


def assembled(
    search: Search,
    bays: tuple[Bay, ...],
    bound: float,
    status: str,
    mounts: tuple[Mount, ...] = (),
    *,
    steps: int = CHOOSING_STEPS,
) -> Layout:
    """A layout of `bays` and `mounts` with terms, metrics, shortfalls and fillers; rank still 1.

    `steps` limit the search for what its sheets cost at least (see `takings_of`).
    """
    return costed(search.brief, uncosted(search, bays, bound, status, mounts), steps=steps)


def uncosted(
    search: Search,
    bays: tuple[Bay, ...],
    bound: float,
    status: str,
    mounts: tuple[Mount, ...] = (),
) -> Layout:
    """As `assembled`, without what the layout takes to build: cost, sheets and parts are 0."""
    layout = scored(search, _bare(search, bays, mounts), search.yardstick, bound)
    status = _ended(status, layout.gap, search.brief.options.gap)
    return layout.model_copy(update={"status": status})


def costed(brief: Brief, layout: Layout, *, steps: int = CHOOSING_STEPS) -> Layout:
    """A measured layout with the cost, sheets and parts of its build pack."""
    taken = _takings(brief, layout.bays, layout.fillers, layout.mounts, steps)
    assert layout.metrics is not None  # noqa: S101 - it is measured
    figures = {
        "material_cost": taken.cost,
        "cost_error": taken.error,
        "sheets": taken.sheets,
        "parts": taken.parts,
    }
    return layout.model_copy(update={"metrics": layout.metrics.model_copy(update=figures)})


def measured(basis: ScoringBasis, bays: tuple[Bay, ...], mounts: tuple[Mount, ...] = ()) -> Layout:
    """A layout of `bays` and `mounts` with metrics, strength, shortfalls and fillers, unscored."""
    return costed(basis.brief, _bare(basis, bays, mounts))


def _bare(basis: ScoringBasis, bays: tuple[Bay, ...], mounts: tuple[Mount, ...]) -> Layout:
    """As `measured`, without what it takes to build."""
    brief = basis.brief
    amounts = amounts_of(bays, basis.rules, basis.surveyed, mounts)
    lengths = {line.id: line.length for line in basis.surveyed.outline.walls}
    bare = Layout(
        bays=bays,
        mounts=mounts,
        fillers=_fillers(basis, bays),
        lines={wall: max(b.height for b in bays if b.wall == wall) for wall in _walls(bays)},
        margins=margins_of(brief, bays, lengths, mounts),
    )
    return bare.model_copy(
        update={
            "metrics": _metrics(amounts),
            "structure": worst(brief, bare),
            "unmet": shortfalls(basis.frame.needs(), basis.frame.achieved(amounts), brief),
        }
    )


def scored(basis: ScoringBasis, layout: Layout, yardstick: Yardstick, bound: float) -> Layout:
    """The layout with its score, term by term; the bound is never told to be below it."""
    amounts = amounts_of(layout.bays, basis.rules, basis.surveyed, layout.mounts)
    terms = basis.frame.terms(amounts, yardstick)
    score = sum(term.points for term in terms)
    # A score above the bound is rounding on the grid, which the model does not know.
    bound = max(bound, score)
    gap = (bound - score) / max(1.0, abs(score))
    return layout.model_copy(update={"score": score, "bound": bound, "gap": gap, "terms": terms})


def _ended(status: str, gap: float, asked: float) -> str:
    """How a layout's solve ended, as its own gap lets it be said.

    Placing may add a mid support where studs stand unluckily: its score is then a little below
    what the model proved the best of, and the word must not promise more than the gap.
    """
    if status == "optimal" and gap > _EXACT:
        status = "within_gap"
    return "bounded" if status == "within_gap" and gap > asked + _EXACT else status


def _walls(bays: Sequence[Bay]) -> list[str]:
    """Ids of the walls that carry bays, in the order of the bays."""
    return list(dict.fromkeys(bay.wall for bay in bays))


def _metrics(amounts: Amounts) -> Metrics:
    """The metrics of a layout that its bays decide; what it takes to build is still 0."""
    return Metrics(
        long_hang=amounts.hang[Hang.LONG],
        medium_hang=amounts.hang[Hang.MEDIUM],
        short_hang=amounts.hang[Hang.SHORT],
        shelf_length=amounts.shelf_length,
        shelf_area=amounts.shelf_area,
        open_floor=amounts.open_floor,
        easy_length=amounts.easy,
        items_housed=sum(amounts.housed.values()),
        material_cost=0.0,
        sheets=0,
        parts=0,
    )


@lru_cache(maxsize=64)
def _takings(
    brief: Brief,
    bays: tuple[Bay, ...],
    fillers: tuple[Filler, ...],
    mounts: tuple[Mount, ...],
    steps: int,
) -> Takings:
    """What a layout takes; kept, since a layout is often put together more than once."""
    return takings_of(brief, Layout(bays=bays, fillers=fillers, mounts=mounts), steps=steps)


def _fillers(basis: ScoringBasis, bays: Sequence[Bay]) -> tuple[Filler, ...]:
    """Left-overs between a wall's end and the nearest upright that are scribed or filled."""
    brief, panel = basis.brief, basis.rules.panel
    limit = brief.construction.scribe_limit
    found: list[Filler] = []
    for index, wall in enumerate(brief.room.walls):
        own = [bay for bay in bays if bay.wall == wall.id]
        if not own:
            continue
        length = basis.surveyed.outline.walls[index].length
        ends = (
            (own[0].left, 0.0, own[0].start - panel),
            (own[-1].right, own[-1].end + panel, length),
        )
        for carried, start, end in ends:
            if carried is not Carried.UPRIGHT:
                continue
            # Less than half a step of the grid is rounding, not a gap.
            if basis.rules.grid / 2 < end - start <= limit:
                found.append(Filler(wall=wall.id, start=start, width=end - start, kind="scribe"))
    return tuple(found)


def ranked(layouts: Iterable[Layout], brief: Brief) -> tuple[Layout, ...]:
    """Layouts by falling score, numbered, each with its trade-off against the first.

    The solver's gap may let a later layout score above an earlier one. A bound found when
    layouts 1..k-1 were to be kept away from holds for every layout that follows all of
    them here, so each takes the last such bound.
    """
    found = list(layouts)
    order = sorted(range(len(found)), key=lambda index: (-found[index].score, index))
    result: list[Layout] = []
    for rank, index in enumerate(order, start=1):
        # The first layout found that does not rank before this one: while it was looked for, all
        # found earlier were to be kept away from, and all of these rank before.
        before = set(order[: rank - 1])
        proved = next(k for k in range(len(found)) if k not in before)
        layout = found[index]
        bound = max(found[proved].bound, layout.score)
        gap = (bound - layout.score) / max(1.0, abs(layout.score))
        layout = layout.model_copy(
            update={
                "rank": rank,
                "bound": bound,
                "gap": gap,
                # Under the bound of another layout less may be proved of it than of its own.
                "status": _ended(layout.status, gap, brief.options.gap),
                "trade_off": "",
            }
        )
        if result:
            layout = layout.model_copy(update={"trade_off": trade_off(result[0], layout, brief)})
        result.append(layout)
    return tuple(result)


def leaves_no_need_shorter(former: Layout, now: Layout) -> bool:
    """Whether no need is further from being met than in the former layout."""
    short = {need.need: need.shortfall for need in former.unmet}
    return all(need.shortfall <= short.get(need.need, 0.0) + FINE for need in now.unmet)


def before(
    first: Layout, layouts: Sequence[Layout], brief: Brief, walls: Sequence[str]
) -> tuple[Layout, ...]:
    """A layout that scores more than all of `layouts`, then those that keep their distance from
    it, ranked; no more than were asked for."""
    bound = max(layouts[0].bound if layouts else first.bound, first.score)
    best = first.model_copy(update={"bound": bound})
    # Bounds speak of layouts that may be left out here; the first one's holds for all.
    apart = [
        layout.model_copy(update={"bound": bound})
        for layout in layouts
        if differences((best, layout), brief, walls)[0][1] >= brief.options.min_difference
    ]
    options = brief.options
    return ranked([best, *apart], brief)[: options.alternatives]


def within_loss(layouts: Sequence[Layout], brief: Brief) -> tuple[Layout, ...]:
    """Ranked layouts without those at the end that hold so much less than the model promised of
    them that they lose more than is allowed; what rounding and the gap take is forgiven."""
    options = brief.options
    best = max((layout.score for layout in layouts), default=0.0)
    least = best * (1.0 - options.max_quality_loss) - 100.0 * options.gap - FORGIVEN
    return tuple(layout for layout in layouts if layout.score >= least)


def status_of(statuses: Sequence[str]) -> Status:
    """Status of a study from those of its layouts and of how the search ended."""
    # The gravest first: one layout stopped early makes the study one that was stopped.
    if "cancelled" in statuses:
        return Status.CANCELLED
    if "time_limit" in statuses:
        return Status.TIME_LIMIT
    return Status.WITHIN_GAP if "within_gap" in statuses else Status.OPTIMAL
