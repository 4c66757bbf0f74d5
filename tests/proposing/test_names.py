"""Ids that people choose: alike in all but a mark, or in letters of other scripts."""

from __future__ import annotations

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.checking import check_study
from optimizer.proposing import propose

IDS = [("box-1", "box_1"), ("box 1", "box.1"), ("Ящик", "ящик"), ("Truhe ä", "Truhe_ä")]


@pytest.mark.parametrize(("one", "other"), IDS)
def test_ids_that_differ_in_a_mark_alone_are_two(one: str, other: str) -> None:
    """Two items, of which one does not fit, two kinds of things and two strips of hooks."""
    room = {"ceiling_height": 96, "walls": [{"id": "A", "length": 96}]}
    sizes = {"width": 14, "depth": 12, "height": 12}
    needs = {
        "short_hang": 30,
        "shelf_length": 40,
        "items": [{"id": one, **sizes}, {"id": other, **sizes, "width": 93, "depth": 20}],
        "stored": [
            {"kind": kind, "count": 4, "width": 10, "pitch": 8, "depth": 10}
            for kind in (one, other)
        ],
        "hooks": [{"id": hung, "count": 1} for hung in (one, other)],
    }
    options = {"alternatives": 2, "time_limit_s": 10.0}
    brief = read_brief({"room": room, "needs": needs, "options": options})[0]
    study = propose(brief)
    assert study.layouts
    assert check_study(brief, study) == ()
    held = [item for bay in study.layouts[0].bays for zone in bay.zones for item in zone.items]
    stored = {s.kind for b in study.layouts[0].bays for z in b.zones for s in z.stored}
    assert held == [one]
    assert stored == {one, other}
