"""Progress of a running study, handed to whoever watches it."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.layout import Layout


@dataclass(frozen=True, slots=True)
class Progress:
    """Where a study stands: `score` and `bound` are of the layout being sought.

    `seconds` counts from the start of the study; `layout` is the newest one found, as far
    as it is known already. Before any is found it may be a provisional one, which no
    `layouts_found` counts: it has passed the checker, its bound is what is proved by then, and
    the search for a better one goes on.
    """

    stage: str
    layouts_found: int = 0
    score: float | None = None
    bound: float | None = None
    seconds: float = 0.0
    layout: Layout | None = None

    @property
    def provisional(self) -> bool:
        """Whether the layout may still be replaced by a better one."""
        return self.layout is not None and self.layout.status == "provisional"
