"""Studies of which a test wants the layouts, and not why something is short."""

from __future__ import annotations

from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.progress import Progress
from optimizer.domain.study import Study
from optimizer.proposing import propose


def propose_layouts(brief: Brief, **options: Any) -> Study:
    """`propose` without repairs, stopped once as many layouts are found as the brief asks for.

    They and their bounds are those of a whole run, but for better ones that it may come upon while
    it looks for reasons; those take several searches more.
    """
    most, found = brief.options.alternatives, 0

    def count(progress: Progress) -> None:
        nonlocal found
        found = progress.layouts_found

    return propose(
        brief, repairs=False, progress=count, should_stop=lambda: found >= most, **options
    )
