"""Boards that run through a wrapped corner carry half of the load of the boards that butt on them.

The wider the bay that butts, the shorter the piece that runs through has to be, or it needs a mid
support. The true limit (`structure` works it out for any two pieces) is curved; the model uses a
straight line below it, which is safe.
"""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.model.records import Model, SlotVars, Through
from optimizer.patterns.bay_rules import BayRules
from optimizer.solving import combined, total
from optimizer.structure.spans import through_piece
from optimizer.tolerances import FINE

_PIECES = 9
"""Pieces between the narrowest and the widest at which the true limit is looked at."""


def limit_through(
    model: Model,
    runs: Sequence[SlotVars],
    butts: Sequence[SlotVars],
    where: Sequence[tuple[int, str]],
    name: str,
) -> None:
    """Keep a bay that runs through as narrow as the bay butting on it asks.

    `where` are the states in which that applies: the number of the corner and the name of the
    state.
    """
    holds = total(model.states[own] for own in where)
    longest = {id(v): _longest_piece(v) for v in butts}
    most = max(longest.values())
    least = min([most, *(v.slot.min_width for v in butts)])
    depth, beside = runs[0].slot.pattern.depth, butts[0].slot.pattern.depth
    start, fall = _line(model.rules, depth, beside, least, most)
    widest = max(v.widest for v in runs)
    # However wide the bay that butts: no bay that runs through is too long.
    if start - fall * most >= widest - FINE:
        return
    model.joined |= dict.fromkeys(where, Through(start, fall, most))
    piece = model.continuous(f"p_{name}", most)
    # With mid supports its piece at the corner is no longer than one between them.
    wide = [(1.0, v.width) for v in butts]
    beyond = [(-max(0.0, v.widest - longest[id(v)]), v.supported) for v in butts]
    model.add(piece >= combined([*wide, *beyond]), f"piece_{name}")
    shorter = combined((longest[id(v)], v.supported) for v in butts)
    model.add(piece >= shorter, f"piece_held_{name}")
    supported = total(v.supported for v in runs)
    model.add(
        total(v.width for v in runs) <= start - fall * piece + widest * (1 - holds + supported),
        f"through_{name}",
    )


def _longest_piece(vars_: SlotVars) -> float:
    """Longest piece at an end of a slot's bays; one held by mid supports is never as long as its
    bay."""
    pieces: list[float] = [tier.longest for tier, _ in vars_.tiers]
    held = bool(vars_.tiers) and vars_.tiers[0][0].supports > 0
    return max(pieces if held else [vars_.slot.min_width, *pieces])


def _line(
    rules: BayRules, depth: float, beside: float, least: float, most: float
) -> tuple[float, float]:
    """(a, b) such that a - b x piece is nowhere above the longest piece that may run through."""
    construction, units = rules.brief.construction, rules.brief.units
    steps = [least + (most - least) * step / (_PIECES - 1) for step in range(_PIECES)]
    limits = [through_piece(construction, units, depth, beside, piece) for piece in steps]
    fall = (limits[0] - limits[-1]) / (most - least) if most > least + FINE else 0.0
    # The chord from end to end, moved down until it is below the limit at every piece looked at.
    start = min(limit + fall * piece for limit, piece in zip(limits, steps, strict=True))
    return start, fall
