"""What holds of the parts of every layout, on random ones."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings

from optimizer.buildpack.chains import wall_chains
from optimizer.buildpack.cutlist import cut_list, cuts
from optimizer.checking.layouts import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Zone, ZoneKind
from optimizer.domain.pack import Box, Part, PartKind, Stock
from optimizer.parts.job import Job
from optimizer.parts.triangles import PAIRED
from optimizer.reference import materials
from optimizer.units import Units
from tests.buildpack.rebuild import layout_from_parts
from tests.buildpack.samples import metric, reach_in
from tests.buildpack.strategies import layouts
from tests.packs import parts_of

_BOARDS = (PartKind.SHELF, PartKind.TOP_SHELF)
_FINE = 1e-6


def _bays_as_data(layout: Layout) -> list[dict[str, object]]:
    return [bay.model_dump(exclude={"pattern"}) for bay in layout.bays]


@pytest.mark.parametrize("sample", [reach_in, metric])
def test_hand_made_layouts_come_back_from_their_parts(sample: object) -> None:
    """Bays, boards and rods rebuilt from the parts are those of the layout."""
    brief, layout = sample()  # type: ignore[operator]
    assert _bays_as_data(layout_from_parts(brief, parts_of(brief, layout))) == _bays_as_data(layout)


def _rounded(data: object) -> object:
    if isinstance(data, float):
        return round(data, 6)
    if isinstance(data, dict):
        return {key: _rounded(value) for key, value in data.items()}
    return [_rounded(value) for value in data] if isinstance(data, list | tuple) else data


@given(layouts())
@settings(max_examples=60, deadline=None)
def test_random_layouts_come_back_from_their_parts(case: tuple[Brief, Layout]) -> None:
    """The same for random layouts; bays come back from left to right."""
    brief, layout = case
    rebuilt = layout_from_parts(brief, parts_of(brief, layout))
    assert _rounded(_bays_as_data(rebuilt)) == _rounded(_bays_as_data(layout))


def _meet(a: Box, b: Box) -> bool:
    """Whether two boxes share space."""
    return (
        a.along < b.end - _FINE
        and b.along < a.end - _FINE
        and a.out < b.front - _FINE
        and b.out < a.front - _FINE
        and a.bottom < b.top - _FINE
        and b.bottom < a.top - _FINE
    )


def _beside(a: Part, b: Part) -> bool:
    """Whether only the boxes of two parts meet: a triangle is notched and slopes, an upright is
    notched over a cleat that runs through behind its top."""
    kinds = {a.kind, b.kind}
    if kinds == {PartKind.UPRIGHT, PartKind.BACK_CLEAT}:
        upright, cleat = (a, b) if a.kind is PartKind.UPRIGHT else (b, a)
        return any(
            notch.corner == "back_top"
            and abs(notch.depth - cleat.box.front) < _FINE
            and abs(upright.box.top - notch.height - cleat.box.bottom) < _FINE
            for notch in upright.notches
        )
    return PartKind.TRIANGLE in kinds and bool(kinds & {PartKind.BACK_CLEAT, PartKind.ROD})


@given(layouts())
@settings(max_examples=60, deadline=None)
def test_no_two_parts_share_space(case: tuple[Brief, Layout]) -> None:
    """As built in, no part runs through another, and none through the wall's ends or ceiling."""
    brief, layout = case
    parts = parts_of(brief, layout)
    met = [(a, b) for a, b in combinations(parts, 2) if _meet(a.box, b.box)]
    assert [(a.id, b.id) for a, b in met if not _beside(a, b)] == []
    length, ceiling = brief.room.wall("W").clear_length, brief.room.ceiling_height
    assert [
        part.id
        for part in parts
        if part.box.along < -_FINE
        or part.box.end > length + _FINE
        or part.box.bottom < -_FINE
        or part.box.top > ceiling + _FINE
    ] == []


def _at_level(parts: Sequence[Part], kind: PartKind, bay: Bay, level: float) -> list[Part]:
    """Parts of one kind in a bay whose top is at a level."""
    return [
        p for p in parts if p.kind is kind and bay.id in p.bays and abs(p.box.top - level) < _FINE
    ]


