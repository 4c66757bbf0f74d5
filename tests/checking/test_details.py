"""What a finding says: which bay, by how much, with units."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from tests.checking.samples import DELETE, drawing
from tests.checking.test_mutations import BAYS, NEEDS, OPENINGS, RULES, THINGS, WALLS


@pytest.mark.parametrize(
    ("sample", "changes", "pointer", "detail"),
    [
        ("single", {f"{BAYS}/2/start": 70.0}, "/bays/2",
         "bay B3 with its uprights runs from 69.25 in to 100.75 in, but wall A from 0 to 100 in"),
        ("single", {f"{BAYS}/2/start": 56.75}, "/bays/2",
         "bays B2 and B3 are 1.25 in apart on wall A: one shared upright takes exactly 0.75 in, "
         "two take 1.5 in or more"),
        ("single", {f"{BAYS}/1/zones/6/top": 97.0}, "/bays/1/zones/6/top",
         "zone 7 of bay B2 reaches 97 in; the clear height there is 96 in"),
        ("single", {f"{BAYS}/0/zones/1/top": 82.5}, "/bays/0/zones/1/top",
         "2.5 in above the rod at 80 in; hangers need 3 in"),
        ("single", {f"{BAYS}/1/zones/2/top": 33.0}, "/bays/1/zones/2",
         "5.5 in clear above the shelf at 27.5 in; at least 8 in is wanted"),
        ("single",
         {THINGS: [{"wall": "A", "start": 10, "width": 5, "bottom": 12, "height": 2,
                    "kind": "outlet"}]}, "/bays/0/zones/0",
         "hung clothes in bay B1 reaches 1 in into the outlet on wall A (10 in to 15 in along "
         "it, 12 in to 14 in up)"),
        ("walk_in", {f"{THINGS}/2/setback": 14, f"{THINGS}/2/projection": 20,
                     f"{THINGS}/2/start": 40}, "/bays/0/zones/6",
         "the shelf at 75.5 in in bay A1 is 3.75 in from the light measured from wall A; 12 in "
         "is the least"),
        ("reach_in", {f"{OPENINGS}/-": {"wall": "B", "start": 60, "width": 10, "casing": 2}},
         "/bays/1",
         "bay B2 stands from 35.25 in to 71.25 in on wall B; the opening with its casing takes "
         "58 in to 72 in"),
        ("walk_in", {f"{OPENINGS}/0/start": 0}, "/bays/4",
         "bay B2 stands in the way before the opening on wall C: 30 in wide and 30 in out stays "
         "clear"),
        ("walk_in", {f"{BAYS}/6/start": 36.0, f"{THINGS}/1": DELETE}, "/bays/6",
         "bay D2 starts 17.25 in from the corner of walls D and A; beside bay A1, which runs "
         "into it, 18 in is the least"),
        ("walk_in", {f"{NEEDS}/aisle": 57}, "/bays/3",
         "bay D2 stands 56 in in front of bay B1; the aisle is 57 in"),
        ("metric", {f"{WALLS}/1/length": 800, f"{WALLS}/-": {"id": "C", "length": 1000},
                    f"{BAYS}/2": DELETE}, "/bays/1",
         "a wall stands 500 mm in front of bay A2; the aisle is 600 mm"),
        ("reach_in", {f"{WALLS}/0/length": 23, f"{WALLS}/2/length": 23}, "/bays/0",
         "bay B1 is 24 in deep; the room is 23 in deep there"),
        ("walk_in", {f"{BAYS}/0/width": 30.0}, "/bays/0",
         "bay A1 has 6.75 in of open front in one piece, of which 6.75 in is reached over floor "
         "23 in wide; 12 in is the least"),
        ("walk_in", {f"{NEEDS}/items/1/height": 11}, "/bays/0/zones/1/items/1",
         "box takes 11.5 in of height with air; 9.25 in is there, clear of what hangs under the "
         "board above"),
        ("walk_in", {f"{BAYS}/0/zones/6/items": ["box"], f"{BAYS}/0/zones/1/items": [],
                     f"{NEEDS}/items/1/height": 21}, "/bays/0/zones/6/items/0",
         "box takes 21.5 in of height with air; 20.5 in is there"),
        ("metric", {f"{BAYS}/1/zones/2/items": [], f"{BAYS}/1/zones/3/items": ["case"]},
         "/bays/1/zones/3/items/0",
         "case weighs 11 kg and stands 990 mm up; from 11 kg on 915 mm is the highest"),
        ("walk_in", {f"{BAYS}/0/zones/6/items": ["box"], f"{BAYS}/0/zones/1/items": [],
                     f"{NEEDS}/items/1/use": "daily"}, "/bays/0/zones/6/items/0",
         "box is in daily use and stands 75.5 in up; easy reach ends at 72 in"),
        ("slope", {f"{BAYS}/2/width": 36.5}, "/bays/2",
         "the shelf at 69.75 in of bay S3: length between supports 36.5 in, and 36 in is the limit "
         "(1.01 times the limit)"),
        ("single", {f"{RULES}/max_rod_height": 79}, "/bays/0/zones/1/rod_height",
         "rod at 80 in; the highest that is reached is 79 in"),
    ],
)  # fmt: skip
def test_detail_gives_figures_with_units(
    sample: str, changes: dict[str, Any], pointer: str, detail: str
) -> None:
    """The sentence a builder reads, at the place it is about."""
    found = [(fault.pointer, fault.detail) for fault in check_layout(*drawing(sample, changes))]
    assert (pointer, detail) in found


def test_nearest_of_two_walls_is_named() -> None:
    """Before a bay stand the face of a pier and the wall behind it: the pier counts."""
    # The room is 45 in deep, 33 in before the pier; the bay on wall G looks at both.
    changes = {
        f"{WALLS}/5/length": 45,
        f"{WALLS}/7/length": 45,
        "/brief/room/access": "walk_in",
        OPENINGS: [],
        f"{BAYS}/0/wall": "G",
        f"{BAYS}/0/start": 34.0,
        f"{BAYS}/1": DELETE,
    }
    findings = check_layout(*drawing("pier", {**changes, f"{BAYS}/0/id": "G1"}))
    details = [fault.detail for fault in findings if fault.code == "aisle"]
    assert details[0] == "a wall stands 9 in in front of bay G1; the aisle is 24 in"
