"""The one way to solve: pick a solver, get an honest outcome."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Literal

from pulp import lpSum

from optimizer.errors import SolverFailedError
from optimizer.solving.backends.cbc import run_cbc
from optimizer.solving.backends.highs import Limits, relaxed_optima, run_highs
from optimizer.solving.backends.outcome import Outcome

SolverName = Literal["highs", "cbc"]


def solve(
    problem: Any,
    *,
    solver: SolverName = "highs",
    time_limit: float | None = None,
    ticks: int | None = None,
    gap: float = 0.0,
    seed: int = 0,
    threads: int = 2,
    on_progress: Callable[[float, float], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
    warm_start: bool = False,
) -> Outcome:
    """Outcome of solving `problem` (pulp.LpProblem); its variables then hold the solution.

    `time_limit` in seconds, `ticks` in HiGHS's own work (`highs.CALL_TICKS`), which a busy machine
    does not change; both end as "time_limit". `gap` relative, 0 for a proof.
    `on_progress(incumbent, bound)` is called with each new pair and `should_stop()` many times
    a second, both on the solving thread; what they raise comes out of here once the solver has
    stopped. With `warm_start` the values that the variables hold are the first solution,
    never binding. One seed, one number of threads and one machine give the same answer as
    long as no time limit strikes. CBC runs on one thread and calls nothing while it runs.

    Raises SolverFailedError when the solver is missing or fails; infeasible, unbounded and
    stopped are outcomes.
    """
    limits = Limits(
        time_limit=time_limit,
        ticks=ticks,
        gap=gap,
        seed=seed,
        threads=threads,
        on_progress=on_progress,
        should_stop=should_stop,
        warm_start=warm_start,
    )
    return _run(problem, solver, limits)


def lp_relaxation(
    problem: Any,
    *,
    solver: SolverName = "highs",
    time_limit: float | None = None,
    threads: int = 2,
    interior: bool = False,
) -> Outcome:
    """Outcome of `problem` with its integers relaxed; variables and constraints' `pi` hold
    the linear program's solution and prices (read prices of minimisations only: PuLP 3.3
    turns those of a maximisation round). With `interior` HiGHS takes a solution from the
    middle of the best ones, with prices that make column generation shorter; its values
    are good to about 1e-7. CBC knows no such thing and ignores it."""
    limits = Limits(time_limit=time_limit, threads=threads, relaxed=True, interior=interior)
    return _run(problem, solver, limits)


def lp_optima(
    problem: Any, objectives: Sequence[Any], *, solver: SolverName = "highs"
) -> list[float | None]:
    """The greatest value that each expression has in the linear relaxation, None where the
    relaxation has no solution. The objective of `problem` is changed.

    Raises SolverFailedError where one has no greatest value.
    """
    if solver == "highs":
        return relaxed_optima(problem, objectives, Limits())
    found: list[float | None] = []
    for objective in objectives:
        problem.setObjective(lpSum([objective]))
        outcome = lp_relaxation(problem, solver=solver)
        if outcome.objective is None and outcome.status != "infeasible":
            raise SolverFailedError(f"a relaxation could not be solved: {outcome.status}")
        found.append(outcome.objective)
    return found


def _run(problem: Any, solver: SolverName, limits: Limits) -> Outcome:
    """Run the named solver."""
    if solver == "highs":
        return run_highs(problem, limits)
    if solver == "cbc":
        return run_cbc(problem, limits)
    raise SolverFailedError(f"there is no solver {solver!r}; take highs or cbc")
