"""Whatever comes in, the reader returns a brief or says what is wrong."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from optimizer.briefs.reader import read_brief, read_brief_text
from optimizer.briefs.studies import read_study_text
from optimizer.domain.brief import Brief
from optimizer.errors import BriefError, LayoutError
from tests.strategies import arbitrary_json, mutated, raw_briefs

_LARGE = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]


def _faults(data: Any) -> int:
    """Number of faults found in some data, 0 for a brief."""
    try:
        brief, _ = read_brief(data)
    except BriefError as error:
        assert all(fault.code and fault.detail for fault in error.faults)
        assert all(fault.pointer == "" or fault.pointer[0] == "/" for fault in error.faults)
        assert str(error).encode()
        return len(error.faults)
    assert isinstance(brief, Brief)
    return 0


@given(arbitrary_json())
def test_arbitrary_json_is_refused_with_a_reason(data: Any) -> None:
    """No data that is not a brief gets through, and none crashes the reader."""
    assert _faults(data) >= 1


@settings(max_examples=120, suppress_health_check=_LARGE)
@given(mutated())
def test_mutated_briefs_are_read_or_refused(data: Any) -> None:
    """A brief with a few values changed is read or refused, and both alike a second time."""
    assert _faults(data) == _faults(data)


@given(st.text(max_size=200))
def test_arbitrary_text_is_refused(text: str) -> None:
    """Text that is no JSON object is refused."""
    with pytest.raises(BriefError):
        read_brief_text(text)


@given(st.binary(max_size=200))
def test_arbitrary_bytes_are_refused(content: bytes) -> None:
    """So are bytes of any encoding."""
    with pytest.raises(BriefError):
        read_brief_text(content)


@given(arbitrary_json())
def test_arbitrary_json_is_no_study(data: Any) -> None:
    """Nor is any data taken for a study."""
    with pytest.raises(LayoutError):
        read_study_text(json.dumps(data))


@settings(max_examples=120, suppress_health_check=_LARGE)
@given(raw_briefs(pins=True, mount_pins=True))
def test_generated_briefs_are_accepted(raw: Any) -> None:
    """Every brief that is valid by construction is read without a fault."""
    assert _faults(raw) == 0


@settings(suppress_health_check=_LARGE)
@given(raw_briefs(pins=True, mount_pins=True))
def test_brief_to_json_and_back_is_identity(raw: Any) -> None:
    """A brief written and read again is the same brief with the same warnings."""
    brief, warnings = read_brief(raw)
    assert read_brief_text(brief.model_dump_json()) == (brief, warnings)
    assert read_brief(json.loads(brief.model_dump_json(exclude_none=True))) == (brief, warnings)
