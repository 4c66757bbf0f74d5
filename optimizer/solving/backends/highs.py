"""HiGHS in this process, through PuLP's HiGHS solver: hooks, determinism, silence.

What this file works around, as seen in highspy 1.16 and PuLP 3.3.2 and 4.2:

- PuLP 3.3.2 reports a solution found by the time limit as optimal; only the model status
  and the bound tell, and they are read from highspy here.
- PuLP 3.3.2 hands a maximisation over negated and without its constant, 4.2 as it is; the
  model's own sense and offset tell how to read a bound.
- The first object that enables its callbacks prints a banner, before PuLP turns the
  output off; PuLP also installs callbacks before that. Both happen here after it.
- The task scheduler belongs to the calling thread and keeps the number of threads of its
  first run: a run with another number fails unless the scheduler is reset.
- An exception inside a callback would leave C++ frames: it is kept, the solver is
  stopped, and the exception is raised afterwards.
"""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import highspy
import numpy as np
import pulp

from optimizer.errors import SolverFailedError
from optimizer.solving.backends.outcome import (
    Outcome,
    OutOfTimeError,
    SolveStatus,
    finished,
    stopped,
)
from optimizer.solving.backends.problem import (
    NEW_PULP,
    columns,
    is_integer,
    maximises,
    objective_constant,
    tidy_values,
    total,
)

OnProgress = Callable[[float, float], None]
StopAsked = Callable[[], bool]

ABSOLUTE_GAP = 1e-9
"""HiGHS stops at an absolute gap of 1e-6 by default, which is no proof of small values."""

CALL_TICKS = 5
"""What one call of our hook counts for, in ticks; each node of HiGHS's search tree counts one more.

Ticks measure work rather than time, so that a limit on them stops at the same point on a slow
machine. A node takes about a millisecond on a program of a few hundred columns; before the tree is
begun there are no nodes to count, but HiGHS calls the hook some hundred times a second."""

_Event = highspy.cb.HighsCallbackType
_Ended = highspy.HighsModelStatus
_WATCHED = (
    _Event.kCallbackMipInterrupt,
    _Event.kCallbackSimplexInterrupt,
    _Event.kCallbackMipImprovingSolution,
)
_scheduler = threading.local()


@dataclass(frozen=True, slots=True)
class SolveLimits:
    """What a solver is told beside the problem; `choice.solve` says what each means.

    `relaxed` solves the linear relaxation, `interior` by the interior point method.
    """

    time_limit: float | None = None
    ticks: int | None = None
    gap: float = 0.0
    seed: int = 0
    threads: int = 1
    on_progress: OnProgress | None = None
    should_stop: StopAsked | None = None
    warm_start: bool = False
    relaxed: bool = False
    interior: bool = False


class _QuietHighs(highspy.Highs):  # type: ignore[misc]
    """HiGHS without the callbacks that it installs by itself: enabling them prints a banner."""

    def enableCallbacks(self) -> None:  # noqa: N802
        """Leave the library's own callbacks off."""


