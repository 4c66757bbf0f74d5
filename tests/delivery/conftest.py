"""Deliveries of the drawing samples that pass the checker, built once."""

from __future__ import annotations

import datetime
import io
from functools import cache

import pytest
from pypdf import PdfReader

from optimizer.delivery import Delivery, build_pack, pack_document
from tests.drawing.samples import SAMPLES

FREE = ("walk_in", "pier_room", "metric")
"""Samples drawn before lines were level: their tops are of several heights."""
BUILT = (
    *("reach_in", *FREE, "long_names"),
    *("alcove_pantry", "wrapped_pantry", "mid_supported"),
)
DAY = datetime.date(2026, 3, 14)


@cache
def delivery_of(name: str) -> Delivery:
    """The build of a sample, dated."""
    brief, layout = SAMPLES[name]()
    if name in FREE:
        rules = brief.construction.model_copy(update={"top_line": "free"})
        brief = brief.model_copy(update={"construction": rules})
    return build_pack(brief, layout, date=DAY)


@cache
def document_of(name: str) -> bytes:
    """Its document."""
    return pack_document(delivery_of(name))


@cache
def pages_of(name: str) -> tuple[str, ...]:
    """Text of its document, page by page."""
    reader = PdfReader(io.BytesIO(document_of(name)))
    return tuple(page.extract_text() for page in reader.pages)


def flat(text: str) -> str:
    """Text without spaces and line breaks: cells and paragraphs wrap where they will."""
    return "".join(text.split())


@pytest.fixture(params=BUILT)
def name(request: pytest.FixtureRequest) -> str:
    """Each built sample in turn."""
    return str(request.param)
