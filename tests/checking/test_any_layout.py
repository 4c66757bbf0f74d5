"""Any layout that can be read gets findings, whatever is drawn; nothing raises."""

from __future__ import annotations

from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from optimizer.checking import check_layout, check_study, layouts, passes
from optimizer.domain.brief import Brief
from optimizer.domain.fields import LEAST_SIZE
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study
from optimizer.errors import Fault
from tests.checking.parts import Data
from tests.checking.samples import SAMPLES, parse
from tests.strategies import raw_briefs

ODD = [0.0, 5e-324, 1e-300, 1e-12, 1e-9, 1e-3, 0.0625, 0.75, 12.0, 24.0, 30.5, 83.75, 600.0, 1200.0]
LENGTHS = st.sampled_from(ODD) | st.floats(0, 1200) | st.integers(0, 400).map(lambda n: n / 4)
SIZES = LENGTHS.filter(lambda length: length >= LEAST_SIZE)
REALS = st.sampled_from([0.0, -1.0, 1e308, -1e308]) | st.floats(-1e6, 1e6)
WALLS = st.sampled_from(["A", "B", "C", "D", "Z"])
ITEMS = st.sampled_from(["hamper", "box", "item0", "item-1", "ghost"])
NEEDS = st.sampled_from(["long_hang", "short_hang", "shelf_length", "item:box", "item:ghost", "?"])

ZONES = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(["floor", "rod", "shelf"]),
        "bottom": LENGTHS,
        "top": LENGTHS,
        "depth": st.none() | LENGTHS,
        "hang": st.sampled_from([None, "long", "medium", "short"]),
        "rod_height": st.none() | LENGTHS,
        "items": st.lists(ITEMS, max_size=3),
    }
)
BAYS = st.fixed_dictionaries(
    {
        "id": st.sampled_from(["1", "2", "3"]),
        "wall": WALLS,
        "start": LENGTHS,
        "width": SIZES,
        "depth": SIZES,
        "pattern": st.sampled_from(["p", "q"]),
        "zones": st.lists(ZONES, max_size=4),
        "height": SIZES,
        "stiffened": st.booleans(),
        **dict.fromkeys(["left", "right"], st.sampled_from(["upright", "wall", "corner"])),
        "mid_supports": st.lists(LENGTHS, max_size=3),
    }
)
METRICS = st.fixed_dictionaries(
    {
        **dict.fromkeys(
            ["long_hang", "medium_hang", "short_hang", "shelf_length", "shelf_area"], REALS
        ),
        **dict.fromkeys(["open_floor", "easy_length", "material_cost"], REALS),
        **dict.fromkeys(["items_housed", "sheets", "parts"], st.integers(-2, 5)),
    }
)
UNMET = st.fixed_dictionaries(
    {
        "need": NEEDS,
        "required": REALS,
        "achieved": REALS,
        "shortfall": REALS,
        "reason": st.just("unknown"),
        "detail": st.just(""),
    }
)
TERMS = st.fixed_dictionaries(
    {
        "name": st.sampled_from(["needs", "hanging", "shelving"]),
        **dict.fromkeys(["weight", "value", "points"], REALS),
    }
)
LAYOUTS = st.fixed_dictionaries(
    {
        "score": REALS,
        "bound": REALS,
        "bays": st.lists(BAYS, max_size=5),
        "metrics": st.none() | METRICS,
        "unmet": st.lists(UNMET, max_size=3),
        "terms": st.lists(TERMS, max_size=3),
        "lines": st.dictionaries(WALLS, LENGTHS, max_size=2),
        "structure": st.none() | st.fixed_dictionaries({"share": REALS, "of": st.just("x")}),
    }
)