class _Hooked(pulp.HiGHS):  # type: ignore[misc]
    """PuLP's HiGHS with our options, progress and interrupts.

    PuLP calls `createAndConfigureSolver`, builds the model, then calls `callSolver` and
    `findSolutionValues`. After a run `raised` is what a hook raised, `cancelled` whether one asked
    to stop, `spent` whether the ticks ran out, `ticks` the work done.
    """

    def __init__(self, limits: SolveLimits) -> None:
        """`limits` are those of one run: an object is used once."""
        super().__init__(mip=not limits.relaxed, msg=False)
        self.limits = limits
        self.raised: BaseException | None = None
        self.cancelled = False
        self.spent = False
        self.ticks = 0
        self._calls = 0
        self.failed = ""
        self._seen: tuple[float, float] | None = None
        self._to_problem: Callable[[float], float] = float

    def createAndConfigureSolver(self, lp: Any) -> None:  # noqa: N802
        """Make the solver model, silent and with fixed seed and threads."""
        model = _QuietHighs()
        limits = self.limits
        model.setOptionValue("output_flag", False)
        model.setOptionValue("random_seed", limits.seed)
        model.setOptionValue("threads", limits.threads)
        model.setOptionValue("mip_rel_gap", limits.gap)
        model.setOptionValue("mip_abs_gap", ABSOLUTE_GAP)
        if limits.time_limit is not None:
            model.setOptionValue("time_limit", max(0.0, limits.time_limit))
        if limits.interior:
            model.setOptionValue("solver", "ipm")
            # A crossover would go on to a corner, which the caller does not want.
            model.setOptionValue("run_crossover", "off")
        lp.solverModel = model

    def buildSolverModel(self, lp: Any) -> None:  # noqa: N802
        """Hand over the whole problem at once, where PuLP would call HiGHS for each row."""
        if NEW_PULP:
            super().buildSolverModel(lp)
            return
        lp.solverModel.passModel(_as_arrays(lp, mixed=self.mip))

    def callSolver(self, lp: Any) -> None:  # noqa: N802
        """Run HiGHS on pulp's model, with the hooks for progress and stopping in place."""
        model = lp.solverModel
        self._to_problem = reader_of(lp)
        if self.limits.warm_start:
            _hand_over_start(lp)
        if not self.limits.relaxed:
            # A relaxation takes milliseconds, and a hook on each of its steps as much again.
            model.setCallback(self._on_event, None)
            for event in _WATCHED:
                model.startCallback(event)
        claim_scheduler(self.limits.threads)
        ran = model.run()
        if self.limits.interior and model.getModelStatus() == _Ended.kUnknown:
            # Without crossover the interior point may stop short of its tolerances.
            model.setOptionValue("solver", "simplex")
            ran = model.run()
        if ran == highspy.HighsStatus.kError:
            self.failed = f"HiGHS gave up: {model.modelStatusToString(model.getModelStatus())}"
        # The problem keeps the model: no hook in it may go on pointing here.
        model.setCallback(None, None)

    def findSolutionValues(self, lp: Any) -> Any:  # noqa: N802
        """PuLP's own reading of the solution where there is one to read."""
        known = (
            _Ended.kOptimal,
            _Ended.kInfeasible,
            _Ended.kUnbounded,
            _Ended.kUnboundedOrInfeasible,
            _Ended.kTimeLimit,
            _Ended.kInterrupt,
        )
        status = lp.solverModel.getModelStatus()
        if self.failed or status not in known:
            name = lp.solverModel.modelStatusToString(status)
            raise SolverFailedError(self.failed or f"HiGHS stopped: {name}")
        return super().findSolutionValues(lp)

    def _on_event(self, event: Any, _: str, out: Any, answer: Any, __: Any) -> None:
        """What HiGHS calls while it runs: reports progress, and interrupts the run if asked to.

        An exception is kept in `raised` and ends the run: HiGHS, in C++, could not pass it on.
        """
        try:
            if event in (_Event.kCallbackMipInterrupt, _Event.kCallbackMipImprovingSolution):
                self._report(out)
            self._count(int(out.mip_node_count))
            if (self._stop_asked() or self.spent) and answer is not None:
                answer.user_interrupt = True
        except BaseException as error:  # raised again after the run
            self.raised = error
            if answer is not None:
                answer.user_interrupt = True

    def _count(self, nodes: int) -> None:
        """Add this call and the nodes so far up to ticks; over the limit the run is to end."""
        self._calls += 1
        self.ticks = CALL_TICKS * self._calls + max(0, nodes)
        self.spent = self.limits.ticks is not None and self.ticks > self.limits.ticks

    def _stop_asked(self) -> bool:
        """True once anything wants the run to end."""
        if not self.cancelled and self.limits.should_stop is not None:
            self.cancelled = self.limits.should_stop()
        return self.cancelled or self.raised is not None

    def _report(self, out: Any) -> None:
        """Tell of a new incumbent or bound [in the problem's own terms], each pair once."""
        if self.limits.on_progress is None or not math.isfinite(out.mip_primal_bound):
            return
        pair = (self._to_problem(out.mip_primal_bound), self._to_problem(out.mip_dual_bound))
        if pair != self._seen:
            self._seen = pair
            self.limits.on_progress(*pair)


def run_highs(problem: Any, limits: SolveLimits) -> Outcome:
    """Solve `problem` (pulp.LpProblem) with HiGHS in this process.

    Its variables then hold the solution of the outcome, if there is one, integer ones rounded to
    whole numbers. Raises SolverFailedError when HiGHS fails, and whatever a hook raised.
    """
    started = time.perf_counter()
    solver = _Hooked(limits)
    problem.solve(solver)
    if solver.raised is not None:
        raise solver.raised
    outcome = _read(problem, limits, time.perf_counter() - started)
    # HiGHS knows of no ticks: it was interrupted, which reads as if somebody had cancelled.
    if solver.spent and outcome.status == "cancelled":
        outcome = replace(outcome, status="time_limit")
    outcome = replace(outcome, ticks=solver.ticks)
    if outcome.has_solution and not limits.relaxed:
        tidy_values(problem)
    return outcome


