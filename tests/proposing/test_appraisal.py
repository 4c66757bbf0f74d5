"""A layout changed by hand: put in order, found sound or not, and held against the proposal."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.briefs.reader import read_brief, read_brief_file
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study
from optimizer.proposing import propose
from optimizer.proposing.appraisal import appraise
from optimizer.proposing.grid_snap import snapped
from tests.hand.rooms import FOLDER, ROOMS

OFFSETS = st.floats(-0.2, 0.2)
"""How far a hand is off [in]: less than the width of an upright."""


@cache
def drawn(name: str) -> tuple[Brief, Layout]:
    """A room as a builder would fit it out by hand."""
    brief, _ = read_brief_file(FOLDER / f"{name}.brief.json")
    text = Path(FOLDER / f"{name}.layout.json").read_text(encoding="utf-8")
    return brief, Layout.model_validate_json(text, context=brief.units)


@cache
def proposed() -> Study:
    """A reach-in with its proposals."""
    walls = [{"id": "A", "length": 24}, {"id": "B", "length": 90}, {"id": "C", "length": 24}]
    brief, _ = read_brief(
        {
            "room": {"ceiling_height": 96, "walls": walls},
            "needs": {"short_hang": 40, "shelf_length": 60},
            "options": {"alternatives": 2, "time_limit_s": 10},
        }
    )
    return propose(brief, repairs=False)


@pytest.mark.parametrize("name", ROOMS)
def test_what_is_in_order_comes_back_as_it_is(name: str) -> None:
    """A sound layout is not touched, passes, and is measured in full."""
    brief, layout = drawn(name)
    found = appraise(brief, layout)
    assert found.layout.bays == layout.bays
    assert found.findings == ()
    assert found.layout.metrics is not None and found.layout.structure is not None


@settings(deadline=None, max_examples=25)
@given(name=st.sampled_from(sorted(ROOMS)), data=st.data())
def test_a_hand_that_is_a_little_off_is_put_right(name: str, data: st.DataObject) -> None:
    """Uprights meet again and widths are on the grid; ids and kinds stay; a second time changes
    nothing."""
    brief, layout = drawn(name)
    inch = brief.units.from_inch(1.0)
    off = [
        bay.model_copy(
            update={
                "start": max(0.0, bay.start + inch * data.draw(OFFSETS)),
                "width": bay.width + inch * data.draw(OFFSETS),
            }
        )
        for bay in layout.bays
    ]
    once = snapped(brief, layout.model_copy(update={"bays": tuple(off)}))
    assert [(bay.id, bay.wall, bay.zones) for bay in once.bays] == [
        (bay.id, bay.wall, bay.zones) for bay in layout.bays
    ]
    codes = {fault.code for fault in appraise(brief, once).findings}
    assert codes.isdisjoint({"wall_fit", "width_grid", "neighbours"})
    again = snapped(brief, once)
    for one, other in zip(once.bays, again.bays, strict=True):
        assert (one.start, one.width) == pytest.approx((other.start, other.width))


def test_the_proposal_itself_is_as_good_as_itself() -> None:
    """Score, bound and terms are the study's own; nothing has changed."""
    study = proposed()
    first = study.layouts[0]
    found = appraise(study.brief, first, study, 1)
    assert found.findings == () and found.against is not None
    assert found.layout.bays == first.bays
    assert found.layout.score == pytest.approx(first.score)
    assert found.layout.terms == first.terms
    assert found.layout.metrics == first.metrics
    assert found.against.bound == pytest.approx(first.bound)
    assert found.against.summary == "as good as layout 1; nothing else changed"


def test_a_changed_layout_is_told_by_how_much_and_where() -> None:
    """A bay taken out costs points; the sum of the lines is the difference in score."""
    study = proposed()
    first = study.layouts[0]
    found = appraise(study.brief, Layout(bays=first.bays[1:]), study, 1)
    against = found.against
    assert against is not None and against.difference < -1
    before = {term.name: term.points for term in first.terms}
    lines = {term.name: term.points - before[term.name] for term in found.layout.terms}
    assert sum(lines.values()) == pytest.approx(against.difference)
    assert against.terms == pytest.approx({k: v for k, v in lines.items() if abs(v) >= 0.05})
    assert against.summary.startswith(f"{-against.difference:.1f} points under layout 1: ")
    assert against.changed and against.changed[0] in against.summary
    assert found.layout.score <= against.bound


def test_what_cannot_be_measured_is_found_and_not_raised() -> None:
    """Unknown walls and items, walls too short, a rod without height; none is measured too."""
    study = proposed()
    bay = study.layouts[0].bays[0]
    zone = bay.zones[0]
    wrong = (
        bay.model_copy(update={"wall": "Z"}),
        bay.model_copy(update={"start": 60.0, "width": 80.0, "right": "upright"}),
        bay.model_copy(update={"zones": (zone.model_copy(update={"items": ("trunk",)}),)}),
        bay.model_copy(update={"zones": (zone.model_copy(update={"kind": "rod"}),)}),
    )
    for one in wrong:
        found = appraise(study.brief, Layout(bays=(one,)), study)
        assert found.findings and not found.measured and found.against is None
    assert appraise(study.brief, Layout(), study).against is not None
