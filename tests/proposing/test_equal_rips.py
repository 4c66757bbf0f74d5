"""Shelves ripped in equal strips: a blade's thickness less, where that saves a sheet."""

from __future__ import annotations

import pytest

from optimizer.checking import check_layout
from optimizer.delivery import build_pack
from optimizer.domain.brief import Brief, Pin
from optimizer.domain.layout import Carried, Layout, ZoneKind
from optimizer.domain.study import Study
from optimizer.explaining.pins import pin_of
from optimizer.model.search.alternatives import Search
from optimizer.patterns.pattern import label_of
from optimizer.patterns.rips import ripped_depth
from optimizer.proposing import propose
from optimizer.proposing.assembly import assembled
from optimizer.proposing.equal_rips import in_equal_rips
from tests.ready_briefs import load_scenario


def first_of(brief: Brief) -> Study:
    """A study of a brief with one layout."""
    options = brief.options.model_copy(update={"alternatives": 1})
    return propose(brief.model_copy(update={"options": options}), repairs=False)


def depths(layout: Layout) -> set[float]:
    """Depths of the boards of a layout."""
    return {z.depth or 0.0 for bay in layout.bays for z in bay.zones if z.kind is ZoneKind.SHELF}


def as_asked(study: Study, depth: float, wished: float) -> Layout:
    """The first layout of a study with its boards as deep as asked for, put together anew."""
    search, first = Search(study.brief, study.yardstick), study.layouts[0]
    bays = []
    for bay in first.bays:
        zones = tuple(
            z.model_copy(update={"depth": wished}) if z.depth == depth else z for z in bay.zones
        )
        deep = max(z.depth or 0.0 for z in zones)
        label = label_of(zones, hosting=bay.pattern.startswith("items:"))
        bays.append(bay.model_copy(update={"zones": zones, "depth": deep, "pattern": label}))
    return assembled(search, tuple(bays), first.bound, first.status, first.mounts)


@pytest.mark.parametrize(
    ("wished", "kerf", "ripped"),
    [
        (16.0, 0.125, 15.875),
        (12.0, 0.125, 11.875),
        (12.0, 0.0625, 11.9375),
        (14.0, 0.125, None),
        (16.5, 0.125, None),
        (11.875, 0.125, None),
    ],
)
def test_a_blade_less_is_the_same_depth(wished: float, kerf: float, ripped: float | None) -> None:
    """By hand, 48 in wide: 3 x 15-7/8 + 2/8 and 4 x 11-7/8 + 3/8 = 47-7/8; with a blade of a
    sixteenth 4 x 11-15/16 + 3/16 = 47-15/16. Of 14 in the next is 11-7/8, of 11-7/8 9-1/2."""
    brief = load_scenario("linen-closet")
    rules = brief.construction.model_copy(update={"sheet": (96.0, 48.0), "kerf": kerf})
    needs = brief.needs.model_copy(update={"shelf_depth": wished})
    assert ripped_depth(brief.model_copy(update={"construction": rules, "needs": needs})) == ripped


def test_the_linen_closet_takes_a_sheet_less() -> None:
    """Six boards 16 in deep take two sheets, since only two strips come out of a width; of 15-7/8
    in three do. The score is that of the boards asked for, as the bound is; the study tells it."""
    study = first_of(load_scenario("linen-closet"))
    layout = study.layouts[0]
    assert depths(layout) == {15.875}
    assert not check_layout(study.brief, layout)
    asked = as_asked(study, 15.875, 16.0)
    assert asked.metrics is not None and layout.metrics is not None
    assert (asked.metrics.sheets, layout.metrics.sheets) == (2, 1)
    assert layout.metrics.material_cost < asked.metrics.material_cost
    assert layout.metrics.shelf_length == asked.metrics.shelf_length
    assert layout.metrics.shelf_area < asked.metrics.shelf_area
    assert layout.score == pytest.approx(asked.score, abs=1e-9)
    told = [w.detail for w in study.warnings if w.code == "shelves_ripped"]
    assert len(told) == 1 and '15-7/8" deep, not 16"' in told[0] and "layout 1 " in told[0]
    plan = build_pack(study.brief, layout).plan.sheets
    assert plan is not None and plan.bought == 1


def test_a_wrapped_corner_goes_with_them() -> None:
    """In the pantry that wraps around, boards that end on the next wall's go on by the eighth that
    these are shallower, two sheets are saved, and the bays stand when they are asked for again."""
    study = first_of(load_scenario("wrap-around-pantry"))
    layout = study.layouts[0]
    ends = [bay for bay in layout.bays if Carried.CORNER in (bay.left, bay.right)]
    assert ends and depths(layout) == {11.875}
    assert not check_layout(study.brief, layout)
    pins = tuple(pin_of(bay) for bay in layout.bays)
    again = first_of(study.brief.model_copy(update={"pins": pins}))
    spots = {(bay.wall, bay.start, bay.width, bay.depth, bay.pattern) for bay in layout.bays}
    assert spots <= {(b.wall, b.start, b.width, b.depth, b.pattern) for b in again.layouts[0].bays}


def test_what_stands_on_them_keeps_their_depth() -> None:
    """A box 16 in deep asks for the whole depth, and so does a bay that is pinned at it."""
    brief = load_scenario("linen-closet")
    study = first_of(brief)
    search = Search(brief, study.yardstick)
    asked = as_asked(study, 15.875, 16.0)
    assert depths(in_equal_rips(search, asked)) == {15.875}
    pins: tuple[Pin, ...] = tuple(pin_of(bay) for bay in asked.bays)
    kept = first_of(brief.model_copy(update={"pins": pins}))
    assert depths(kept.layouts[0]) == {16.0}
    box = {"id": "box", "width": 20, "depth": 16, "height": 8, "place": "shelf"}
    told = brief.model_dump(mode="json")
    told["needs"]["items"] = [*told["needs"]["items"], box]
    deep = first_of(Brief.model_validate(told)).layouts[0]
    holding = [z for b in deep.bays for z in b.zones if "box" in z.items]
    assert [zone.depth for zone in holding] == [16.0]
