"""A room surveyed for its patterns: where walls are cut depends on the heights of shelves."""

from __future__ import annotations

from optimizer.domain.brief import Brief
from optimizer.geometry.outline import outline_of
from optimizer.geometry.stretches import Surveyed, survey
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.ladder import ladder_of
from optimizer.patterns.rules import Rules
from optimizer.patterns.thresholds import height_thresholds


def surveyed_room(brief: Brief, rules: Rules | None = None) -> tuple[Surveyed, Catalogue]:
    """The stretches of a room and the patterns that its line and its rules lead to.

    The line is settled on the walls cut as they are; sloped ones are then cut once more, where
    the ceiling starts to allow each level.
    """
    rules = rules or Rules(brief)
    outline = outline_of(brief.room, brief.units)
    ladder = ladder_of(rules, survey(_unpinned(brief), outline))
    thresholds = height_thresholds(rules, ladder)
    return survey(brief, outline, thresholds), Catalogue(rules, ladder)


def _unpinned(brief: Brief) -> Brief:
    """The brief without pins, so that what is pinned moves no line."""
    return brief.model_copy(update={"pins": ()}) if brief.pins else brief
