"""The survey of a room for its patterns, which depends on the heights of its shelves."""

from __future__ import annotations

from optimizer.domain.brief import Brief
from optimizer.geometry.outline import outline_of
from optimizer.geometry.stretches import Surveyed, survey
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.ladder import Ladder, ladders_of
from optimizer.patterns.thresholds import height_thresholds


def possible_ladders(brief: Brief, rules: BayRules | None = None) -> list[Ladder]:
    """The candidate ladders of a room, best first; pins do not change them."""
    brief = brief.unpinned()
    surveyed = survey(brief, outline_of(brief.room, brief.units))
    return ladders_of(rules or BayRules(brief), surveyed)


def surveyed_room(
    brief: Brief, rules: BayRules | None = None, ladder: Ladder | None = None
) -> tuple[Surveyed, Catalogue]:
    """The stretches of a room, and the catalogue of patterns for its ladder and its rules.

    Walls under a slope are cut where the ceiling begins to allow each level of `ladder`; the first
    of `possible_ladders` unless given.
    """
    rules = rules or BayRules(brief)
    ladder = ladder or possible_ladders(brief, rules)[0]
    thresholds = height_thresholds(rules, ladder)
    surveyed = survey(brief, outline_of(brief.room, brief.units), thresholds)
    return surveyed, Catalogue(rules, ladder)
