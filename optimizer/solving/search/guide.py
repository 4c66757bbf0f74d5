"""What a model tells the search about itself: nothing here changes what is feasible."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Tally:
    """`count` things (an integer variable) make up `amount`, each between `least` and `most`."""

    amount: str
    count: str
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Chord:
    """lacking <= max(0, had - amount), posed with a binary `flag`.

    Rows `on`: lacking <= had flag, and `by`: lacking + amount <= had + spread (1 - flag).
    Both are tightened wherever `amount` is known to be in a narrower range; the flag is 1 when
    amount <= short, and 0 otherwise: `short` is the most of it of which something may lack, `had`
    where it is a length, one less where it counts pieces.
    """

    on: str
    by: str
    lacking: str
    amount: str
    flag: str
    had: float
    short: float


@dataclass(frozen=True, slots=True)
class Guide:
    """Names of variables and rows that steer a search.

    `ranks`: the lower, the earlier a variable is decided in a dive; costs of branching are
    averaged by rank. `bundles`: sets of integer variables that mean something only together, the
    leading one first: where it is 0, all of them are. `choices`: sets of 0-1 variables of which
    exactly one is 1. `places`: a number for every bundle; those with the same number are planned
    anew together. `leading`: the last rank of those that decide most of a solution, so that a tree
    branches on them alone. `splits`: those that split the problem, and that its relaxation is blind
    of (see `splitting`). `wanted`: those that most good solutions have at their upper bounds; where
    a solution lacks of them, others that have them there are looked for.
    """

    ranks: Mapping[str, int] = field(default_factory=dict)
    bundles: Sequence[Sequence[str]] = ()
    tallies: Sequence[Tally] = ()
    chords: Sequence[Chord] = ()
    choices: Sequence[Sequence[str]] = ()
    places: Sequence[int] = ()
    leading: int = -1
    splits: Collection[str] = ()
    wanted: Collection[str] = ()
