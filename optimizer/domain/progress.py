"""Progress of a running study, handed to whoever watches it."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.layout import Layout


@dataclass(frozen=True, slots=True)
class Progress:
    """Where a study stands: `score` and `bound` are of the layout being sought.

    `seconds` counts from the start of the study; `layout` is the newest one found, as far
    as it is known already.
    """

    stage: str
    layouts_found: int = 0
    score: float | None = None
    bound: float | None = None
    seconds: float = 0.0
    layout: Layout | None = None
