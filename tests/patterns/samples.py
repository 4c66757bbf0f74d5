"""Columns and catalogues for tests of patterns."""

from __future__ import annotations

from typing import Any

from optimizer.geometry.obstacles import Block
from optimizer.patterns.column import Column
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.pattern import Pattern
from optimizer.patterns.room_survey import surveyed_room
from tests.model.rooms import brief_of

FREE = {"top_line": "free", "wall_ends": "uprights", "mid_support": "none"}
"""Construction without a line: each stack as high as it comes, on two uprights."""


def catalogue_of(needs: dict[str, Any], **rest: Any) -> Catalogue:
    """The catalogue of a brief with these needs and the line of a wall of 96 in."""
    return surveyed_room(brief_of([100], needs, **rest))[1]


def free_of(needs: dict[str, Any], **rest: Any) -> Catalogue:
    """The same without a line."""
    construction = {**FREE, **rest.pop("construction", {})}
    return catalogue_of(needs, construction=construction, **rest)


def column(height: float = 96.0, depth: float = 24.0, *blocks: tuple[float, float]) -> Column:
    """A clear space, flush things at these heights."""
    return Column(height, depth, tuple(Block(low, high, 0.0) for low, high in blocks))


def with_label(patterns: tuple[Pattern, ...], start: str) -> Pattern:
    """The only pattern whose label starts so."""
    found = [pattern for pattern in patterns if pattern.label.startswith(start)]
    assert len(found) == 1, [pattern.label for pattern in patterns]
    return found[0]


def labels(patterns: tuple[Pattern, ...]) -> list[str]:
    """Labels of patterns."""
    return [pattern.label for pattern in patterns]
