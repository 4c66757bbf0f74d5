"""Figures as they are told."""

from __future__ import annotations

import pytest

from optimizer.figures import at_most


@pytest.mark.parametrize(
    ("bound", "decimals", "told"),
    [
        (91.42, 1, "91.5"),
        (91.4, 1, "91.4"),
        (91.4 + 1e-9, 1, "91.4"),
        (91.40001, 1, "91.5"),
        (88.0, 0, "88"),
        (81.2, 0, "82"),
        (100.0, 1, "100.0"),
    ],
)
def test_no_bound_is_told_lower_than_it_is(bound: float, decimals: int, told: str) -> None:
    """Rounded up, but for what is rounding itself."""
    assert at_most(bound, decimals) == told