def _carries_end(parts: Sequence[Part], bay: Bay, level: float, *, left: bool) -> bool:
    """Whether a cleat or the edge of an upright is under a board's end."""
    face = bay.start if left else bay.end
    ends = [
        p
        for kind in (PartKind.SIDE_CLEAT, PartKind.ROD_CLEAT)
        for p in _at_level(parts, kind, bay, level)
    ]
    edges = _at_level(parts, PartKind.UPRIGHT, bay, level)
    near = [p.box.along if left else p.box.end for p in ends]
    touching = [p.box.end if left else p.box.along for p in edges]
    return any(abs(place - face) < _FINE for place in (*near, *touching))


def _needs_none(brief: Brief, bay: Bay, zone: Zone) -> bool:
    """Whether a board may do without a back cleat: below the top one, in short pieces, each as a
    simple beam within its sag after creep, 5 w L^4 / (384 E I) (Wood Handbook, Table 9-1)."""
    rules, inch = brief.construction, brief.units.to_inch(1.0)
    top = max(z.bottom for z in bay.zones if z.kind is ZoneKind.SHELF)
    if bay.stiffened or zone.bottom >= top:
        return False
    longest = max(b - a for a, b in pairwise((bay.start, *sorted(bay.mid_supports), bay.end)))
    pressure = rules.shelf_load / 144.0 * (1.0 if brief.units is Units.INCH else 0.20482)
    # From the middle of one cleat to that of the next.
    span = max(longest - rules.cleat_thickness, longest / 2.0) * inch
    inertia = (rules.panel_thickness * inch) ** 3 / 12.0
    sag = 5.0 * pressure * span**4 / (384.0 * materials.stock(rules.material).modulus_low * inertia)
    holds = sag * materials.creep_of(rules) <= span / rules.deflection_ratio * 1.001
    return longest <= rules.unbacked_span + _FINE and holds


@given(layouts())
@settings(max_examples=100, deadline=None)
def test_every_board_has_its_supports(case: tuple[Brief, Layout]) -> None:
    """A back cleat unless it does without, a cleat or an upright's edge at each end, its
    stiffener, its triangles."""
    brief, layout = case
    parts = parts_of(brief, layout)
    panel = brief.construction.panel_thickness
    for bay in layout.bays:
        for zone in bay.zones:
            if zone.kind is not ZoneKind.SHELF:
                continue
            level = zone.bottom - panel
            if not _at_level(parts, PartKind.BACK_CLEAT, bay, level):
                assert _needs_none(brief, bay, zone)
            assert _carries_end(parts, bay, level, left=True)
            assert _carries_end(parts, bay, level, left=False)
            triangles = _at_level(parts, PartKind.TRIANGLE, bay, level)
            assert len(triangles) == len(bay.mid_supports)
            boards = [p for kind in _BOARDS for p in _at_level(parts, kind, bay, zone.bottom)]
            reach = (min(p.box.along for p in boards), max(p.box.end for p in boards))
            slack = _slack(boards[0])
            assert reach[0] <= bay.start + slack and reach[1] >= bay.end - slack
        stiffeners = [p for p in parts if p.kind is PartKind.STIFFENER and bay.id in p.bays]
        shelves = sum(zone.kind is ZoneKind.SHELF for zone in bay.zones)
        assert len(stiffeners) == (shelves if bay.stiffened else 0)


def _slack(board: Part) -> float:
    """How far short of its bay a board may be: the shelf clearance and rounding."""
    return 3.0 if board.thickness > 2.0 else 0.13


@given(layouts())
@settings(max_examples=60, deadline=None)
def test_every_rod_hangs_between_what_carries_it(case: tuple[Brief, Layout]) -> None:
    """At each end an upright, or a rod cleat on the side wall, that reaches past its centre."""
    brief, layout = case
    parts = parts_of(brief, layout)
    allowance = brief.construction.rod_allowance + brief.units.grid
    for rod in (part for part in parts if part.kind is PartKind.ROD):
        bay = rod.bays[0]
        kinds = (PartKind.UPRIGHT, PartKind.ROD_CLEAT)
        sides = [p for p in parts if p.kind in kinds and bay in p.bays]
        gaps = [min(abs(rod.box.along - p.box.end), abs(p.box.along - rod.box.end)) for p in sides]
        assert len(sides) == 2
        assert max(gaps) <= allowance
        assert all(p.box.front >= brief.construction.rod_setback for p in sides)
        assert all(p.box.top >= rod.box.top for p in sides)
        assert any(p.kind in _BOARDS and bay in p.bays for p in parts)


