"""Solving linear and mixed-integer problems: the only package that knows PuLP's version."""

from optimizer.solving.backends.cbc import cbc_path
from optimizer.solving.backends.choice import SolverName, lp_optima, lp_relaxation, solve
from optimizer.solving.backends.outcome import Outcome, OutOfTimeError, SolveStatus, relative_gap
from optimizer.solving.backends.problem import combined, new_problem, total, value_of, weighted_sum
from optimizer.solving.search.exploration import explore
from optimizer.solving.search.guide import Chord, Guide, Tally
from optimizer.solving.search.provisional import SolutionTaker
from optimizer.solving.search.starts import Memory, Start

__all__ = [
    "Chord",
    "Guide",
    "Memory",
    "OutOfTimeError",
    "Outcome",
    "SolutionTaker",
    "SolveStatus",
    "SolverName",
    "Start",
    "Tally",
    "cbc_path",
    "combined",
    "explore",
    "lp_optima",
    "lp_relaxation",
    "new_problem",
    "relative_gap",
    "solve",
    "total",
    "value_of",
    "weighted_sum",
]
