"""Dropping dominated patterns never loses the best layout."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest

from optimizer.domain.layout import Zone
from optimizer.patterns import enumeration
from optimizer.patterns.housing import Housing
from optimizer.patterns.pattern import Pattern
from tests.model.rooms import best_of, brief_of
from tests.patterns.samples import catalogue_of, column, with_label

BOX = {"id": "box", "width": 14, "depth": 12, "height": 14, "place": "any", "count": 2}
DEEP = {"id": "album", "width": 14, "depth": 16, "height": 10, "place": "shelf", "count": 3}
ROOMS: dict[str, tuple[list[Any], dict[str, Any], dict[str, Any]]] = {
    "wall": ([70.0], {"long_hang": 20, "short_hang": 30, "shelf_length": 60}, {}),
    "items": ([60.0], {"medium_hang": 20, "items": [BOX]}, {}),
    "low": ([{"length": 66, "height": 62}], {"short_hang": 30, "shelf_length": 60}, {}),
    "deep things": ([60.0], {"shelf_length": 200, "items": [DEEP, {**BOX, "place": "shelf"}]}, {}),
    "corner": ([50.0, 44.0], {"long_hang": 20, "shelf_length": 60}, {}),
    "simple": ([70.0], {"short_hang": 60, "shelf_length": 30}, {"simple_build": 9.0}),
    "cheap": ([64.0], {"long_hang": 24, "shelf_length": 70}, {"low_cost": 9.0}),
}


@pytest.mark.parametrize("name", ROOMS)
def test_optimum_is_the_same_without_dominance(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """With every pattern kept the best score is what it was."""
    walls, needs, priorities = ROOMS[name]
    brief = brief_of(walls, needs, priorities=priorities)
    search, found = best_of(brief)
    few = len(search.model.slots)
    monkeypatch.setattr(enumeration, "undominated", lambda patterns, _: tuple(patterns))
    every, other = best_of(brief, search.yardstick)
    assert len(every.model.slots) >= few
    assert other.outcome.objective == pytest.approx(found.outcome.objective, abs=1e-4)


def _kept(patterns: list[Pattern], needs: dict[str, Any] | None = None) -> tuple[Pattern, ...]:
    """The patterns that none of the others dominates, under the needs of a brief."""
    catalogue = catalogue_of(needs or {"short_hang": 40})
    return enumeration.undominated(patterns, Housing(catalogue.rules, catalogue.shelf_groups))


def _twin(pattern: Pattern, **worse: Any) -> Pattern:
    """The pattern with other measures."""
    return replace(pattern, label="twin", measures=replace(pattern.measures, **worse))


def test_what_gives_no_more_and_takes_more_is_dropped() -> None:
    """A dearer twin goes, whichever comes first; of equals the first stays."""
    one = catalogue_of({"short_hang": 40}).patterns(column())[0]
    dearer = _twin(one, cost=one.measures.cost + 1.0)
    assert _kept([one, dearer]) == (one,)
    assert _kept([dearer, one]) == (one,)
    equal = _twin(one)
    assert _kept([equal, one]) == (equal,)


@pytest.mark.parametrize(
    "better",
    [{"short": 9}, {"shelves": 99}, {"easy": 9}, {"open_floor": 1}],
    ids=lambda given: next(iter(given)),
)
def test_what_gives_more_of_anything_stays(better: dict[str, int]) -> None:
    """A dearer pattern that gives more of one thing is kept beside the cheaper."""
    one = with_label(catalogue_of({"short_hang": 40}).patterns(column()), "short@40.25+short@80.25")
    twin = _twin(one, cost=one.measures.cost + 1.0, **better)
    assert _kept([one, twin]) == (one, twin)


@pytest.mark.parametrize(
    "worse",
    [
        {"depth": 0.5},
        {"height": 0.5},
        {"min_width": 0.5},
        {"cost": 0.5},
        {"cost_per_width": 0.01},
        {"parts": 1},
    ],
    ids=lambda given: next(iter(given)),
)
def test_what_takes_more_of_anything_drops_nothing(worse: dict[str, float]) -> None:
    """However much more it gives: a deeper pattern may stand where the shallower one would clear
    an aisle or a corner, a higher one under a lower ceiling, and so on."""
    one = with_label(catalogue_of({"short_hang": 40}).patterns(column()), "short@40.25+short@80.25")
    twin = _twin(one, short=one.measures.short + 1, easy=one.measures.easy + 1)
    ((name, more),) = worse.items()
    if name in {field.name for field in fields(one)}:
        twin = replace(twin, **{name: getattr(one, name) + more})
    else:
        twin = _twin(twin, **{name: getattr(one.measures, name) + more})
    assert _kept([one, twin]) == (one, twin)
    assert _kept([twin, one]) == (twin, one)


def test_a_deeper_bay_does_not_stand_in_for_a_shallower_one() -> None:
    """Round a corner where depth is wall: a box asks for boards 20 in deep, and shelves 12 in deep
    beside it leave the other wall 8 in more. Without them the best is worse."""
    deep = {"id": "box", "width": 14, "depth": 20, "height": 14, "place": "shelf"}
    needs = {"shelf_length": 300, "items": [deep]}
    search, found = best_of(brief_of([45.0, 45.0], needs))
    depths = {variables.slot.pattern.depth for variables in search.model.slots}
    assert len(depths) >= 2
    assert {bay.depth for bay in found.bays} == depths


def test_what_takes_other_widths_or_looks_otherwise_stays() -> None:
    """A wider limit, or another kind, is a reason to keep a dearer pattern."""
    one = catalogue_of({"short_hang": 40}).patterns(column())[0]
    dearer = _twin(one, cost=one.measures.cost + 1.0)
    further = replace(one.tiers[-1], width=one.max_width + 1.0)
    wider = replace(dearer, tiers=(*one.tiers, further))
    other = replace(dearer, kind="something else")
    assert _kept([one, wider]) == (one, wider)
    assert _kept([one, other]) == (one, other)


def _deeper(pattern: Pattern, depth: float) -> Pattern:
    """The pattern with boards of another depth, which cost a little more."""
    zones = tuple(_of_depth(zone, depth) for zone in pattern.zones)
    dearer = replace(pattern.measures, cost=pattern.measures.cost + 1.0)
    return replace(pattern, label="deeper", zones=zones, depth=depth, measures=dearer)


def _of_depth(zone: Zone, depth: float) -> Zone:
    """A zone of another depth."""
    return zone.model_copy(update={"depth": depth})


@pytest.mark.parametrize(
    ("height", "stays"), [(8, True), (30, False)], ids=["goes in", "too high for any shelf"]
)
def test_deeper_boards_stay_only_for_what_goes_onto_them(height: float, stays: bool) -> None:
    """Boards deeper than wished are for what is as deep and no higher than the space over them."""
    needs = {"shelf_length": 80, "items": [{**DEEP, "height": height}]}
    patterns = catalogue_of({"shelf_length": 80}).patterns(column())
    one = with_label(patterns, "shelf*7x12@12-84")
    deeper = _deeper(one, 16.0)
    assert (deeper in _kept([one, deeper], needs)) is stays


def test_one_high_shelf_does_not_stand_in_for_several() -> None:
    """A stack with one space for tall things, better in everything measured, does not replace one
    with several, but where there is nothing tall."""
    tall = {"id": "box", "width": 14, "depth": 10, "height": 20, "place": "shelf", "count": 2}
    needs = {"shelf_length": 80, "items": [tall]}
    several = with_label(catalogue_of(needs).patterns(column()), "shelf*4x12@12-84")
    low, *rest = several.zones
    closed = [zone.model_copy(update={"top": zone.bottom + 11.25}) for zone in rest]
    # On the floor its one high space is no higher than any of the others.
    zones = (low.model_copy(update={"bottom": 0.75}), *closed)
    one = replace(_twin(several, shelves=several.measures.shelves + 1), zones=zones)
    assert several in _kept([one, several], needs)
    assert several not in _kept([one, several], {"shelf_length": 80})
