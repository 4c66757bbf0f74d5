"""The line that says what a layout gives for what: its figures are those of the layouts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

import pytest

from optimizer.domain.layout import Layout, Metrics
from optimizer.domain.study import Study
from optimizer.explaining.tradeoffs import moved, trade_off
from optimizer.proposing import propose
from tests.model.rooms import brief_of

FIELDS = {
    "long hang": "long_hang",
    "medium hang": "medium_hang",
    "short hang": "short_hang",
    "shelf": "shelf_length",
    "open floor": "open_floor",
    "within easy reach": "easy_length",
}
_LENGTH = re.compile(
    r"(\d+)(?:-(\d+/\d+))? in (more|less) "
    r"(long hang|medium hang|short hang|shelf|open floor|within easy reach)"
)


@pytest.fixture(scope="module")
def study() -> Study:
    """Four layouts of a wall with more wishes than it holds."""
    needs = {"long_hang": 24, "short_hang": 60, "shelf_length": 80}
    options = {"alternatives": 4, "gap": 0.01, "max_quality_loss": 0.4}
    return propose(brief_of([84], needs, options=options), repairs=False)


def _said(text: str) -> Iterator[tuple[str, float]]:
    """(field, signed inches) of every length in a line."""
    for whole, part, sign, words in _LENGTH.findall(text):
        amount = int(whole) + float(Fraction(part) if part else 0)
        yield FIELDS[words], amount if sign == "more" else -amount


def test_lengths_said_are_those_of_the_metrics(study: Study) -> None:
    """To a quarter of an inch, for every layout against the first."""
    assert len(study.layouts) >= 3
    first = study.layouts[0]
    checked = 0
    for layout in study.layouts[1:]:
        for name, amount in _said(layout.trade_off):
            assert first.metrics is not None
            assert layout.metrics is not None
            real = getattr(layout.metrics, name) - getattr(first.metrics, name)
            assert amount == pytest.approx(real, abs=0.126)
            checked += 1
    assert checked >= 2
    assert first.trade_off == ""


def _layout(**changed: float) -> Layout:
    amounts: dict[str, float] = {
        "long_hang": 30, "medium_hang": 0, "short_hang": 60, "shelf_length": 100,
        "shelf_area": 1200, "open_floor": 0, "easy_length": 90, "items_housed": 2,
        "material_cost": 200, "sheets": 2, "parts": 30,
    }  # fmt: skip
    return Layout(metrics=Metrics.model_validate({**amounts, **changed}))


BRIEF = brief_of([60], {"shelf_length": 10})


@pytest.mark.parametrize(
    ("changed", "line"),
    [
        (
            {"short_hang": 56, "shelf_length": 128.5},
            "4 in less short hang than layout 1 for 28-1/2 in more shelf",
        ),
        (
            {"items_housed": 1, "parts": 24},
            "1 fewer bulky item than layout 1 for 6 fewer parts",
        ),
        ({"long_hang": 42}, "12 in more long hang than layout 1, at a lower score"),
        (
            {"material_cost": 230},
            "30 more in material than layout 1, for a different arrangement",
        ),
        ({"shelf_length": 100.5}, "much the same amounts as layout 1, arranged otherwise"),
    ],
)
def test_lines_by_hand(changed: dict[str, float], line: str) -> None:
    """Losses, then gains, the largest first; what is under an inch goes unsaid."""
    assert trade_off(_layout(), _layout(**changed), BRIEF) == line


def test_what_moved_adds_up(study: Study) -> None:
    """From one layout to another, and nothing from a layout to itself."""
    one, other = study.layouts[:2]
    assert moved(one, one, study.brief) == ()
    lines = moved(one, other, study.brief)
    assert lines
    assert all(line.startswith("wall A: ") for line in lines)
