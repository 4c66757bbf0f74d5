"""The same room seen otherwise has the same best score: in a mirror, in millimetres, grown."""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.domain.room import Slope
from optimizer.domain.study import Study
from optimizer.errors import BriefError
from optimizer.geometry.outline import outline_of
from optimizer.model.pins import pin_faults
from optimizer.model.search.alternatives import Search
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.column import column_of
from optimizer.scoring.terms import Frame
from optimizer.units import Units
from tests.layouts import propose_layouts
from tests.model.bays import kinds_in, steepest
from tests.properties.changed import in_millimetres, in_millimetres_too, longer, mirrored, tightened
from tests.strategies import SMALL_SHAPES, briefs

OPTIONS = {"alternatives": 1, "gap": 0.01, "time_limit_s": 10.0}
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
FEW: dict[str, Any] = {
    "deadline": None,
    "derandomize": True,
    "suppress_health_check": SLOW,
    # Making a failing brief smaller takes minutes of solving: the first one found is shown.
    "phases": (Phase.explicit, Phase.generate),
}
ROUNDING = 1e-4
"""Points: solvers' tolerances, on either side."""
SNAP_IN = 2 * (1 / 16 + 1 / 25.4)
"""Limits and widths of a bay are rounded to 1/16 in on one side and to 1 mm on the other."""


def _agree(one: Study, other: Study, within: float = ROUNDING) -> None:
    """Neither's best scores above what the other's was proved to be bounded by."""
    assert bool(one.layouts) == bool(other.layouts)
    for first, second in zip(one.layouts[:1], other.layouts[:1], strict=True):
        assert first.score <= second.bound + within
        assert second.score <= first.bound + within


@settings(max_examples=6, **FEW)
@given(
    briefs(shapes=SMALL_SHAPES, max_items=1, max_obstructions=2, options=OPTIONS)
    | briefs(shapes=SMALL_SHAPES, max_items=1, max_obstructions=1, mount_pins=True, options=OPTIONS)
)
def test_mirrored_room_has_the_same_best_score(brief: Brief) -> None:
    """Walls, corners, openings, things on walls, studs, slopes and what is kept on a wall all
    turned round."""
    turned = mirrored(brief)
    told = pin_faults(brief)
    assert [fault.pointer for fault in pin_faults(turned)] == [fault.pointer for fault in told]
    assume(not told)
    _agree(propose_layouts(brief), propose_layouts(turned))


def _bays_and_slope(brief: Brief) -> tuple[int, float]:
    """Most bays that fit, and most points that an inch of any of them is worth."""
    search = Search(brief)
    rules = BayRules(brief)
    length = sum(wall.clear_length for wall in brief.room.walls)
    kinds = [
        kind
        for stretch in search.surveyed.stretches
        for kind in kinds_in(column_of([stretch]), search.catalogue)
    ]
    most = int(length // (rules.min_width + rules.panel)) + 1
    return most, steepest(kinds, Frame(rules), search.yardstick)


@settings(max_examples=6, **FEW)
@given(
    briefs(
        shapes=("single", "reach_in"),
        units=Units.INCH,
        max_items=1,
        max_obstructions=1,
        options=OPTIONS,
    )
)
def test_millimetres_give_the_same_score(brief: Brief) -> None:
    """To the last digit the same room: neither does better than the other by more than rounding.

    A bay that just fits in one system may not when its least width is rounded up in the
    other. What is compared with either's bound is therefore the other with least widths
    larger by one rounding: whatever fits there fits here, less the rounding itself.

    What shops sell is no one's length in the other system: only what holds in either, however
    long its screws, is compared. Under a slope the line of a room is chosen by rule and rounded,
    so that there every bay has its own.
    """
    # Panels of 19.05 mm leave nothing on a grid of 1 mm between two walls that carry, and a line
    # taken from a ceiling is rounded in each system by itself.
    plain = {"wall_ends": "uprights", "top_line": "free"}
    brief = brief.model_copy(update={"construction": brief.construction.model_copy(update=plain)})
    items = tuple(item.model_copy(update={"weight_lb": None}) for item in brief.needs.items)
    needs = brief.needs.model_copy(update={"items": items})
    brief = _strong(brief.model_copy(update={"needs": needs}))
    try:
        metric = in_millimetres(brief)
    except BriefError:
        assume(False)
    bays, slope = _bays_and_slope(brief)
    within = ROUNDING + bays * SNAP_IN * slope
    inch = propose_layouts(brief)
    assert inch.yardstick is not None
    scale = in_millimetres_too(inch.yardstick)
    _never_beaten(inch, propose_layouts(tightened(metric, SNAP_IN), yardstick=scale), within)
    tight = propose_layouts(tightened(brief, SNAP_IN), yardstick=inch.yardstick)
    _never_beaten(propose_layouts(metric, yardstick=scale), tight, within)


def _strong(brief: Brief) -> Brief:
    """The brief under loads that leave boards as long as practice lets them be."""
    light: dict[str, Any] = {"shelf_load": 5.0, "rod_load": 5.0}
    if any(isinstance(wall.height, Slope) for wall in brief.room.walls):
        light["top_line"] = "free"
    construction = brief.construction.model_copy(update=light)
    return brief.model_copy(update={"construction": construction})


def _never_beaten(study: Study, tighter: Study, within: float) -> None:
    """What the tighter brief reaches is within the other's bound."""
    assert bool(study.layouts) >= bool(tighter.layouts)
    for best, other in zip(study.layouts[:1], tighter.layouts[:1], strict=False):
        assert other.score <= best.bound + within


@settings(max_examples=8, **FEW)
@given(
    briefs(shapes=("single", "ell"), max_items=1, max_obstructions=1, options=OPTIONS),
    st.sampled_from([0.5, 3.0, 11.25, 40.0]),
)
def test_more_wall_never_lowers_the_best_score(brief: Brief, inches: float) -> None:
    """On one yardstick, what fits into a room fits into a longer one."""
    assume(not isinstance(brief.room.walls[-1].height, Slope))
    before = propose_layouts(brief)
    assume(before.layouts)
    grown = longer(brief, brief.units.from_inch(inches))
    outline_of(grown.room, grown.units)
    after = propose_layouts(grown, yardstick=before.yardstick)
    assert after.layouts
    assert after.layouts[0].bound >= before.layouts[0].score - ROUNDING
