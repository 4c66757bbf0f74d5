"""Solving linear and mixed-integer problems: the only package that knows PuLP's version."""

from optimizer.solving.cbc import cbc_path
from optimizer.solving.guide import Chord, Guide, Tally
from optimizer.solving.outcome import Outcome, SolveStatus, relative_gap
from optimizer.solving.problem import new_problem, value_of, weighted_sum
from optimizer.solving.run import SolverName, lp_optima, lp_relaxation, solve
from optimizer.solving.search import Memory, Start, explore

__all__ = [
    "Chord",
    "Guide",
    "Memory",
    "Outcome",
    "SolveStatus",
    "SolverName",
    "Start",
    "Tally",
    "cbc_path",
    "explore",
    "lp_optima",
    "lp_relaxation",
    "new_problem",
    "relative_gap",
    "solve",
    "value_of",
    "weighted_sum",
]