def relaxed_optima(
    problem: Any, objectives: Sequence[Any], limits: SolveLimits
) -> list[float | None]:
    """The greatest value of each of `objectives` in the linear relaxation of `problem`.

    One model serves them all, and each solve starts from where the one before ended: much faster
    than as many problems. None where the relaxation has no solution; raises SolverFailedError where
    there is no greatest value, and OutOfTimeError where all take longer than the time limit.
    """
    began = time.monotonic()
    # Their sum holds every variable, so that the model has a column for each.
    problem.setObjective(total(objectives))
    model = built_model(problem, limits)
    count = model.getNumCol()
    everything = np.arange(count, dtype=np.int32)
    model.changeColsIntegrality(count, everything, np.full(count, highspy.HighsVarType.kContinuous))
    model.changeObjectiveSense(highspy.ObjSense.kMaximize)
    place = {variable.name: index for index, variable in enumerate(columns(problem))}
    claim_scheduler(limits.threads)
    if limits.time_limit is not None:
        # To build the model takes its part of the time.
        left = limits.time_limit - (time.monotonic() - began)
        model.setOptionValue("time_limit", max(left, 0.0))
    return [_optimum(model, total([each]), place) for each in objectives]


def _optimum(model: Any, objective: Any, place: dict[str, int]) -> float | None:
    """The greatest value of one expression on a model that may have been solved for another.

    `place` is the column of each variable by name.
    """
    costs = np.zeros(len(place))
    for variable, coefficient in objective.items():
        costs[place[variable.name]] = coefficient
    model.changeColsCost(len(costs), np.arange(len(costs), dtype=np.int32), costs)
    # PuLP may have handed over the constant of the sum.
    model.changeObjectiveOffset(0.0)
    model.run()
    status = model.getModelStatus()
    if status == _Ended.kInfeasible:
        return None
    if status == _Ended.kTimeLimit:
        raise OutOfTimeError
    if status != _Ended.kOptimal:
        raise SolverFailedError(f"HiGHS stopped: {model.modelStatusToString(status)}")
    return float(model.getInfo().objective_function_value) + float(objective.constant)


def built_model(problem: Any, limits: SolveLimits) -> Any:
    """HiGHS's own model of `problem`, built by PuLP and not yet run."""
    solver = _Hooked(limits)
    solver.createAndConfigureSolver(problem)
    solver.buildSolverModel(problem)
    return problem.solverModel


def _as_arrays(problem: Any, *, mixed: bool) -> Any:
    """A problem of PuLP 3.3 as HiGHS's own (HighsLp), as PuLP builds it: a maximisation negated.

    Places in it are kept in the problem's variables and constraints, where PuLP looks for them.
    """
    lp, variables = highspy.HighsLp(), columns(problem)
    place = {}
    for index, variable in enumerate(variables):
        variable.index = index
        place[id(variable)] = index
    sign = -1.0 if maximises(problem) else 1.0
    costs = np.zeros(len(variables))
    for variable, value in problem.objective.items():
        costs[place[id(variable)]] = sign * value
    lp.num_col_, lp.col_cost_ = len(variables), costs
    lp.col_lower_ = np.array([_or(v.lowBound, -highspy.kHighsInf) for v in variables])
    lp.col_upper_ = np.array([_or(v.upBound, highspy.kHighsInf) for v in variables])
    if mixed:
        kinds = highspy.HighsVarType
        lp.integrality_ = [
            kinds.kInteger if is_integer(v) else kinds.kContinuous for v in variables
        ]
    _add_rows(lp, problem.constraints(), place)
    return lp


def _add_rows(lp: Any, constraints: Sequence[Any], place: dict[int, int]) -> None:
    """Give a HighsLp the rows of constraints, `place` being the columns of variables by id."""
    starts, inner, values = [0], [], []
    lows, highs = np.empty(len(constraints)), np.empty(len(constraints))
    for index, constraint in enumerate(constraints):
        constraint.index = index
        for variable, value in constraint.items():
            if value != 0:
                inner.append(place[id(variable)])
                values.append(value)
        starts.append(len(inner))
        lows[index] = _or(constraint.getLb(), -highspy.kHighsInf)
        highs[index] = _or(constraint.getUb(), highspy.kHighsInf)
    lp.num_row_, lp.row_lower_, lp.row_upper_ = len(constraints), lows, highs
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
    lp.a_matrix_.index_ = np.array(inner, dtype=np.int32)
    lp.a_matrix_.value_ = np.array(values, dtype=np.float64)


