"""The survey of a room for its patterns, which depends on the heights of its shelves."""

from __future__ import annotations

from functools import lru_cache

from optimizer.domain.brief import Brief, Options, Priorities
from optimizer.geometry.outline import outline_of
from optimizer.geometry.stretches import Surveyed, survey
from optimizer.patterns.bay_rules import BayRules, rod_sequences
from optimizer.patterns.column import Column
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.ladder import Ladder, ladders_of
from optimizer.patterns.pattern import Pattern
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
    return surveyed, Catalogue(rules, ladder, _patterns_known(_what_counts(rules), ladder))


def _what_counts(rules: BayRules) -> tuple[str, str, bool]:
    """All of a brief that its patterns depend on, as text: what a cache is asked by needs a
    hash."""
    bare = rules.brief.unpinned().model_copy(
        update={"name": "", "priorities": Priorities(), "options": Options()}
    )
    # Priorities and pins count in what may hang alone, pins in how deep boards may be.
    return bare.model_dump_json(), repr(rod_sequences(rules)), rules.keeps_ripped


@lru_cache(maxsize=32)
def _patterns_known(
    what: tuple[str, str, bool], ladder: Ladder
) -> dict[Column, tuple[Pattern, ...]]:
    """Where the patterns of briefs that agree in `what` are kept: the line of a room is settled
    on models of it, and reruns and questions pose it again."""
    del what, ladder  # The cache alone asks by them.
    return {}
