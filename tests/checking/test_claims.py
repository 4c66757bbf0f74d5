"""R11: what a layout claims of itself is added up again."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from tests.checking.parts import unmet
from tests.checking.samples import DELETE, claimed, drawing

METRICS = "/layout/metrics"
UNMET = "/layout/unmet"
NEEDS = "/brief/needs"


def found(sample: str, changes: dict[str, Any]) -> list[tuple[str, str]]:
    """Code and pointer of every finding on a sample with its claims."""
    return [(f.code, f.pointer) for f in check_layout(*claimed(sample, changes))]


@pytest.mark.parametrize(
    ("sample", "name", "right"),
    [
        ("reach_in", "long_hang", 34.5),
        ("single", "medium_hang", 0.0),
        ("single", "short_hang", 90.0),
        ("single", "shelf_length", 228.0),
        ("single", "shelf_area", 2736.0),
        ("reach_in", "open_floor", 34.5),
        ("slope", "easy_length", 210.0),
        ("reach_in", "easy_length", 48.0),
        ("walk_in", "easy_length", 714.5),
    ],
)
def test_wrong_metric_is_found(sample: str, name: str, right: float) -> None:
    """A metric off by a sixteenth is found; the sum by hand is the right one."""
    assert found(sample, {f"{METRICS}/{name}": right}) == []
    assert found(sample, {f"{METRICS}/{name}": right + 0.0625}) == [("metrics", f"/metrics/{name}")]
    assert found(sample, {f"{METRICS}/{name}": right - 0.0625}) == [("metrics", f"/metrics/{name}")]


def test_metric_tolerance_grows_with_the_zones() -> None:
    """Nine zones may be off by 0.009 in together, not by more."""
    assert found("slope", {f"{METRICS}/long_hang": 30 + 0.0079}) == []
    wrong = [("metrics", "/metrics/long_hang")]
    assert found("slope", {f"{METRICS}/long_hang": 30 + 0.0095}) == wrong


def test_pieces_are_counted() -> None:
    """One piece more or less than stands there is found."""
    wrong = [("metrics", "/metrics/items_housed")]
    assert found("walk_in", {f"{METRICS}/items_housed": 2}) == wrong
    assert found("walk_in", {f"{METRICS}/items_housed": 4}) == wrong


@pytest.mark.parametrize("name", ["material_cost", "sheets", "parts"])
def test_cost_and_counts_are_not_negative(name: str) -> None:
    """They come from the build pack; only nonsense is found here."""
    assert found("single", {f"{METRICS}/{name}": 0}) == []
    assert found("single", {f"{METRICS}/{name}": -1}) == [("metrics", f"/metrics/{name}")]


def test_rod_at_the_end_of_easy_reach_may_count_or_not() -> None:
    """Float noise at a limit of the band makes neither claim wrong; a clear miss is one."""
    hung = {
        f"{NEEDS}/hang_drop": {"long": 66.9997},
        "/brief/room/walls/0/height": None,
        "/layout/bays/2/zones/0": {
            "kind": "rod", "hang": "long", "rod_height": 72.0004, "depth": 24,
            "bottom": 5.0007, "top": 76.0,
        },
        "/layout/bays/2/zones/1/bottom": 77.0,
        "/layout/bays/2/zones/1/top": 85.0,
        "/layout/bays/2/height": 77.0,
        "/layout/bays/2/start": 69.25,
    }  # fmt: skip
    for easy in (150.0, 180.0):
        assert found("slope", {**hung, f"{METRICS}/easy_length": easy}) == []
    wrong = [("metrics", "/metrics/easy_length")]
    assert found("slope", {**hung, f"{METRICS}/easy_length": 149.0}) == wrong
    assert found("slope", {**hung, f"{METRICS}/easy_length": 181.0}) == wrong


def test_unmet_need_must_be_listed() -> None:
    """Of a need for rod, shelf or a piece."""
    missing = [("unmet", "/unmet")]
    assert found("reach_in", {UNMET: []}) == missing
    assert found("single", {f"{NEEDS}/medium_hang": 10}) == missing
    assert found("single", {f"{NEEDS}/shelf_length": 229}) == missing
    assert found("walk_in", {f"{NEEDS}/items/1/count": 3}) == missing


def test_garments_count_into_needs() -> None:
    """Three dresses at 2 in each on top of 34.5 in of long hang are more than there is."""
    dresses = {
        f"{NEEDS}/long_hang": 34.5 - 4,
        f"{NEEDS}/garments": [{"kind": "dress", "count": 3}],
    }
    assert found("reach_in", dresses) == [("unmet", "/unmet")]
    listed = {**dresses, f"{UNMET}/-": unmet("long_hang", 36.5, 34.5)}
    assert found("reach_in", listed) == []


def test_piece_without_place_is_listed_by_its_name() -> None:
    """An item's need goes by its id and counts pieces."""
    third = {f"{NEEDS}/items/1/count": 3, f"{UNMET}/-": unmet("item:box", 3, 2)}
    assert found("walk_in", third) == []
    wrong = {**third, f"{UNMET}/-": unmet("item:box", 3, 1)}
    assert found("walk_in", wrong) == [
        ("unmet", "/unmet/1/achieved"),
        ("unmet", "/unmet/1/shortfall"),
    ]


