"""What the solver is told about a formulation so that it searches well: ranks, bundles, choices."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.model.formulation import Formulation
from optimizer.model.records import Rank, SlotVars
from optimizer.model.tallies import Tallies
from optimizer.solving import Chord, Guide


def guide_of(model: Formulation, tallies: Tallies, chords: Sequence[Chord]) -> Guide:
    """The guide (see `solving.search.guide`) of a formulation as it stands now."""
    return Guide(
        ranks={name: int(rank) for name, rank in model.ranks.items()},
        bundles=[_bundle(vars_) for vars_ in model.slots],
        tallies=tuple(tallies.ties),
        chords=tuple(chords),
        places=[model.wall_of(vars_.slot) for vars_ in model.slots],
        choices=[
            [model.states[number, state.name].name for state in corner.states]
            for number, corner in enumerate(model.corners)
        ],
        leading=int(Rank.COUNTS),
        # Which of two stretches in each other's way has the deep bays: with a part of them on
        # either side the relaxation has room in corners that no layout has.
        splits=[flag.name for flag in model.flags.values()],
        # Each piece is worth a good deal, and planning a wall or two anew seldom makes room for one
        # more.
        wanted=[housed.name for housed in model.housed.values()],
    )


def _bundle(vars_: SlotVars) -> list[str]:
    """Names of the integer variables of one slot, the number of its bays first."""
    needs = (need for _, need in vars_.tiers)
    own = [vars_.count, *needs, *(wide for _, wide in vars_.levels), *vars_.rows.values()]
    # Each once, in order: the first leads the bundle, and tiers may share a variable.
    return list(dict.fromkeys(variable.name for variable in own))
