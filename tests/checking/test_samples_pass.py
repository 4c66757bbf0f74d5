"""Layouts drawn by the rules pass, with their claims and as bare drawings."""

from __future__ import annotations

import pytest

from optimizer.checking import check_layout, require_checked
from tests.checking.samples import SAMPLES, claimed, drawing


@pytest.mark.parametrize("name", SAMPLES)
def test_sample_passes_with_its_claims(name: str) -> None:
    """No finding on a correct layout; metrics and unmet needs were added up by hand."""
    assert check_layout(*claimed(name, {})) == ()


@pytest.mark.parametrize("name", SAMPLES)
def test_sample_passes_as_a_bare_drawing(name: str) -> None:
    """A layout that claims nothing is checked for what is drawn only."""
    brief, layout = drawing(name, {})
    assert require_checked(brief, layout) is layout
