"""How much of its strength each part of a layout uses, from the brief and the layout alone.

The checker and the build pack both ask here, so that what is checked is what is reported. No layout
is refused: a part that cannot be worked out, as in a layout drawn by hand, is left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Strained
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

MOST_KEPT = 32
"""Layouts whose strains are kept: one is put together, checked and told of, each with them."""

_UNKNOWABLE = (ArithmeticError, ValueError, LookupError, BuildError)


def assess(brief: Brief, layout: Layout) -> tuple[Strain, ...]:
    """A `Strain` for everything that carries: wall by wall, uprights first, then bay by bay."""
    return _of_bays(brief, layout.bays)


@lru_cache(maxsize=MOST_KEPT)
def _of_bays(brief: Brief, bays: tuple[Bay, ...]) -> tuple[Strain, ...]:
    """As `assess`: nothing of a layout but its bays carries."""
    # Made once: every strain below looks up the same boards, uprights and studs.
    standing = BaySurroundings(brief, Layout(bays=bays))
    found: list[Strain] = []
    for wall, own in standing.bays_by_wall.items():
        for upright in standing.uprights(wall):
            # `_known` calls the function, so that an error in it is caught there.
            found += _known(lambda u=upright, w=wall: upright_strains(standing, w, u))  # type: ignore[misc]
        for bay in own:
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
    """The strains that can be worked out: the first that cannot ends them, with no error."""
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