def _or(bound: float | None, missing: float) -> float:
    """A bound, or `missing` where PuLP has none."""
    return missing if bound is None else float(bound)


def quiet_model(limits: SolveLimits) -> Any:
    """An empty silent model with seed and threads."""
    model = _QuietHighs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("random_seed", limits.seed)
    model.setOptionValue("threads", limits.threads)
    return model


def quiet_copy(model: Any, limits: SolveLimits) -> Any:
    """A silent copy of one of HiGHS's models, with the same seed and threads."""
    copy = quiet_model(limits)
    copy.passModel(model.getModel())
    return copy


def reader_of(problem: Any) -> Callable[[float], float]:
    """A function that turns values of the solver's objective into those of the problem's.

    The two differ in sign and by a constant, depending on the version of PuLP.
    """
    model = problem.solverModel
    sense = pulp.LpMaximize if _maximises(model) else pulp.LpMinimize
    sign = 1.0 if sense == problem.sense else -1.0
    constant = objective_constant(problem)
    # The difference is the constant where PuLP did not hand it over, and zero where it did.
    missing = constant - sign * float(model.getObjectiveOffset()[1])

    def to_problem(value: float) -> float:
        """A value or a bound of the solver's in the problem's own sense and with its constant."""
        return sign * value + missing

    return to_problem


def _maximises(model: Any) -> bool:
    """True when the solver's own model is a maximisation."""
    return bool(model.getObjectiveSense()[1] == highspy.ObjSense.kMaximize)


def _read(problem: Any, limits: SolveLimits, seconds: float) -> Outcome:
    """The outcome, from the solver's own status and figures rather than from PuLP's."""
    model = problem.solverModel
    status, info = model.getModelStatus(), model.getInfo()
    to_problem = reader_of(problem)
    mixed = not limits.relaxed and problem.isMIP()
    nodes = int(info.mip_node_count) if mixed else None
    if status == _Ended.kOptimal:
        value = to_problem(info.objective_function_value)
        bound = to_problem(info.mip_dual_bound) if mixed else value
        return finished(value, bound, limits.gap if mixed else 0.0, seconds, nodes)
    if status in (_Ended.kTimeLimit, _Ended.kInterrupt):
        # A linear program that was stopped is on its way: neither its point nor its value holds.
        held = mixed and info.primal_solution_status == highspy.kSolutionStatusFeasible
        incumbent = to_problem(info.objective_function_value) if held else None
        limit = to_problem(info.mip_dual_bound) if mixed else None
        ended: SolveStatus = "time_limit" if status == _Ended.kTimeLimit else "cancelled"
        return stopped(ended, incumbent, limit, seconds, nodes)
    impossible = status == _Ended.kInfeasible or (
        status == _Ended.kUnboundedOrInfeasible and _has_no_solution(model)
    )
    return stopped("infeasible" if impossible else "unbounded", None, None, seconds, nodes)


def _has_no_solution(model: Any) -> bool:
    """Whether the model is infeasible, where HiGHS says "infeasible or unbounded".

    It is solved again with nothing to optimise: that cannot be unbounded.
    """
    count = model.getNumCol()
    model.changeColsCost(count, list(range(count)), [0.0] * count)
    model.run()
    return bool(model.getModelStatus() == _Ended.kInfeasible)


def _hand_over_start(problem: Any) -> None:
    """Give HiGHS the values that the variables hold as a first solution."""
    held = [(i, v.value()) for i, v in enumerate(columns(problem)) if v.value() is not None]
    if held:
        indices, values = zip(*held, strict=True)
        problem.solverModel.setSolution(len(indices), list(indices), list(values))


def claim_scheduler(threads: int) -> None:
    """Make HiGHS run on `threads` on this thread: resets its scheduler where it was started for
    another number, which would fail the next run."""
    if getattr(_scheduler, "threads", threads) != threads:
        highspy.Highs.resetGlobalScheduler(True)
    _scheduler.threads = threads
