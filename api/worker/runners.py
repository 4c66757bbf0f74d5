"""What the service asks of whatever solves its studies, and how it is found."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Sequence
from typing import Protocol, cast

from optimizer.domain.brief import Brief
from optimizer.domain.progress import Progress
from optimizer.domain.study import Study, Warned
from optimizer.errors import Fault

OnProgress = Callable[[Progress], None]
ShouldStop = Callable[[], bool]


class Runner(Protocol):
    """Solves briefs; must be pure, so that a repeated run does no harm."""

    def propose(
        self,
        brief: Brief,
        warnings: Sequence[Warned],
        progress: OnProgress,
        should_stop: ShouldStop,
    ) -> Study:
        """A study of the brief."""

    def rerun(
        self,
        earlier: Study,
        brief: Brief,
        warnings: Sequence[Warned],
        progress: OnProgress,
        should_stop: ShouldStop,
        *,
        stability: float,
    ) -> Study:
        """A study of a changed brief that is never worse than the earlier one under it."""

    def rescore(self, study: Study, brief: Brief) -> Study:
        """The study's layouts ranked anew under the brief's priorities, at once."""

    def pin_faults(self, brief: Brief) -> Sequence[Fault]:
        """A fault for every pin that cannot stand where it is put, without a solve."""


def load_runner(path: str) -> Runner:
    """The runner at `MODULE:CLASS`, ready to use."""
    module_name, _, class_name = path.partition(":")
    maker = getattr(importlib.import_module(module_name), class_name)
    return cast(Runner, maker())
