"""CBC as a separate program, through PuLP's COIN_CMD.

PuLP 3.3 brings a CBC 2.10 along; PuLP 4 takes the one of the package `cbcbox` or the
`cbc` on the path. Neither PuLP reports a bound that can be used: 4.2 leaves out the constant
of the objective, and gives the bound of the root node after a finished search. So the distance
between objective and bound is read from CBC's log here.
"""

from __future__ import annotations

import re
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import pulp

from optimizer.errors import SolverFailedError
from optimizer.solving.backends.highs import SolveLimits
from optimizer.solving.backends.outcome import Outcome, finished, stopped
from optimizer.solving.backends.problem import NEW_PULP, objective_value, tidy_values

_NUMBER = r"([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?|[-+]?inf)"
_OBJECTIVE = re.compile(rf"^Objective value:\s+{_NUMBER}\s*$", re.MULTILINE)
_BOUND = re.compile(rf"^(?:Upper|Lower) bound:\s+{_NUMBER}\s*$", re.MULTILINE)
_NODES = re.compile(r"^Enumerated nodes:\s+(\d+)\s*$", re.MULTILINE)

PRINTED_DIGITS = 1e-3, 1e-5
"""How far a bound in the log may be off, absolute and relative, because CBC rounds what it
prints: to three decimals (2.10) or to six digits (later versions)."""

_Ending = Literal["solved", "stopped", "infeasible", "unbounded", "failed"]


@dataclass(frozen=True, slots=True)
class _Report:
    """How CBC ended, in our own words, and whether the variables hold a solution."""

    ending: _Ending
    has_solution: bool


def cbc_path() -> str | None:
    """Path or name of a CBC that can run, None when there is none."""
    # None as the path makes PuLP look for `cbc` itself, where the system keeps its programs.
    bundled = None if NEW_PULP else getattr(pulp.PULP_CBC_CMD, "pulp_cbc_path", None)
    for path in (bundled, None):
        solver = pulp.COIN_CMD(path=path, msg=False)
        if solver.available():
            return str(solver.path)
    return None


def run_cbc(problem: Any, limits: SolveLimits) -> Outcome:
    """Solve `problem` (pulp.LpProblem) with CBC on one thread.

    Its variables then hold the solution of the outcome, if there is one. CBC runs as another
    program, so that no progress is reported and `limits.should_stop` is asked only before it
    starts. Raises SolverFailedError when CBC is missing (the message says what to install) or
    fails.
    """
    path = cbc_path()
    if path is None:
        raise SolverFailedError(
            "CBC is not installed: pip install cbcbox, or put the program cbc on the path; "
            "or solve with highs"
        )
    if limits.should_stop is not None and limits.should_stop():
        return stopped("cancelled", None, None, 0.0, None)
    started = time.perf_counter()
    with tempfile.TemporaryDirectory(prefix="cbc-") as folder:
        log = Path(folder) / "cbc.log"
        report = _run(problem, _solver(path, log, limits, folder))
        # Before the folder goes.
        text = log.read_text(encoding="utf-8", errors="replace") if log.exists() else ""
    outcome = _read(problem, report, text, limits, time.perf_counter() - started)
    if outcome.has_solution and not limits.relaxed:
        tidy_values(problem)
    return outcome


def _solver(path: str, log: Path, limits: SolveLimits, folder: str) -> Any:
    """PuLP's solver object with our limits; all files that it writes go into `folder`."""
    solver = pulp.COIN_CMD(
        path=path,
        msg=False,
        mip=not limits.relaxed,
        logPath=str(log),
        timeLimit=None if limits.time_limit is None else max(0.01, limits.time_limit),
        gapRel=limits.gap,
        # CBC's own absolute gap would end a search of small values before the relative one is met.
        gapAbs=0,
        warmStart=limits.warm_start,
        # CBC takes a seed of 0 for "choose one by the clock"; ours starts at 0.
        options=[f"randomSeed {limits.seed + 1}", f"randomCbcSeed {limits.seed + 1}"],
    )
    solver.tmpDir = folder
    return solver


