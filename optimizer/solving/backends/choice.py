"""The functions that the rest of the program solves with: a problem and a solver's name go in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Literal

from optimizer.errors import SolverFailedError
from optimizer.solving.backends.cbc import run_cbc
from optimizer.solving.backends.highs import SolveLimits, relaxed_optima, run_highs
from optimizer.solving.backends.outcome import Outcome
from optimizer.solving.backends.problem import total

SolverName = Literal["highs", "cbc"]


def solve(
    problem: Any,
    *,
    solver: SolverName = "highs",
    time_limit: float | None = None,
    ticks: int | None = None,
    gap: float = 0.0,
    seed: int = 0,
    threads: int = 1,
    on_progress: Callable[[float, float], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
    warm_start: bool = False,
) -> Outcome:
    """Solve `problem` (pulp.LpProblem); its variables then hold the solution, if there is one.

    * `time_limit` [s] and `ticks` end the search, with "time_limit" as the outcome's status. Ticks
      count the work that HiGHS has done (`highs.CALL_TICKS`), so that a busy machine does not
      change the answer, as it may under a time limit.
    * `gap` is how far the solution may stay from its bound, relative to it; 0 asks for a proof.
    * `on_progress(incumbent, bound)` is called with each new pair, `should_stop()` many times a
      second, both on the thread that solves. What they raise is raised here once the solver has
      stopped. CBC calls neither while it runs.
    * `warm_start` takes the values that the variables hold as a first solution. They never bind.
    * `threads` are of HiGHS; CBC runs on one. A second one costs a twentieth more work and ends
      sooner in large problems alone.

    The same seed, number of threads and machine give the same answer as long as no time limit
    strikes. Raises SolverFailedError when the solver is missing or fails. A problem that is
    infeasible or unbounded, or a search that was stopped, is no error but an outcome.
    """
    limits = SolveLimits(
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
    threads: int = 1,
    interior: bool = False,
) -> Outcome:
    """Solve the linear relaxation of `problem`: its integer variables may take fractions.

    The variables then hold its solution and each constraint's `pi` its dual price. Read the prices
    of minimisations only: PuLP 3.3 gives those of a maximisation the opposite sign. `time_limit` in
    seconds. With `interior` HiGHS uses its interior point method and gives a solution from the
    middle of the best ones instead of a corner; its prices make column generation take fewer
    rounds, and its values are good to about 1e-7. CBC ignores `interior`. Raises SolverFailedError
    as `solve` does.
    """
    limits = SolveLimits(time_limit=time_limit, threads=threads, relaxed=True, interior=interior)
    return _run(problem, solver, limits)


def lp_optima(
    problem: Any,
    objectives: Sequence[Any],
    *,
    solver: SolverName = "highs",
    time_limit: float | None = None,
) -> list[float | None]:
    """The greatest value of each of `objectives` in the linear relaxation of `problem`.

    In their order; None where the relaxation has no solution. Replaces the objective of `problem`.
    Raises SolverFailedError where an expression can be made as large as one likes, and
    OutOfTimeError where HiGHS takes longer than `time_limit` [s] for all of them.
    """
    if solver == "highs":
        return relaxed_optima(problem, objectives, SolveLimits(time_limit=time_limit))
    found: list[float | None] = []
    for objective in objectives:
        # A single variable is no expression yet.
        problem.setObjective(total([objective]))
        outcome = lp_relaxation(problem, solver=solver)
        if outcome.objective is None and outcome.status != "infeasible":
            raise SolverFailedError(f"a relaxation could not be solved: {outcome.status}")
        found.append(outcome.objective)
    return found


def _run(problem: Any, solver: SolverName, limits: SolveLimits) -> Outcome:
    """Run the named solver."""
    if solver == "highs":
        return run_highs(problem, limits)
    if solver == "cbc":
        return run_cbc(problem, limits)
    raise SolverFailedError(f"there is no solver {solver!r}; take highs or cbc")