def test_met_or_unknown_need_is_not_listed() -> None:
    """What is met is not unmet, nor is what nobody asked for by that name."""
    met = {f"{UNMET}/-": unmet("long_hang", 24, 34.5)}
    assert found("reach_in", met) == [("unmet", "/unmet/1")]
    assert found("single", {UNMET: [unmet("shelf_depth", 12, 0)]}) == [("unmet", "/unmet/0/need")]
    assert found("single", {UNMET: [unmet("item:ghost", 1, 0)]}) == [("unmet", "/unmet/0/need")]
    twice = {f"{UNMET}/-": unmet("short_hang", 60, 34.5)}
    assert found("reach_in", twice) == [("unmet", "/unmet/1")]


@pytest.mark.parametrize("name", ["required", "achieved", "shortfall"])
def test_amounts_of_an_unmet_need_agree(name: str) -> None:
    """Each figure on its own."""
    wrong = {f"{UNMET}/0/{name}": 20.0}
    assert found("reach_in", wrong) == [("unmet", f"/unmet/0/{name}")]


def test_score_is_the_sum_of_its_lines() -> None:
    """To a millionth of a point; without lines nothing is said."""
    assert found("single", {"/layout/score": 70.0000005}) == []
    assert found("single", {"/layout/score": 70.1}) == [("terms", "/score")]
    assert found("single", {"/layout/score": 12.0, "/layout/terms": []}) == []
    line = {"name": "hanging", "weight": 1, "value": 0, "points": 0}
    assert found("single", {"/layout/terms/-": line}) == [("terms", "/terms")]


def test_bare_drawing_claims_nothing() -> None:
    """Without metrics, needs may go unmet without a word."""
    assert check_layout(*drawing("single", {f"{NEEDS}/long_hang": 500})) == ()
    assert found("single", {f"{METRICS}": None, f"{NEEDS}/long_hang": 500}) == []


def test_unknown_piece_counts_as_a_piece() -> None:
    """It is found for being unknown, and the count of pieces is of all that stand there."""
    ghost = {"/layout/bays/1/zones/1/items": ["ghost"], f"{METRICS}/items_housed": 2}
    assert found("single", ghost) == [("item_unknown", "/bays/1/zones/1/items/0")]
    without = {"/layout/bays/2/zones/0/items/0": DELETE, f"{METRICS}/items_housed": 0,
               f"{METRICS}/open_floor": 30.0}  # fmt: skip
    assert found("single", without) == [("unmet", "/unmet")]


def test_need_short_by_float_noise_may_be_listed_or_not() -> None:
    """Within what nine zones may be off together both are right."""
    short = {f"{NEEDS}/short_hang": 30.005}
    assert found("slope", short) == []
    assert found("slope", {**short, UNMET: [unmet("short_hang", 30.005, 30)]}) == []
    within_tolerance = {f"{NEEDS}/short_hang": 30.0009}
    assert found("slope", within_tolerance) == []
    assert found("slope", {**within_tolerance, UNMET: [unmet("short_hang", 30.0009, 30)]}) == [
        ("unmet", "/unmet/0")
    ]


@pytest.mark.parametrize(("bottom", "counts"), [(15.0, True), (14.9, False)])
def test_easy_reach_has_a_low_end(bottom: float, counts: bool) -> None:
    """A board counts from 15 in up."""
    low = {
        "/layout/bays/1/zones/0/top": bottom - 0.75,
        "/layout/bays/1/zones/1/bottom": bottom,
        f"{METRICS}/easy_length": 210.0 if counts else 210.0 - 24.0,
    }
    assert found("single", low) == []
