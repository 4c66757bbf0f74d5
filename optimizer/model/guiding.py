"""How the search goes about a formulation: what is decided first, what is planned anew."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from optimizer.model.formulation import Formulation
from optimizer.model.tallies import Tallies
from optimizer.solving import Chord, Guide

RANKS = {"z": 0, "y": 0, "bays": 1, "b": 1, "o": 2, "k": 2, "u": 2, "j": 2, "n": 3}
"""Rank by the first part of a variable's name: corner states, what differs from earlier
layouts, numbers of bays, uprights, bays. Everything else (items, stiffened bays) is last."""
LAST = 4


def guide_of(model: Formulation, tallies: Tallies, chords: Sequence[Chord]) -> Guide:
    """The guide for a formulation as it now stands."""
    names = [variable.name for variable in model.problem.variables()]
    return Guide(
        ranks={name: RANKS.get(name.split("_", 1)[0], LAST) for name in names},
        families=_walls(model, names),
        tallies=tuple(tallies.ties),
        chords=tuple(chords),
    )


def _walls(model: Formulation, names: Iterable[str]) -> list[frozenset[str]]:
    """Integer variables by wall, with those that belong to no wall in every family."""
    walls = sorted({stretch.wall for stretch in model.surveyed.stretches})
    owner = dict(_owners(model))
    return [frozenset(name for name in names if wall in owner.get(name, walls)) for wall in walls]


def _owners(model: Formulation) -> Iterable[tuple[str, tuple[int, ...]]]:
    """Variables of one wall, and of the two walls at a corner."""
    stretches = model.surveyed.stretches
    for vars_ in model.slots:
        wall = stretches[vars_.slot.first].wall
        own: list[Any] = [vars_.count, vars_.stiff]
        own += [held for _, held in vars_.hosts] + [wide for _, wide in vars_.levels]
        for variable in own:
            if hasattr(variable, "name"):
                yield variable.name, (wall,)
    for index, own_ in enumerate(model.stretches):
        for variable in (own_.occupied, own_.broken, *own_.joined_left, *own_.joined_right):
            yield variable.name, (stretches[index].wall,)
    for (number, _), state in model.states.items():
        yield state.name, tuple(side.wall for side in model.corners[number].sides)
