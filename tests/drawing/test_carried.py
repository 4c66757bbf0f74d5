"""What carries a bay, as it is drawn: walls, corners, mid supports, top boards in one piece."""

from __future__ import annotations

import pytest

from optimizer.domain.layout import Layout
from optimizer.drawing import draw_elevation, draw_isometric, draw_plan
from optimizer.drawing.views.scene import Scene
from tests.drawing import samples
from tests.drawing.readback import Box, chains, document, elevation, rectangles, texts
from tests.drawing.samples import Sample

Span = tuple[float, float]


def spans(boxes: list[Box], top: float | None = None) -> list[Span]:
    """Left and right ends of boxes, of those alone whose upper edge is at `top` if given."""
    chosen = (box for box in boxes if top is None or box.top == pytest.approx(top))
    return sorted((round(box.left, 3), round(box.right, 3)) for box in chosen)


def upright_count(made: Sample) -> int:
    """Panels that stand in the room."""
    return sum(len(view.uprights) for view in Scene(*made).walls.values())


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("alcove_pantry", 0),
        ("wrapped_pantry", 2),
        ("wall_to_wall", 1),
        ("mid_supported", 0),
        ("stepped_lines", 7),
        ("metric_wrapped", 3),
        ("reach_in", 3),
    ],
)
def test_uprights_stand_only_where_nothing_else_carries(name: str, count: int) -> None:
    """No panel at an end that the wall or a corner carries, one between neighbours."""
    made = samples.SAMPLES[name]()
    assert upright_count(made) == count
    brief, layout = made
    drawn = [
        box for wall in dict.fromkeys(bay.wall for bay in layout.bays)
        for box in rectangles(elevation((brief, layout), wall), "UPRIGHT")
    ]  # fmt: skip
    assert len(drawn) == count
    assert len(rectangles(document(draw_plan(*made)), "UPRIGHT")) == count


def test_boards_run_from_side_wall_to_side_wall() -> None:
    """All seven shelves of the alcove are as long as its back wall; the chain is one link."""
    doc = elevation(samples.alcove_pantry(), "B")
    assert spans(rectangles(doc, "BOARD")) == [(0.0, 36.0)] * 7
    links = max(chains(doc, upright=False).values(), key=len)
    assert [(link.start, link.end) for link in links] == [(0.0, 36.0)]


def test_side_cleats_are_seen_on_end_under_each_board() -> None:
    """2 x 3/4 in, at both side walls, right under the boards."""
    ends = rectangles(elevation(samples.alcove_pantry(), "B"), "CLEAT-END")
    under = [top - 0.75 for top in (12, 24, 36, 48, 60, 72, 84)]
    for left, right in ((0.0, 0.75), (35.25, 36.0)):
        mine = [box for box in ends if (box.left, box.right) == (left, right)]
        assert sorted(box.top for box in mine) == under
        assert {round(box.top - box.bottom, 6) for box in mine} == {2.0}
    assert len(ends) == 14


def test_a_rod_on_the_wall_sits_on_a_taller_cleat() -> None:
    """The upper rod's cleat reaches from the board down past the rod, the lower one's is alone."""
    ends = rectangles(elevation(samples.wall_to_wall(), "B"), "CLEAT-END")
    at_wall = sorted((box.bottom, box.top) for box in ends if box.left == 0.0)
    assert at_wall == [(41 - 1.75, 41 + 1.75), (80.25 - 1.75, 84 - 0.75)]


def test_a_top_board_on_its_uprights_needs_no_side_cleats_there() -> None:
    """The shared upright carries the top board from below, the boards under it by cleats."""
    ends = rectangles(elevation(samples.wall_to_wall(), "B"), "CLEAT-END")
    beside = sorted(box.top for box in ends if box.left == pytest.approx(36.75))
    assert beside == [top - 0.75 for top in (24, 36, 48, 60, 72)]


def test_one_top_board_lies_over_all_bays_of_the_line() -> None:
    """From wall to wall over the upright between, which ends under it."""
    doc = elevation(samples.wall_to_wall(), "B")
    boards = rectangles(doc, "BOARD")
    assert spans(boards, top=84) == [(0.0, 72.0)]
    assert spans(boards, top=72) == [(36.75, 72.0)]
    assert [(box.left, box.top) for box in rectangles(doc, "UPRIGHT")] == [(36.0, 83.25)]