def _run(problem: Any, solver: Any) -> _Report:
    """Run CBC, and read how it ended from whichever PuLP is installed."""
    try:
        answer = problem.solve(solver)
    except pulp.PulpSolverError as error:
        raise SolverFailedError(f"CBC failed: {error}") from error
    return _report_new(answer) if NEW_PULP else _report_old(problem)


def _report_new(stats: Any) -> _Report:
    """Ending from the statistics object of PuLP 4."""
    endings: dict[str, _Ending] = {
        "Optimal": "solved",
        "GapLimit": "solved",
        "Infeasible": "infeasible",
        "Unbounded": "unbounded",
        "TimeLimit": "stopped",
        "Interrupted": "stopped",
        "Stopped": "stopped",
    }
    return _Report(endings.get(stats.status.name, "failed"), bool(stats.has_solution))


def _report_old(problem: Any) -> _Report:
    """Ending from PuLP 3.3, which keeps two: `status`, and `sol_status` of the solution.

    `status` says optimal also where time ran out with a solution at hand; only `sol_status`
    tells that from a proof.
    """
    endings: dict[int, _Ending] = {
        pulp.LpSolutionOptimal: "solved",
        pulp.LpSolutionIntegerFeasible: "stopped",
        pulp.LpSolutionNoSolutionFound: "stopped",
        pulp.LpSolutionInfeasible: "infeasible",
        pulp.LpSolutionUnbounded: "unbounded",
    }
    ending = endings.get(problem.sol_status, "failed")
    if problem.status == pulp.LpStatusInfeasible:
        # "Integer infeasible" has no solution status of its own.
        ending = "infeasible"
    held = problem.sol_status in (pulp.LpSolutionOptimal, pulp.LpSolutionIntegerFeasible)
    return _Report(ending, held)


def _read(problem: Any, report: _Report, log: str, limits: SolveLimits, seconds: float) -> Outcome:
    """Outcome from how CBC ended and what its log says; `seconds` is how long it ran.

    Raises SolverFailedError, with the end of the log, where CBC neither solved nor stopped.
    """
    if report.ending == "failed":
        raise SolverFailedError(f"CBC failed: {log[-300:].strip() or 'no log'}")
    nodes = int(match[1]) if (match := _NODES.search(log)) else None
    if report.ending == "infeasible":
        # Its preprocessing also says so where time ran out in the midst of it: that is no proof.
        over = limits.time_limit is not None and seconds >= limits.time_limit
        return stopped("time_limit" if over else "infeasible", None, None, seconds, nodes)
    if report.ending == "unbounded":
        return stopped("unbounded", None, None, seconds, nodes)
    if not report.has_solution:
        return stopped("time_limit", None, None, seconds, nodes)
    # The objective is added up anew from the variables, the log's being rounded; of the log only
    # the distance to the bound is used, which no constant of the objective can falsify.
    objective = objective_value(problem)
    distance = _distance(log)
    sign = 1.0 if problem.sense == pulp.LpMaximize else -1.0
    if report.ending == "solved":
        # A search within its gap says so by printing a bound; a complete one prints none.
        gap_left = 0.0 if distance is None else distance
        return finished(objective, objective + sign * gap_left, limits.gap, seconds, nodes)
    bound = None if distance is None else objective + sign * distance
    return stopped("time_limit", objective, bound, seconds, nodes)


def _distance(log: str) -> float | None:
    """Distance between objective and bound in the log; None where the log has no bound.

    Widened by what the two may have been rounded, so that the bound made of it holds.
    """
    value, bound = _OBJECTIVE.search(log), _BOUND.search(log)
    if value is None or bound is None:
        return None
    absolute, relative = PRINTED_DIGITS
    return abs(float(value[1]) - float(bound[1])) + absolute + relative * abs(float(bound[1]))
