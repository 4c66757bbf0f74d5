"""Which needs cannot all be met together, though each of them alone can."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.domain.brief import Brief
from optimizer.domain.study import Warned, Yardstick
from optimizer.explaining.deletion_filter import smallest
from optimizer.explaining.shortfalls import meeting
from optimizer.model.search.alternatives import Ended, Search
from optimizer.scoring.terms import Need

ANY_LAYOUT_GAP = 0.5
"""The question is only whether a layout exists, not how good it is."""


def needs_conflict(
    brief: Brief, yardstick: Yardstick, needs: Sequence[Need], deadline: float
) -> Warned | None:
    """A smallest set of needs that no layout meets together (a deletion filter).

    Needs that come first are left out first. None where they can all be met, where one of
    them cannot be met at all, and where time ran out before any of it was proved;
    `deadline` in monotonic seconds.
    """

    def possible(some: Sequence[Need]) -> bool | None:
        """Whether some of the needs can be met together; None where time ran out."""
        return _possible(brief, yardstick, some, deadline)

    if possible(needs) is not False:
        return None
    kept, settled = smallest(needs, possible, deadline)
    if len(kept) < 2:
        return None
    return _told(kept, settled=settled)


def _possible(
    brief: Brief, yardstick: Yardstick, needs: Sequence[Need], deadline: float
) -> bool | None:
    """Whether a layout meets all of `needs`; None when time ran out."""
    options = brief.options.model_copy(update={"gap": ANY_LAYOUT_GAP})
    search = Search.within(brief.model_copy(update={"options": options}), yardstick, deadline)
    if search is None:
        return None
    result = meeting(search, needs, deadline)
    if isinstance(result, Ended):
        return False if result.outcome.status == "infeasible" else None
    return True


def _told(needs: Sequence[Need], *, settled: bool) -> Warned:
    """The conflict as a warning; `settled` where no smaller one was left open."""
    names = [need.name.words for need in needs]
    listed = f"{', '.join(names[:-1])} and {names[-1]}"
    both = "both" if len(names) == 2 else "all"
    detail = f"{listed} do not {both} go into this room in full (proved)"
    detail += (
        "; without any one of them, what is left does"
        if settled
        else "; whether fewer of them would was not settled in time"
    )
    return Warned(code="needs_conflict", pointer="/needs", detail=detail)