ODD_WALLS = st.fixed_dictionaries(
    {
        "id": WALLS,
        "length": SIZES,
        "corner": st.sampled_from(["inside", "outside"]),
        "height": st.none() | SIZES | st.fixed_dictionaries({"left": SIZES, "right": SIZES}),
        "studs": st.none() | st.fixed_dictionaries({"positions": st.lists(LENGTHS, max_size=4)}),
    }
)
ODD_ITEMS = st.fixed_dictionaries(
    {
        "id": ITEMS,
        **dict.fromkeys(["width", "depth", "height"], SIZES),
        "place": st.sampled_from(["floor", "shelf", "any"]),
        "use": st.sampled_from(["daily", "seldom"]),
        "weight_lb": st.none() | st.floats(0, 60),
    }
)
ODD_BRIEFS = st.fixed_dictionaries(
    {
        "units": st.sampled_from(["in", "mm"]),
        "room": st.fixed_dictionaries(
            {
                "ceiling_height": SIZES,
                "walls": st.lists(ODD_WALLS, min_size=1, max_size=6),
                "access": st.sampled_from(["auto", "reach_in", "walk_in"]),
                "openings": st.lists(
                    st.fixed_dictionaries(
                        {
                            "wall": WALLS,
                            "start": LENGTHS,
                            "width": SIZES,
                            "kind": st.sampled_from(["cased", "hinged_in"]),
                        }
                    ),
                    max_size=2,
                ),
                "obstructions": st.lists(
                    st.fixed_dictionaries(
                        {
                            "wall": WALLS,
                            **dict.fromkeys(["start", "bottom", "setback", "projection"], LENGTHS),
                            **dict.fromkeys(["width", "height"], SIZES),
                            "kind": st.sampled_from(["light", "window", "outlet"]),
                        }
                    ),
                    max_size=2,
                ),
                "keep_clear": st.lists(
                    st.fixed_dictionaries(
                        {
                            "wall": WALLS,
                            **dict.fromkeys(["start", "bottom"], LENGTHS),
                            **dict.fromkeys(["width", "height", "depth"], SIZES),
                        }
                    ),
                    max_size=1,
                ),
                "measuring_tolerance": LENGTHS,
            }
        ),
        "needs": st.fixed_dictionaries(
            {
                "aisle": LENGTHS,
                "short_hang": LENGTHS,
                "shelf_spacing": SIZES,
                "items": st.lists(ODD_ITEMS, max_size=2),
                "garments": st.lists(
                    st.fixed_dictionaries(
                        {"kind": st.sampled_from(["shirt", "?"]), "count": st.integers(1, 9)}
                    ),
                    max_size=1,
                ),
            }
        ),
        "construction": st.fixed_dictionaries(
            {},
            optional={
                **dict.fromkeys(
                    ["panel_thickness", "hang_depth", "max_bay_width", "stiffener_height"], SIZES
                ),
                "shelf_load": st.sampled_from([5e-324, 1e-300, 15.0, 2000.0]),
                "rod_load": st.sampled_from([5e-324, 1e-300, 20.0, 500.0]),
                "rod_stock": st.sampled_from(["steel_tube", "wood_dowel"]),
                "top_line": st.sampled_from(["level", "free"]),
                "wall_ends": st.sampled_from(["cleats", "uprights"]),
                "mid_support": st.sampled_from(["triangle", "bracket", "none"]),
            },
        ),
    }
)

BRIEFS = ODD_BRIEFS | raw_briefs(pins=True, mount_pins=True)


def is_reported(findings: tuple[Fault, ...]) -> bool:
    """Whether every finding has a pointer, a sentence and a code."""
    return all(
        (not fault.pointer or fault.pointer.startswith("/")) and fault.detail and fault.code
        for fault in findings
    )


@settings(max_examples=150, deadline=None)
@given(BRIEFS, LAYOUTS)
def test_any_layout_over_any_brief_gives_findings(brief: Data, layout: Data) -> None:
    """Sizes of nothing, walls that cross, unknown names: findings, never an exception."""
    parsed = parse({"brief": brief, "layout": layout})
    findings = check_layout(*parsed)
    assert is_reported(findings)
    assert passes(*parsed) == (not findings)


@settings(max_examples=40, deadline=None)
@given(
    BRIEFS,
    st.lists(LAYOUTS, max_size=3),
    st.lists(st.lists(st.floats(0, 1), max_size=3), max_size=3),
)
def test_any_study_gives_findings(
    brief: Data, layouts: list[Data], table: list[list[float]]
) -> None:
    """A table of differences of any shape, layouts of any kind."""
    data = {"brief": brief, "status": "optimal", "layouts": layouts, "differences": table}
    study = Study.model_validate(data)
    findings = check_study(study.brief, study)
    assert is_reported(findings)


def leaves(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Paths to every number in plain data."""
    if isinstance(data, dict | list):
        pairs = data.items() if isinstance(data, dict) else enumerate(data)
        return [leaf for key, value in pairs for leaf in leaves(value, (*path, key))]
    return [path] if isinstance(data, int | float) and not isinstance(data, bool) else []


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(sorted(SAMPLES)), st.data())
def test_sample_with_any_number_changed_gives_findings(name: str, data: st.DataObject) -> None:
    """Correct drawings with one odd figure in brief or layout."""
    sample = SAMPLES[name]()
    path = data.draw(st.sampled_from(leaves(sample)))
    here: Any = sample
    for step in path[:-1]:
        here = here[step]
    here[path[-1]] = data.draw(LENGTHS)
    try:
        brief, layout = parse(sample)
    except ValidationError:
        assume(False)
    findings = check_layout(brief, layout)
    assert is_reported(findings)
    assert passes(brief, layout) == (not findings)


def test_nothing_drawn_is_no_fault() -> None:
    """An empty layout obeys every rule of a layout."""
    brief = Brief.model_validate(SAMPLES["walk_in"]()["brief"])
    assert check_layout(brief, Layout()) == ()


def test_the_floor_under_equal_bays_is_looked_at_once() -> None:
    """Whatever else is said of a layout; under another brief it is looked at again."""
    brief, layout = parse(SAMPLES["walk_in"]())
    first = check_layout(brief, layout)
    before = layouts.kept_from_floor.cache_info()
    assert check_layout(brief, layout.model_copy(update={"trade_off": "none"})) == first
    again = layouts.kept_from_floor.cache_info()
    assert (again.hits, again.misses) == (before.hits + 1, before.misses)
    needs = brief.needs.model_copy(update={"aisle": 2.0 * brief.needs.aisle})
    check_layout(brief.model_copy(update={"needs": needs}), layout)
    assert layouts.kept_from_floor.cache_info().misses == before.misses + 1
