"""How the search goes about a formulation: what is decided first, what belongs together."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.model.formulation import Formulation, SlotVars
from optimizer.model.tallies import Tallies
from optimizer.solving import Chord, Guide

BAYS = 3
"""Rank of the bays of one pattern in one place: from here on it is details."""
RANKS = {"z": 0, "y": 0, "bays": 1, "b": 1, "o": 2, "k": 2, "u": 2, "j": 2, "n": BAYS}
"""Rank by the first part of a variable's name: corner states, what differs from earlier
layouts, numbers of bays, uprights, bays. Everything else (items, stiffened bays) is last."""
LAST = 4


def guide_of(model: Formulation, tallies: Tallies, chords: Sequence[Chord]) -> Guide:
    """The guide for a formulation as it now stands."""
    names = [variable.name for variable in model.problem.variables()]
    return Guide(
        ranks={name: RANKS.get(name.split("_", 1)[0], LAST) for name in names},
        fine=BAYS,
        bundles=[_bundle(vars_) for vars_ in model.slots],
        tallies=tuple(tallies.ties),
        chords=tuple(chords),
    )


def _bundle(vars_: SlotVars) -> list[str]:
    """Integer variables of one slot, the number of its bays first."""
    own = [vars_.count, vars_.stiff]
    own += [held for _, held in vars_.hosts] + [wide for _, wide in vars_.levels]
    names = [variable.name for variable in own if hasattr(variable, "name")]
    return list(dict.fromkeys(names))
