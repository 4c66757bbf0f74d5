"""Plans read back: walls and bays where they are, doors as they open, sizes that add up."""

from __future__ import annotations

from itertools import pairwise

import pytest

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.drawing import draw_plan
from optimizer.drawing.views.plan_sizes import _crosses, _Way, chosen_ways
from optimizer.lengths import parse_length
from tests.drawing import samples
from tests.drawing.readback import (
    Box,
    chains,
    crossed,
    document,
    rectangles,
    text_boxes,
    texts,
)
from tests.drawing.samples import Sample, bay, sample, shelf_zones
from tests.packs import quick_pack


def test_first_wall_lies_at_the_top_and_the_room_below_it() -> None:
    """Wall 0 runs along +x from the origin; every bay lies below it."""
    brief, layout = samples.walk_in()
    boxes = rectangles(document(draw_plan(brief, layout)), "UPRIGHT")
    assert max(box.top for box in boxes) == pytest.approx(0.0)
    assert min(box.left for box in boxes) == pytest.approx(0.0)
    assert max(box.right for box in boxes) == pytest.approx(96.0)
    assert min(box.bottom for box in boxes) == pytest.approx(-84.0)


def test_uprights_reach_out_as_deep_as_their_bay() -> None:
    """On the first wall an upright is a panel wide and its bay's depth deep."""
    brief, layout = samples.single_bay()
    boxes = rectangles(document(draw_plan(brief, layout)), "UPRIGHT")
    found = sorted((box.left, box.bottom, box.right, box.top) for box in boxes)
    assert found == [(0.0, -14.0, 0.75, 0.0), (30.75, -14.0, 31.5, 0.0)]


def test_chains_on_every_side_add_up(made: Sample) -> None:
    """Chains outside the room run without a gap, their figures add up to their whole."""
    brief, layout = made
    doc = document(draw_plan(brief, layout))
    grid = brief.units.grid
    for upright in (False, True):
        for links in chains(doc, upright=upright).values():
            assert all(a.end == pytest.approx(b.start, abs=1e-6) for a, b in pairwise(links))
            shown = [parse_length(link.text.partition(" (")[0], brief.units) for link in links]
            assert sum(shown) == pytest.approx(links[-1].end - links[0].start, abs=grid / 2)


def test_the_whole_of_every_wall_is_dimensioned() -> None:
    """Each wall of the walk-in has a dimension of just its length."""
    brief, layout = samples.walk_in()
    doc = document(draw_plan(brief, layout))
    spans = {
        (upright, round(link.end - link.start, 3))
        for upright in (False, True)
        for links in chains(doc, upright=upright).values()
        for link in links
    }
    assert (False, 96.0) in spans
    assert (True, 84.0) in spans


def test_the_clear_way_between_facing_bays_is_dimensioned() -> None:
    """Between W2 and E1, 24 in deep each in a room of 96 in, there are 48 in."""
    brief, layout = samples.walk_in()
    links = [
        link
        for line in chains(document(draw_plan(brief, layout)), upright=False).values()
        for link in line
    ]
    assert [(link.start, link.end) for link in links if link.text == '48"'] == [(24.0, 72.0)]


def test_every_wall_bay_and_obstruction_is_named() -> None:
    """Ids in circles, bays with clear width and depth, obstructions by kind."""
    brief, layout = samples.walk_in()
    shown = texts(document(draw_plan(brief, layout)))
    for text in ("N", "E", "S", "W", "N1", "N2", "W1", "W2", "E1", '24" x 16"', '30" x 24"'):
        assert text in shown
    for text in ("window", "vent", "switch", "outlet", "light"):
        assert text in shown


def test_walls_of_a_pier_are_all_named() -> None:
    """All eight walls have their mark, the three of the pier too."""
    brief, layout = samples.pier_room()
    shown = texts(document(draw_plan(brief, layout)))
    assert [name for name in "12345678" if name not in shown] == []


def door(kind: str, hinge: str = "left") -> Brief:
    """A room of 100 x 80 in with one opening of 30 in in its first wall."""
    brief, _ = sample(
        {
            "room": {
                "ceiling_height": 96,
                "walls": [
                    {"id": w, "length": n} for w, n in zip("ABCD", (100, 80, 100, 80), strict=True)
                ],
                "openings": [{"wall": "A", "start": 20, "width": 30, "kind": kind, "hinge": hinge}],
            },
            "needs": {"shelf_length": 10},
        },
        [],
    )
    return brief


