"""Fixtures of the drawing tests: one hand-made layout after the other."""

from __future__ import annotations

import pytest

from tests.drawing.samples import SAMPLES, Sample


@pytest.fixture(params=sorted(SAMPLES))
def made(request: pytest.FixtureRequest) -> Sample:
    """Each sample in turn."""
    return SAMPLES[request.param]()
