"""Things stored by count on shelves that several kinds share, where one kind a shelf is not
enough."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from optimizer.model.shelf_rows import Shelf
from optimizer.reference.stored import Thing
from optimizer.solving import new_problem, solve, total
from optimizer.tolerances import FINE

_SECONDS = 2.0
_TIDY = 1e-4
"""Price of a row on a shelf that one more kind would go onto, against a unit of its width."""


def packed(shelves: Sequence[Shelf], things: Sequence[Thing], spare: float) -> list[Shelf] | None:
    """Shelves with as many rows on them as an integer program can place; None if time ran out.

    Rows count by their width. The shelves that are given must be empty. Of shelves as far apart as
    wished, a length of `spare` may be used [brief units]; more would leave the need for shelves
    short.
    """
    problem = new_problem("stowing", maximise=True)
    rows: dict[tuple[int, int, int], Any] = {}
    for number, shelf in enumerate(shelves):
        for place, piece in enumerate(shelf.free):
            for kind in sorted(shelf.takes):
                most = int((piece + FINE) // things[kind].width)
                if most:
                    name = f"n_{number}_{place}_{kind}"
                    rows[number, place, kind] = problem.add_variable(name, 0, most, "Integer")
            # Piece by piece of a shelf, not shelf by shelf: no row stands across a mid support.
            own = [(k, v) for (n, p, k), v in rows.items() if (n, p) == (number, place)]
            taken = total(things[kind].width * many for kind, many in own)
            problem += taken <= piece + FINE, f"piece_{number}_{place}"
    for kind, thing in enumerate(things):
        own_rows = total(many for (_, _, other), many in rows.items() if other == kind)
        problem += own_rows <= thing.rows, f"rows_{kind}"
    # Soft, since shelves that have to be used beyond `spare` still hold things; at nearly the worth
    # of what stands there, so that it pays only just.
    missed = problem.add_variable("missed", 0, None, "Continuous")
    wished = [(key, many) for key, many in rows.items() if not shelves[key[0]].fine]
    problem += total(things[key[2]].width * many for key, many in wished) - missed <= spare, "spare"
    worth = {key: things[key[2]].width - _TIDY * len(shelves[key[0]].takes) for key in rows}
    problem.setObjective(total(worth[key] * many for key, many in rows.items()) - 0.99 * missed)
    if not rows or not solve(problem, gap=0.0, threads=1, time_limit=_SECONDS).has_solution:
        return None
    found = [replace(shelf, free=list(shelf.free), rows={}) for shelf in shelves]
    for (number, _, kind), many in rows.items():
        given = round(many.value() or 0.0)
        if given:
            own_shelf = found[number].rows
            own_shelf[kind] = own_shelf.get(kind, 0) + given
    return found