@pytest.mark.parametrize(
    ("kind", "hinge", "centre", "start", "end"),
    [
        ("hinged_in", "left", (20.0, 0.0), 270, 0),
        ("hinged_in", "right", (50.0, 0.0), 180, 270),
        ("hinged_out", "left", (20.0, 4.5), 0, 90),
        ("hinged_out", "right", (50.0, 4.5), 90, 180),
    ],
)
def test_doors_swing_from_their_hinges_to_their_side(
    kind: str, hinge: str, centre: tuple[float, float], start: int, end: int
) -> None:
    """The arc is a quarter circle as wide as the door, inside the room or outside of it."""
    _, layout = sample({"room": {"ceiling_height": 9, "walls": [{"id": "A", "length": 9}]},
                        "needs": {"shelf_length": 1}}, [])  # fmt: skip
    doc = document(draw_plan(door(kind, hinge), layout))
    arcs = list(doc.modelspace().query("ARC"))
    assert len(arcs) == 1
    arc = arcs[0].dxf
    assert (arc.center.x, arc.center.y) == pytest.approx(centre)
    assert arc.radius == pytest.approx(30.0)
    assert (round(arc.start_angle) % 360, round(arc.end_angle) % 360) == (start, end)


def test_bifold_leaves_fold_away_from_the_room() -> None:
    """A wide bifold has a folded pair at each side, outside of the room."""
    _, layout = samples.reach_in()
    brief, _ = samples.reach_in()
    doc = document(draw_plan(brief, layout))
    folds = [
        [(x, y) for x, y, *_ in line.get_points()]
        for line in doc.modelspace().query('LWPOLYLINE[layer=="OPENING"]')
        if not line.closed
    ]
    assert len(folds) == 2
    # Wall D of the reach-in stands at x = 0 and its room lies at larger x.
    assert all(min(x for x, _ in fold) < -2.25 for fold in folds)


def test_openings_interrupt_the_hatched_wall() -> None:
    """No hatched area reaches into the opening's width."""
    brief = door("cased")
    _, layout = samples.single_bay()
    doc = document(draw_plan(brief, layout.model_copy(update={"bays": ()})))
    for hatch in doc.modelspace().query('HATCH[layer=="HATCH"]'):
        for path in hatch.paths.rendering_paths(hatch.dxf.hatch_style):
            xs = [v[0] for v in path.vertices if 0.0 < v[1] < 5.0]
            assert not any(20.0 < x < 50.0 for x in xs)


def test_an_open_run_of_walls_can_be_drawn() -> None:
    """Two walls that do not close, bays on both, no clear ways."""
    brief = {
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "L", "length": 70}, {"id": "R", "length": 60}],
        },
        "needs": {"shelf_length": 30},
    }
    bays = [
        bay("L1", "L", 0.75, 30, shelf_zones([10, 30], 96, 12)),
        bay("R1", "R", 20, 30, shelf_zones([10, 30], 96, 12)),
    ]
    shown = texts(document(draw_plan(*sample(brief, bays))))
    assert {"L", "R", "L1", "R1", '30" x 12"'} <= set(shown)


def test_sizes_without_room_in_their_bay_stand_in_the_notes() -> None:
    """Bays too narrow for width and depth are listed with both, equal ones together."""
    brief, layout = samples.many_bays()
    shown = " ".join(texts(document(draw_plan(brief, layout))))
    assert '12-7/16" x 12": L1, L3, L4, L6, L7,' in shown
    assert '12-7/16" x 24": L2, L5, L8, L11, L14,' in shown


def test_clear_ways_do_not_run_through_each_others_figures() -> None:
    """The pantry's two ways cross; the level one keeps off the figure of the upright one."""
    doc = document(draw_plan(*samples.wrapped_pantry()))
    level = next(
        (line, link)
        for line, links in chains(doc, upright=False).items()
        for link in links
        if link.text == '46"'
    )
    (figure,) = [box for box in text_boxes(doc) if box.text == '48"']
    assert level[1].start < figure.left < figure.right < level[1].end
    assert not figure.bottom < level[0] < figure.top


def test_clear_ways_are_chosen_together() -> None:
    """A way picked by itself may leave the next no place; together both find one.

    The least number of crossings is found by trying every pair.
    """
    level = [_Way((0.0, y), (60.0, y), n) for n, y in enumerate((30.0, 10.0))]
    upright = [_Way((x, 0.0), (x, 60.0), n) for n, x in enumerate((30.0, 45.0))]
    chosen = chosen_ways([level, upright], 5.0)
    assert not _crosses(*chosen, 5.0)
    pairs = [(a, b) for a in level for b in upright]
    assert _crosses(level[0], upright[0], 5.0)
    assert any(not _crosses(*pair, 5.0) for pair in pairs)


def test_figures_step_aside_where_every_pair_of_ways_crosses_in_the_middle() -> None:
    """Two ways through one point: a figure leaves the middle of its way."""
    level, upright = _Way((0.0, 30.0), (60.0, 30.0), 0), _Way((30.0, 0.0), (30.0, 60.0), 0)
    assert _crosses(level, upright, 5.0)
    chosen = chosen_ways([[level], [upright]], 5.0)
    assert not _crosses(*chosen, 5.0)
    assert {way.share for way in chosen} != {0.5}