def test_a_top_board_is_flush_with_its_end_uprights() -> None:
    """The reach-in's runs from the outer face of the first upright to that of the last."""
    doc = elevation(samples.reach_in(), "B")
    assert spans(rectangles(doc, "BOARD"), top=84) == [(0.0, 71.75)]
    assert {box.top for box in rectangles(doc, "UPRIGHT")} == {83.25}


def test_free_lines_keep_each_top_board_between_its_uprights() -> None:
    """Uprights are cut to the line and the boards stand between them."""
    doc = elevation(samples.free_lines(), "B")
    assert spans(rectangles(doc, "BOARD"), top=84) == [(0.75, 35.25), (36.0, 71.0)]
    assert {box.top for box in rectangles(doc, "UPRIGHT")} == {84.0}


def test_boards_of_other_depth_or_height_are_boards_of_their_own() -> None:
    """Depths meet over the middle of their upright, the lower line ends at its face."""
    boards = rectangles(elevation(samples.stepped_lines(), "N"), "BOARD")
    assert spans(boards, top=84) == [(0.0, 55.125), (55.125, 72.25)]
    assert (72.25, 91.0) in spans(boards, top=72)


def test_a_line_longer_than_a_sheet_is_joined_over_what_carries_it() -> None:
    """150 in of board from sheets of 96 in: the joint is over the mid support at 84 in."""
    boards = rectangles(elevation(samples.long_line(), "B"), "BOARD")
    assert spans(boards, top=84) == [(0.0, 84.0), (84.0, 150.0)]


def test_a_mid_support_is_a_strip_under_every_board() -> None:
    """A panel wide on its stud, under the boards at 84 and 72 in; the rod has its bracket."""
    doc = elevation(samples.mid_supported(), "B")
    strips = rectangles(doc, "SUPPORT")
    triangles = [box for box in strips if box.right - box.left == pytest.approx(0.75)]
    assert spans(triangles) == [(29.625, 30.375)] * 2
    assert sorted(box.top for box in triangles) == [71.25, 83.25]
    (bracket,) = [box for box in strips if box not in triangles]
    assert bracket.top == pytest.approx(71.25)
    assert bracket.bottom < 68.25


def test_places_of_mid_supports_are_dimensioned() -> None:
    """A chain of its own from wall to wall: 20, 32 and 20 in."""
    found = chains(elevation(samples.wrapped_pantry(), "back"), upright=False).values()
    sums = [[round(link.end - link.start, 3) for link in links] for links in found]
    assert [20.0, 32.0, 20.0] in sums


def test_the_chain_of_a_wrapped_wall_begins_at_the_corner() -> None:
    """Free wall, upright, clear width, depth of the boards that run through: 60 in."""
    found = chains(elevation(samples.wrapped_pantry(), "left"), upright=False).values()
    links = max(found, key=len)
    assert [link.text for link in links] == ['15-1/4"', '3/4"', '30"', '14"']


def test_boards_that_run_through_are_cut_in_the_other_elevation() -> None:
    """Wall left shows the back wall's seven boards on end; wall back has the butting ends."""
    made = samples.wrapped_pantry()
    through = rectangles(elevation(made, "left"), "SECTION")
    assert spans(through) == [(46.0, 60.0)] * 7
    back = rectangles(elevation(made, "back"), "BEYOND")
    assert spans(back) == [(0.0, 12.0)] * 7 + [(60.0, 72.0)] * 7
    assert rectangles(elevation(made, "back"), "SECTION") == []
    notes = " ".join(texts(elevation(made, "left")))
    assert "run through from wall back" in notes


def test_a_joint_cleat_lies_under_both_boards() -> None:
    """3 in wide and flat under the joint, half of it under each board."""
    ends = rectangles(elevation(samples.wrapped_pantry(), "left"), "CLEAT-END")
    flat = [box for box in ends if box.right > 46.0]
    assert spans(flat) == [(44.5, 47.5)] * 7
    assert {round(box.top - box.bottom, 6) for box in flat} == {0.75}


