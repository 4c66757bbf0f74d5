"""The optimizer as what solves studies."""

from __future__ import annotations

from collections.abc import Sequence

from api.worker.runners import OnProgress, ShouldStop
from optimizer.domain.brief import Brief
from optimizer.domain.study import Study, Warned
from optimizer.errors import Fault
from optimizer.model.pins import pin_faults
from optimizer.proposing import propose, rerun, rescore


class OptimizerRunner:
    """The `Runner` that calls the optimizer; tests put others in its place."""

    def propose(
        self,
        brief: Brief,
        warnings: Sequence[Warned],
        progress: OnProgress,
        should_stop: ShouldStop,
    ) -> Study:
        """A study of the brief."""
        return propose(brief, warnings=tuple(warnings), progress=progress, should_stop=should_stop)

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
        return rerun(
            earlier,
            brief,
            stability=stability,
            warnings=tuple(warnings),
            progress=progress,
            should_stop=should_stop,
        )

    def rescore(self, study: Study, brief: Brief) -> Study:
        """The study's layouts ranked anew under the brief's priorities, at once."""
        return rescore(study, brief)

    def pin_faults(self, brief: Brief) -> Sequence[Fault]:
        """A fault for every pin that cannot stand where it is put, without a solve."""
        return pin_faults(brief)
