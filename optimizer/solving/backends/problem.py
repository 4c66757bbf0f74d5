"""What is done with a PuLP problem, written so that it works on PuLP 3.3 and 4.

The rest of the program uses only what both have: `problem.add_variable(name, lowBound,
upBound, cat)`, `problem += expression`, `problem += constraint, name`, `lpSum`,
`variable.value()` and `constraint.pi`.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import inf
from typing import Any

import pulp

NEW_PULP = int(pulp.__version__.split(".")[0]) >= 4
"""PuLP 4 reports a solve as a statistics object, leaves columns that nothing uses out of
the model and brings no CBC of its own."""


def new_problem(name: str, maximise: bool) -> Any:
    """An empty problem (pulp.LpProblem); blanks in the name become underscores."""
    return pulp.LpProblem(name.replace(" ", "_"), pulp.LpMaximize if maximise else pulp.LpMinimize)


def weighted_sum(pairs: Iterable[tuple[Any, float]]) -> Any:
    """Sum of coefficient x variable over `pairs`, each variable once.

    Much faster than `lpSum(c * x ...)`, which makes an expression of every term.
    """
    listed = list(pairs)
    if NEW_PULP:
        return pulp.LpAffineExpression.from_list(listed)
    return pulp.LpAffineExpression(listed)


def total(terms: Iterable[Any]) -> Any:
    """Sum of variables, expressions and numbers as an expression."""
    return combined((1.0, term) for term in terms)


def combined(parts: Iterable[tuple[float, Any]]) -> Any:
    """Sum of coefficient x term over `parts` as an expression; a term is a variable, an expression
    or a number.

    PuLP's own operators make an expression of each product, which costs more than all the rest.
    """
    # What is multiplied by 0 leaves no variable behind.
    counting = ((coefficient, term) for coefficient, term in parts if coefficient)
    return _added_up(counting) if NEW_PULP else _in_one_dictionary(counting)


def _in_one_dictionary(parts: Iterable[tuple[float, Any]]) -> Any:
    """`combined` for PuLP 3.3, whose expressions are dictionaries in Python."""
    sums: dict[Any, float] = {}
    constant = 0.0
    for coefficient, term in parts:
        if isinstance(term, pulp.LpVariable):
            sums[term] = sums[term] + coefficient if term in sums else coefficient
        elif isinstance(term, pulp.LpAffineExpression):
            constant += coefficient * term.constant
            for variable, value in term.items():
                more = coefficient * value
                sums[variable] = sums[variable] + more if variable in sums else more
        else:
            constant += coefficient * term
    return pulp.LpAffineExpression(sums, constant)


def _added_up(parts: Iterable[tuple[float, Any]]) -> Any:
    """`combined` for PuLP 4, which adds expressions up in compiled code: to read them out would
    take longer."""
    found = pulp.LpAffineExpression.empty()
    for coefficient, term in parts:
        if isinstance(term, pulp.LpVariable):
            found.addterm(term, coefficient)
        else:
            found.addInPlace(term if coefficient == 1.0 else coefficient * term)
    return found


def columns(problem: Any) -> list[Any]:
    """Variables in the order of the solver's columns."""
    found = problem.exported_variables() if NEW_PULP else problem.variables()
    return list(found)


def row_names(problem: Any) -> list[str]:
    """Names of the constraints in the order of the solver's rows."""
    return [str(constraint.name) for constraint in problem.constraints()]


def is_integer(variable: Any) -> bool:
    """Whether a variable takes whole numbers only."""
    return bool(variable.cat == pulp.LpInteger)


def maximises(problem: Any) -> bool:
    """Whether the problem's objective is to be as large as possible."""
    return bool(problem.sense == pulp.LpMaximize)


def objective_constant(problem: Any) -> float:
    """Constant term of the objective; 0 when no objective was set."""
    return 0.0 if problem.objective is None else float(problem.objective.constant)


def objective_value(problem: Any) -> float:
    """Objective at the values that the variables hold; 0 when no objective was set."""
    return 0.0 if problem.objective is None else float(problem.objective.value() or 0.0)


def tidy_values(problem: Any) -> None:
    """Round the values of the integer variables to whole numbers: solvers leave 0.9999999."""
    for variable in columns(problem):
        if variable.cat == pulp.LpInteger and variable.value() is not None:
            variable.varValue = float(round(variable.value()))


def value_of(variable: Any) -> float:
    """Value of a variable after a solve; one that no row uses gets the value nearest zero.

    Neither PuLP hands such a variable to the solver, and its own value stays None.
    """
    held = variable.value()
    if held is not None:
        return float(held)
    low, high = variable.lowBound, variable.upBound
    return float(max(low if low is not None else -inf, min(high if high is not None else inf, 0.0)))
