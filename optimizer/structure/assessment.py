"""Every share of a limit of strength in a layout, from the brief and the layout alone.

The checker and the build pack both ask here. Nothing is refused: what cannot be worked out,
in a layout drawn by hand perhaps, is left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, Strained
from optimizer.errors import BuildError
from optimizer.structure.bay_surroundings import BaySurroundings
from optimizer.structure.boardstrains import board_strains, rod_strains
from optimizer.structure.endstrains import (
    back_cleat_strains,
    end_strains,
    mid_strains,
    upright_strains,
)
from optimizer.structure.strain import Strain

_UNKNOWABLE = (ArithmeticError, ValueError, LookupError, BuildError)


def assess(brief: Brief, layout: Layout) -> tuple[Strain, ...]:
    """Strains of everything that carries: wall by wall, uprights first, then bay by bay."""
    standing = BaySurroundings(brief, layout)
    found: list[Strain] = []
    for wall, bays in standing.bays_by_wall.items():
        for side in standing.sides(wall):
            found += _known(lambda s=side, w=wall: upright_strains(standing, w, s))  # type: ignore[misc]
        for bay in bays:
            for strains in (
                board_strains,
                back_cleat_strains,
                end_strains,
                mid_strains,
                rod_strains,
            ):
                found += _known(lambda f=strains, b=bay: f(standing, b))  # type: ignore[misc]
    return tuple(found)


def _known(strains: Callable[[], Iterable[Strain]]) -> Iterator[Strain]:
    """What can be worked out of some strains."""
    try:
        yield from strains()
    except _UNKNOWABLE:
        return


def worst(brief: Brief, layout: Layout) -> Strained | None:
    """The part of a layout nearest to a limit of strength, or past it; None without any."""
    return worst_of(assess(brief, layout))


def worst_of(strains: Iterable[Strain]) -> Strained | None:
    """As `worst`, of strains at hand."""
    most = max(strains, key=lambda strain: strain.share, default=None)
    # A layout of absurd sizes may have no share that is a number: the checker tells it apart.
    if most is None or not math.isfinite(most.share):
        return None
    return Strained(share=most.share, of=f"{most.name}, {most.check}")