@given(layouts())
@settings(max_examples=60, deadline=None)
def test_chains_add_up_to_their_wall(case: tuple[Brief, Layout]) -> None:
    """Links follow one another without a gap and add up to the wall."""
    brief, layout = case
    for chain in wall_chains(Job(brief, layout)):
        assert chain.total == brief.room.wall(chain.wall).clear_length
        assert sum(link.length for link in chain.links) == pytest.approx(chain.total, abs=1e-9)
        here = 0.0
        for link in chain.links:
            assert link.start == pytest.approx(here, abs=1e-9)
            assert link.length > 0
            here = link.start + link.length


@given(layouts())
@settings(max_examples=60, deadline=None)
def test_the_cut_list_keeps_every_length(case: tuple[Brief, Layout]) -> None:
    """Rows hold each part once, in order of stock, width and length; lengths and areas add up."""
    brief, layout = case
    parts = parts_of(brief, layout)
    rows = cut_list(parts)
    assert sorted(name for row in rows for name in row.parts) == sorted(part.id for part in parts)
    for stock in Stock:
        own = [row for row in rows if row.stock is stock]
        assert [row.width for row in own] == sorted((row.width for row in own), reverse=True)
        assert sum(row.count * row.length * row.width for row in own) == pytest.approx(
            sum(part.length * part.width for part in parts if part.stock is stock)
        )
    assert [row.row for row in rows] == list(range(1, len(rows) + 1))


@given(layouts())
@settings(max_examples=60, deadline=None)
def test_saw_settings_cover_each_part_once_per_kind_of_cut(case: tuple[Brief, Layout]) -> None:
    """Every sheet part is ripped once, every part is crosscut once, rips before crosscuts."""
    brief, layout = case
    parts = parts_of(brief, layout)
    steps = cuts(parts)
    ripped, crossed, slanted = (
        [one for cut in steps if cut.kind == kind for ids in cut.parts for one in ids.split(PAIRED)]
        for kind in ("rip", "crosscut", "diagonal")
    )
    assert sorted(ripped) == sorted(part.id for part in parts if part.stock is Stock.SHEET)
    assert sorted(crossed) == sorted(part.id for part in parts)
    triangles = sorted(part.id for part in parts if part.kind is PartKind.TRIANGLE)
    assert sorted(slanted) == triangles
    sheet = [cut.kind for cut in steps if cut.stock is Stock.SHEET]
    assert sheet == sorted(sheet, key=["rip", "crosscut", "diagonal", "notch"].index)


@given(layouts())
@settings(max_examples=60, deadline=None)
def test_sizes_are_on_the_cutting_grid(case: tuple[Brief, Layout]) -> None:
    """Lengths and widths of panels and strips are whole sixteenths or millimetres."""
    brief, layout = case
    grid = brief.units.grid
    for part in parts_of(brief, layout):
        sizes = [part.length] if part.stock is Stock.ROD else [part.length, part.width]
        assert [round(size / grid, 6) % 1 for size in sizes] == [0] * len(sizes)


@pytest.mark.parametrize("sample", [reach_in, metric])
def test_the_checker_accepts_what_is_rebuilt_from_the_parts(sample: object) -> None:
    """The independent checker finds no fault in the hand-made layouts, nor in those rebuilt."""
    brief, layout = sample()  # type: ignore[operator]
    rebuilt = layout_from_parts(brief, parts_of(brief, layout))
    assert check_layout(brief, layout) == ()
    assert check_layout(brief, rebuilt) == ()


def test_a_zone_ends_under_an_obstruction_when_it_is_rebuilt() -> None:
    """A switch at 50 over a board at 39-1/2: the zone on it ends at 50, not at the next board."""
    brief, layout = reach_in()
    data = brief.model_dump(mode="json")
    data["room"]["obstructions"] = [
        {"wall": "B", "start": 40, "width": 3, "bottom": 50, "height": 0.5, "kind": "switch"}
    ]
    rebuilt = layout_from_parts(Brief.model_validate(data), parts_of(brief, layout))
    assert [zone.top for zone in rebuilt.bays[1].zones][2:5] == [38.75, 50, 62.75]