def test_cleats_of_the_other_wall_are_drawn_where_they_are_fastened() -> None:
    """Wall left's back cleats run on under the back wall's boards, to the cleats of these.

    Where only the back wall has boards its side cleats are drawn there: 13-1/2 in out.
    """
    brief, layout = samples.wrapped_pantry()
    cleats = rectangles(elevation((brief, layout), "left"), "CLEAT")
    assert spans(cleats) == [(16.031, 59.25)] * 7
    alone = layout.model_copy(update={"bays": layout.bays[1:2]})
    cleats = rectangles(elevation((brief, alone), "left"), "CLEAT")
    assert spans(cleats) == [(46.5, 59.25)] * 7


def test_the_plan_shows_through_and_butting_boards() -> None:
    """The back wall's front edge runs from side to side, the joints lie on it."""
    doc = document(draw_plan(*samples.wrapped_pantry()))
    lines = {
        tuple(round(v, 3) for v in (*line.dxf.start.vec2, *line.dxf.end.vec2))
        for line in doc.modelspace().query('LINE[layer=="BOARD"]')
    }
    # Wall left runs along +x, wall back down from its end at x = 60.
    assert (46.0, 0.0, 46.0, -72.0) in lines
    assert (46.0, 0.0, 46.0, -12.0) in lines
    assert (46.0, -72.0, 46.0, -60.0) in lines


def test_mid_supports_are_dashed_in_plan() -> None:
    """Two strips across the back bay, each on its stud at 20 and at 52 in."""
    doc = document(draw_plan(*samples.wrapped_pantry()))
    strips = rectangles(doc, "BEYOND")
    middles = sorted(round((box.bottom + box.top) / 2, 3) for box in strips)
    assert middles == [-52.0, -20.0]
    assert all(box.right == pytest.approx(60.0) for box in strips)


def test_boxes_kept_clear_are_hatched_and_say_why() -> None:
    """Plan and elevation have the box with its reason; the next wall's elevation has it too."""
    made = samples.stepped_lines()
    heater = "keep clear: working space before the water heater"
    for doc in (elevation(made, "N"), document(draw_plan(*made))):
        assert "".join(heater.split()) in "".join("".join(texts(doc)).split())
        assert len(doc.modelspace().query('HATCH[layer=="KEEP-CLEAR"]')) > 0
    own = rectangles(elevation(made, "N"), "KEEP-CLEAR")
    assert [(box.left, box.bottom, box.right, box.top) for box in own] == [(92, 0, 120, 78)]
    beside = rectangles(elevation(made, "E"), "KEEP-CLEAR")
    assert spans(beside) == [(0.0, 30.0), (72.0, 86.0)]


def test_a_box_kept_clear_hides_nothing_in_the_isometric() -> None:
    """Taking the boxes away changes no other line."""
    brief, layout = samples.stepped_lines()
    bare = brief.model_copy(update={"room": brief.room.model_copy(update={"keep_clear": ()})})
    spaces = [document(draw_isometric(one, layout)).modelspace() for one in (brief, bare)]
    names = ("BOARD", "UPRIGHT", "KEEP-CLEAR")
    counts = [
        {name: len(space.query(f'LINE[layer=="{name}"]')) for name in names} for space in spaces
    ]
    assert counts[0]["KEEP-CLEAR"] > counts[1].pop("KEEP-CLEAR") == 0
    assert counts[1].items() <= counts[0].items()


def test_the_isometric_shows_mid_supports_dashed_under_their_boards() -> None:
    """Boards hide them from above: their edges are dashed, and no upright is drawn."""
    made = samples.mid_supported()
    doc = document(draw_isometric(*made))
    space = doc.modelspace()
    # Two triangles: each shows five faces' worth of edges less those turned away.
    assert len(space.query('LINE[layer=="BEYOND"]')) >= 2 * 6
    assert len(space.query('LINE[layer=="UPRIGHT"]')) == 0
    assert "Dashed under boards: mid supports." in texts(doc)


def test_a_layout_stored_without_the_new_members_draws_as_one_with_their_defaults() -> None:
    """Bays without left, right and mid supports stand between uprights."""
    brief, layout = samples.reach_in()
    new = {"left", "right", "mid_supports"}
    stored = layout.model_dump(mode="json", exclude={"lines", "structure", "margins"})
    stored["bays"] = [
        {key: value for key, value in bay.items() if key not in new} for bay in stored["bays"]
    ]
    old = Layout.model_validate(stored)
    assert draw_elevation(brief, old, "B").to_svg() == draw_elevation(brief, layout, "B").to_svg()