def test_the_plan_of_a_pack_says_where_baseboard_comes_off() -> None:
    """Each piece with its place, its length and the upright it makes room for."""
    brief, layout = samples.walk_in()
    rules = {"baseboard_height": 3.5, "baseboard_thickness": 0.5}
    rules = brief.construction.model_copy(update=rules)
    brief = brief.model_copy(update={"construction": rules})
    pack = quick_pack(brief, layout)
    shown = "".join("".join(texts(document(draw_plan(brief, layout, pack)))).split())
    assert pack.baseboard_cuts
    for cut in pack.baseboard_cuts:
        assert f"for{cut.part}." in shown
    bare = "".join(texts(document(draw_plan(brief, layout))))
    assert "Baseboard" not in bare


def test_leaders_run_through_no_text(made: Sample) -> None:
    """Lines from obstructions and walls to their names go round all others."""
    assert crossed(document(draw_plan(*made))) == []


def outlet_behind_a_name(width: float) -> Sample:
    """One bay with an outlet behind the middle of it, where its own name stands."""
    outlet = {"wall": "A", "start": 20 + width / 2 - 1.5, "width": 3, "bottom": 12, "height": 5}
    brief = {
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "A", "length": 100}],
            "obstructions": [{**outlet, "kind": "outlet"}],
        },
        "needs": {"shelf_length": 10},
    }
    return sample(brief, [bay("A1", "A", 20, width, shelf_zones([40], 96, 14))])


@pytest.mark.parametrize("width", [12, 24, 48])
def test_the_leader_of_an_outlet_goes_round_the_name_before_it(width: float) -> None:
    """The bay keeps its name and size, the outlet has its own off the bay."""
    doc = document(draw_plan(*outlet_behind_a_name(width)))
    assert crossed(doc) == []
    named = {box.text: box for box in text_boxes(doc)}
    assert {"A1", f'{width}" x 14"'} <= set(named)
    name = named["outlet"]
    assert name.top < -14 or name.right < 20 or name.left > 20 + width
    assert doc.modelspace().query('LINE[layer=="DIMENSION"]')


def test_a_name_does_not_hide_the_sign_it_belongs_to() -> None:
    """Between two bays there is hardly room for the word: it stands off the outlet's sign."""
    brief, _ = outlet_behind_a_name(12)
    sides = [
        bay(f"A{n}", "A", start, 18, shelf_zones([40], 96, 14)) for n, start in enumerate((4, 29))
    ]
    layout = Layout.model_validate({"bays": sides})
    doc = document(draw_plan(brief, layout))
    (name,) = [box for box in text_boxes(doc) if box.text == "outlet"]
    signs = list(doc.modelspace().query('LINE[layer=="OBSTRUCTION"]'))
    assert signs
    assert all(name.top < min(line.dxf.start.y, line.dxf.end.y) for line in signs)


def test_a_radiator_before_a_window_has_a_name_beside_the_windows() -> None:
    """Both have their middle in one place, and deep bays stand at either side: one leader begins
    beside it, and no name stands on a leader or on the radiator."""
    window = {"wall": "A", "start": 52, "width": 48, "bottom": 30, "height": 40, "projection": 1.5}
    radiator = {"wall": "A", "start": 58, "width": 36, "bottom": 4, "height": 20, "projection": 6}
    brief = {
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "A", "length": 152}],
            "obstructions": [{**window, "kind": "window"}, {**radiator, "kind": "radiator"}],
        },
        "needs": {"shelf_length": 10},
    }
    sides = [
        bay(f"A{n}", "A", start, 40, shelf_zones([40], 96, 24)) for n, start in ((1, 8), (2, 103))
    ]
    doc = document(draw_plan(*sample(brief, sides)))
    assert crossed(doc) == []
    names = {box.text: box for box in text_boxes(doc)}
    assert {"window", "radiator"} <= set(names)
    assert all(names[kind].top < -6 for kind in ("window", "radiator"))


@pytest.mark.parametrize(("hinge", "start"), [("left", 31), ("right", 6)])
@pytest.mark.parametrize("kind", ["hinged_in", "hinged_out"])
def test_no_name_stands_on_the_leaf_of_a_door(kind: str, hinge: str, start: float) -> None:
    """A leaf stands out where the mark of its wall would be, at the wall's middle."""
    raw = {
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": w, "length": n} for w, n in zip("ABCD", (67, 80, 67, 80), strict=True)
            ],
            "openings": [{"wall": "A", "start": start, "width": 30, "kind": kind, "hinge": hinge}],
        },
        "needs": {"shelf_length": 10},
    }
    doc = document(draw_plan(*sample(raw, [])))
    leaf = max(rectangles(doc, "OPENING"), key=lambda box: box.top - box.bottom)
    assert leaf.top - leaf.bottom == pytest.approx(30)
    # The mark of a wall is a circle round its name.
    marks = [(c.dxf.center, c.dxf.radius) for c in doc.modelspace().query('CIRCLE[layer=="TEXT"]')]
    circles = [Box(at.x - r, at.y - r, at.x + r, at.y + r) for at, r in marks]
    assert len(circles) == 4
    assert all(leaf.overlap(circle) <= 0 for circle in circles)
