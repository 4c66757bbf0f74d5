"""The first layout while it is not yet proved: shown early, kept where the run is stopped."""

from __future__ import annotations

from collections.abc import Callable

from optimizer.checking import check_layout
from optimizer.domain.layout import Bay, Layout, Mount
from optimizer.model.search.alternatives import Search
from optimizer.proposing.assembly import assembled

COSTING_STEPS = 0
"""Steps for the sheets of a provisional layout: their cost is an estimate, which says so, since to
prove it takes longer than all else about such a layout."""


class ProvisionalLayout:
    """The best layout met on the way to the first one that has passed the checker.

    It is told to whoever watches and decides nothing of the study, unless the run is stopped
    before anything as good is found.
    """

    def __init__(self, search: Search, tell: Callable[[Layout], None]) -> None:
        """`tell` is told of each that is better than those before."""
        self._search = search
        self._tell = tell
        self.layout: Layout | None = None

    def take(self, bays: tuple[Bay, ...], mounts: tuple[Mount, ...], bound: float) -> None:
        """Check a placed layout and tell of it; one that is no better or breaks a rule is
        dropped."""
        told = bays, min(bound, 100.0), "provisional", mounts
        layout = assembled(self._search, *told, steps=COSTING_STEPS)
        if self.layout is not None and layout.score <= self.layout.score:
            return
        # The search asks the checker again when it ends, and then looks for another layout.
        if check_layout(self._search.brief, layout):
            return
        self.layout = layout
        self._tell(layout)

    def if_better(self, found: Layout | None) -> Layout | None:
        """This layout as what a run that was stopped shows, where it scores more than `found`."""
        layout = self.layout
        if layout is None or (found is not None and found.score >= layout.score):
            return None
        return layout.model_copy(update={"status": "time_limit"})
