"""What searches of one problem, more and more of it forbidden, hand on: solutions to start from and
what was proved."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

import numpy as np

from optimizer.solving.search.program import Floats, Program


@dataclass(frozen=True, slots=True)
class Start:
    """A solution of a problem: the values that are not 0 by name of variable, and the names of all
    that it had. Variables added to the problem since are worked out."""

    values: Mapping[str, float]
    names: Collection[str]

    def value(self, name: str) -> float:
        """The value of a variable; 0 for one that it did not have."""
        return self.values.get(name, 0.0)


@dataclass(slots=True)
class Memory:
    """What searches of one problem, more and more of it forbidden, hand on to the next.

    `bound` holds for what is not yet forbidden; `starts` may still be solutions; `best` were the
    best ones of each search, the last one first; `reach` is the objective that nothing with a
    member of a choice exceeds, by its name.
    """

    bound: float | None = None
    starts: list[Start] = field(default_factory=list)
    best: list[Start] = field(default_factory=list)
    reach: dict[str, float] = field(default_factory=dict)


def started(program: Program, values: Floats) -> Start:
    """A solution as a start for later searches: most of its values are 0."""
    used = np.flatnonzero(values)
    names = [program.variables[index].name for index in used]
    # One table of names serves all starts of a search.
    return Start(dict(zip(names, values[used].tolist(), strict=True)), program.column)


def held(program: Program, start: Start) -> Floats:
    """A start's values, 0 for what it leaves out."""
    return np.array([start.value(v.name) for v in program.variables])


def completed(program: Program, start: Start) -> Floats | None:
    """A start's values; None where it leaves out more than flags of chords, or is no solution any
    more."""
    flags = [chord.flag for chord in program.chords]
    missing = [program.column[v.name] for v in program.variables if v.name not in start.names]
    # Flags follow from the amounts (`Program.fixed`); anything else that is missing was no part
    # of the problem when the start was met, and cannot be guessed.
    if (set(program.integers.tolist()) - set(flags)) & set(missing):
        return None
    values = held(program, start)
    unknown = {chord.amount for chord in program.chords} & set(missing)
    return program.filled(values, flags) if unknown else values
