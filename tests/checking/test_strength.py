"""R12: a layout passes only if all of it holds, by the figures of `optimizer.structure`."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from optimizer.structure.assessment import assess
from tests.checking.samples import claimed, drawing
from tests.checking.test_mutations import BAYS, RULES

LIMITS = [
    # sample, rule of construction, codes past its limit, kind of part
    ("single", "shelf_load", {"span"}, "board"),
    ("single", "safety_factor", {"strength"}, "upright"),
    ("alcove", "rod_load", {"strength"}, "mid_support"),
    ("pantry", "rod_load", {"strength"}, "socket"),
]


def codes(sample: str, changes: dict[str, Any]) -> set[str]:
    """Codes found in a bare drawing with changes."""
    return {fault.code for fault in check_layout(*drawing(sample, changes))}


@pytest.mark.parametrize(("sample", "rule", "found", "kind"), LIMITS)
def test_part_past_its_limit_is_refused(sample: str, rule: str, found: set[str], kind: str) -> None:
    """Whatever is asked for more and more: as soon as one share is above 1, and not before."""
    # Held to the wall seldom, an upright is what gives way first.
    held = {f"{RULES}/upright_hold": 48} if kind == "upright" else {}
    brief, _ = drawing(sample, held)
    value = getattr(brief.construction, rule)
    low, high = value, 10.0 if rule == "safety_factor" else 20.0 * value
    for _ in range(30):
        middle = (low + high) / 2.0
        shares = [s.share for s in assess(*drawing(sample, held | {f"{RULES}/{rule}": middle}))]
        low, high = (low, middle) if max(shares) > 1.0 else (middle, high)
    assert codes(sample, held | {f"{RULES}/{rule}": low * 0.999}) == set()
    assert codes(sample, held | {f"{RULES}/{rule}": high * 1.001}) == found
    strains = assess(*drawing(sample, held | {f"{RULES}/{rule}": high * 1.001}))
    assert kind in {strain.kind for strain in strains if strain.share > 1.0}


@pytest.mark.parametrize("rule", ["max_plain_span", "rod_support_spacing"])
def test_piece_of_just_the_length_allowed_holds(rule: str) -> None:
    """24 in between supports: a limit of 24 in is one, a thousandth less is too little."""
    assert codes("alcove", {f"{RULES}/{rule}": 24.0}) == set()
    assert codes("alcove", {f"{RULES}/{rule}": 23.999}) == {"span"}


def test_board_without_its_mid_support_is_refused() -> None:
    """A support taken away leaves a piece of 48 in, and more than its stud holds at the other."""
    assert "span" in codes("alcove", {f"{BAYS}/0/mid_supports": [24.0]})


def test_largest_share_that_is_told_must_be_the_largest() -> None:
    """What a layout claims of its strength is worked out again."""
    brief, layout = claimed("pantry", {})
    most = max(assess(brief, layout), key=lambda strain: strain.share)
    right = {"/layout/structure": {"share": most.share, "of": "as the pack says"}}
    assert check_layout(*claimed("pantry", right)) == ()
    wrong = {"/layout/structure": {"share": most.share - 0.01, "of": "as the pack says"}}
    found = check_layout(*claimed("pantry", wrong))
    assert [(fault.pointer, fault.code) for fault in found] == [("/structure/share", "structure")]


def test_socket_that_tears_out_is_named() -> None:
    """Each part past its limit is told by name, with what it gets and what it holds."""
    details = [f.detail for f in check_layout(*drawing("alcove", {f"{RULES}/rod_load": 80}))]
    name = "the left socket of the rod at 80.25 in of bay B1: screws"
    assert any(detail.startswith(name) for detail in details)
    assert all(" lb is the limit" in detail for detail in details)


def test_what_cannot_be_worked_out_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """No figures are no proof that a bay holds."""
    monkeypatch.setattr("optimizer.checking.strength.assess", lambda brief, layout: ())
    found = check_layout(*drawing("single", {}))
    assert [(fault.pointer, fault.code) for fault in found] == [
        (f"/bays/{index}", "strength") for index in range(3)
    ]
