"""Elevations read back: chains add up to the wall, boards and uprights stand where they should."""

from __future__ import annotations

import datetime
from itertools import pairwise

import pytest

from optimizer.domain.layout import Bay, Carried, Layout, ZoneKind
from optimizer.domain.pack import PartKind
from optimizer.drawing import draw_elevation, draw_plan
from optimizer.errors import LayoutError
from optimizer.lengths import parse_length
from tests.drawing import samples
from tests.drawing.readback import Box, chains, document, elevation, rectangles, text_boxes, texts
from tests.drawing.samples import Sample, bay, sample, shelf_zones
from tests.packs import quick_pack


def walls_of(layout: Layout) -> list[str]:
    """Walls that carry bays."""
    return list(dict.fromkeys(bay.wall for bay in layout.bays))


def rounded(boxes: list[Box]) -> set[tuple[float, ...]]:
    """Corners to a millionth, for comparing."""
    return {tuple(round(v, 6) for v in (box.left, box.bottom, box.right, box.top)) for box in boxes}


def test_every_level_chain_adds_up_to_the_wall(made: Sample) -> None:
    """Links run from corner to corner without a gap, and their figures add up as well."""
    brief, layout = made
    for wall in walls_of(layout):
        length = brief.room.wall(wall).clear_length
        found = chains(elevation((brief, layout), wall), upright=False)
        assert len(found) >= 2
        for links in found.values():
            assert links[0].start == pytest.approx(0.0, abs=1e-6)
            assert links[-1].end == pytest.approx(length, abs=1e-6)
            assert all(a.end == pytest.approx(b.start, abs=1e-6) for a, b in pairwise(links))
            shown = [parse_length(link.text.partition(" (")[0], brief.units) for link in links]
            assert sum(shown) == pytest.approx(length, abs=brief.units.grid / 2)


def test_every_upright_chain_adds_up_to_the_height(made: Sample) -> None:
    """Heights run from the floor to the ceiling of their side."""
    brief, layout = made
    for wall in walls_of(layout):
        view = brief.room.wall(wall)
        ends = {
            round(view.height_at(at, brief.room.ceiling_height), 6)
            for at in (0.0, view.clear_length)
        }
        found = chains(elevation((brief, layout), wall), upright=True)
        assert found
        for links in found.values():
            assert links[0].start == pytest.approx(0.0, abs=1e-6)
            assert round(links[-1].end, 6) in ends
            total = sum(link.end - link.start for link in links)
            assert total == pytest.approx(links[-1].end, abs=1e-6)


def upright_edges(bays: list[Bay], panel: float) -> set[float]:
    """Edges of uprights by the rules of a layout: none where wall or corner carries."""
    left = [(bay.start - panel, bay.start) for bay in bays if bay.left is Carried.UPRIGHT]
    right = [(bay.end, bay.end + panel) for bay in bays if bay.right is Carried.UPRIGHT]
    return {round(edge, 6) for pair in left + right for edge in pair}


def test_the_chain_marks_every_upright(made: Sample) -> None:
    """Both edges of every upright are ends of links; so there is a link for each upright."""
    brief, layout = made
    panel = brief.construction.panel_thickness
    for wall in walls_of(layout):
        bays = [bay for bay in layout.bays if bay.wall == wall]
        found = chains(elevation((brief, layout), wall), upright=False)
        # The first chain under the floor; one to mid supports and the whole are below it.
        nearest = found[max(line for line in found if line < 0)]
        marks = {round(v, 6) for link in nearest for v in (link.start, link.end)}
        assert upright_edges(bays, panel) <= marks
        clear = {round(bay.width, 6) for bay in bays}
        assert clear <= {round(link.end - link.start, 6) for link in nearest}


def test_boards_and_uprights_are_drawn_where_the_layout_has_them(made: Sample) -> None:
    """Every shelf zone has its board under it, every bay its uprights, and no more.

    A board at the top of a level line lies on the uprights: it reaches as far as its bay at
    least, and the uprights end under it.
    """
    brief, layout = made
    panel = brief.construction.panel_thickness
    level = brief.construction.top_line == "level"
    for wall in walls_of(layout):
        doc = elevation((brief, layout), wall)
        bays = [bay for bay in layout.bays if bay.wall == wall]
        shelves = [
            (Box(bay.start, zone.bottom - panel, bay.end, zone.bottom), bay)
            for bay in bays
            for zone in bay.zones
            if zone.kind is ZoneKind.SHELF
        ]
        tops = [box for box, bay in shelves if level and box.top == bay.height]
        between = [box for box, bay in shelves if not level or box.top < bay.height]
        boards = rectangles(doc, "BOARD")
        assert rounded(between) <= rounded(boards)
        lying = [box for box in boards if rounded([box]).isdisjoint(rounded(between))]
        assert {box.top for box in lying} == {box.top for box in tops}
        for top in tops:
            over = [box for box in lying if box.top == top.top]
            assert covered(top, over) == pytest.approx(top.right - top.left)
        drawn = rectangles(doc, "UPRIGHT")
        edges = {round(v, 6) for box in drawn for v in (box.left, box.right)}
        assert edges == upright_edges(bays, panel)
        assert len({round(box.left, 6) for box in drawn}) == len(drawn)
        carrying = [bay.height for bay in bays if Carried.UPRIGHT in (bay.left, bay.right)]
        under = panel if tops else 0.0
        assert max((box.top for box in drawn), default=0.0) == pytest.approx(
            max(carrying, default=under) - under
        )


def covered(wanted: Box, boxes: list[Box]) -> float:
    """How much of a box's length boxes that do not overlap cover."""
    shares = (min(b.right, wanted.right) - max(b.left, wanted.left) for b in boxes)
    return sum(share for share in shares if share > 0)


def test_uprights_are_drawn_as_they_are_cut(made: Sample) -> None:
    """Elevation and plan show the uprights of the build pack: place, height and depth."""
    brief, layout = made
    pack = quick_pack(brief, layout)
    cut = [part for part in pack.parts if part.kind is PartKind.UPRIGHT]
    for wall in walls_of(layout):
        drawn = rectangles(elevation((brief, layout), wall), "UPRIGHT")
        boxes = [part.box for part in cut if part.wall == wall]
        assert rounded(drawn) == {
            (round(b.along, 6), 0.0, round(b.end, 6), round(b.top, 6)) for b in boxes
        }
    first = brief.room.walls[0].id
    plan = rounded(rectangles(document(draw_plan(brief, layout)), "UPRIGHT"))
    for part in cut:
        if part.wall == first:
            box = part.box
            assert (round(box.along, 6), round(-box.front, 6), round(box.end, 6), 0.0) in plan


def test_every_rod_is_drawn_at_its_height(made: Sample) -> None:
    """Rods lie centred on their height over the clear width of their bay."""
    brief, layout = made
    for wall in walls_of(layout):
        doc = elevation((brief, layout), wall)
        wanted = {
            (round(bay.start, 6), round(zone.rod_height or 0.0, 6), round(bay.end, 6))
            for bay in layout.bays
            if bay.wall == wall
            for zone in bay.zones
            if zone.kind is ZoneKind.ROD
        }
        drawn = {
            (round(box.left, 6), round((box.bottom + box.top) / 2, 6), round(box.right, 6))
            for box in rectangles(doc, "ROD")
        }
        assert wanted <= drawn


def test_heights_of_boards_and_rods_are_written_in_every_bay() -> None:
    """The reach-in's boards and rods read as a tape shows them."""
    brief, layout = samples.reach_in()
    shown = texts(elevation((brief, layout), "B"))
    for height in ('36"', '48"', '60"', '72"', '84"', 'rod 40"', 'rod 80-1/4"'):
        assert height in shown
    assert shown.count('84"') == 2


def test_items_obstructions_and_strips_are_named() -> None:
    """Items in place carry their names, two pieces twice; outlet and scribe strip too."""
    brief, layout = samples.reach_in()
    shown = texts(elevation((brief, layout), "B"))
    assert shown.count("shoe box") == 2
    assert "hamper" in shown
    assert 'outlet, 12" up' in shown
    assert "scribe" in shown


def test_a_sloped_ceiling_is_drawn_from_end_to_end() -> None:
    """The wall's outline has the left and the right height of the slope."""
    brief, layout = samples.walk_in()
    doc = elevation((brief, layout), "E")
    outline = doc.modelspace().query('LWPOLYLINE[layer=="WALL"]').first
    points = {(x, y) for x, y, *_ in outline.get_points()}
    assert points == {(0.0, 0.0), (84.0, 0.0), (84.0, 62.0), (0.0, 98.0)}


def test_studs_are_ticked_at_their_centres() -> None:
    """Ticks stand at 9, 25, 41 and 57 in, on the floor and on the ceiling."""
    brief, layout = samples.reach_in()
    lines = elevation((brief, layout), "B").modelspace().query('LINE[layer=="STUD"]')
    ticks = [line.dxf.start.x for line in lines if line.dxf.start.x == line.dxf.end.x]
    assert sorted(ticks) == sorted([9.0, 25.0, 41.0, 57.0] * 2)


def test_assumed_studs_are_said_to_be_assumed() -> None:
    """Only a wall whose studs the brief does not give carries the note."""
    brief, layout = samples.walk_in()
    note = "Stud places are assumed"
    assert not any(note in t for t in texts(elevation((brief, layout), "N")))
    assert any(note in t for t in texts(elevation((brief, layout), "W")))


def test_the_title_block_names_project_sheet_scale_units_and_date() -> None:
    """The date is the one given, and blank without one."""
    brief, layout = samples.reach_in()
    day = datetime.date(2026, 3, 14)
    shown = texts(document(draw_elevation(brief, layout, "B", date=day)))
    for text in ("Hall closet", "Wall B, elevation", '3/4" = 1\'-0"', "inches", "2026-03-14"):
        assert text in shown
    assert "2026-03-14" not in texts(elevation((brief, layout), "B"))


def test_the_scale_in_the_title_block_is_the_scale_of_the_drawing() -> None:
    """At 3/4 in to the foot 1 mm of paper stands for 16 mm."""
    brief, layout = samples.reach_in()
    drawing = draw_elevation(brief, layout, "B")
    assert drawing.page.unit_per_mm * 25.4 == pytest.approx(16.0)
    doc = document(drawing)
    assert doc.header["$DIMSCALE"] == pytest.approx(drawing.page.unit_per_mm)
    assert doc.units == 1


def test_a_wall_without_bays_can_be_drawn() -> None:
    """The door wall of the walk-in shows its opening and its switch."""
    brief, layout = samples.walk_in()
    doc = elevation((brief, layout), "S")
    shown = texts(doc)
    assert 'hinged in 30" x 80"' in shown
    assert any(text.startswith("switch") for text in shown)
    links = max(chains(doc, upright=False).values(), key=len)
    assert [round(link.start, 3) for link in links] == [0, 24, 27, 34, 64]


@pytest.mark.parametrize("bottom", [12, 44, 84])
def test_a_name_in_a_narrow_strip_of_wall_reads_beside_its_box(bottom: float) -> None:
    """A switch between the last upright and the corner: its name stands over it or under it, and
    the box is to be seen."""
    switch = {"wall": "A", "start": 78, "width": 5, "bottom": bottom, "height": 5, "kind": "switch"}
    brief = {
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "A", "length": 86}],
            "obstructions": [switch],
        },
        "needs": {"shelf_length": 10},
    }
    doc = elevation(sample(brief, [bay("A1", "A", 42, 35, shelf_zones([92], 96, 14))]), "A")
    (name,) = [box for box in text_boxes(doc) if box.text.startswith("switch")]
    assert name.overlap(Box(78, bottom, 83, bottom + 5)) <= 0
    assert 77.75 < name.left < name.right < 86


def test_faults_of_a_layout_are_named() -> None:
    """Unknown walls, items and rods without a height are each named with their pointer."""
    brief, layout = samples.reach_in()
    with pytest.raises(LayoutError, match="there is no wall Z"):
        draw_elevation(brief, layout, "Z")
    first, second = layout.bays
    rod = first.zones[0].model_copy(update={"rod_height": None, "items": ("ghost",)})
    broken = first.model_copy(update={"zones": (rod,)})
    stray = second.model_copy(update={"wall": "Q"})
    with pytest.raises(LayoutError) as caught:
        draw_elevation(brief, Layout(bays=(broken, stray)), "B")
    assert [fault.pointer for fault in caught.value.faults] == [
        "/bays/0/zones/0/rod_height",
        "/bays/0/zones/0/items/0",
        "/bays/1/wall",
    ]


def test_the_layout_is_left_as_it_was() -> None:
    """Drawing changes nothing it reads."""
    brief, layout = samples.walk_in()
    before = layout.model_dump_json()
    draw_elevation(brief, layout, "N")
    assert layout.model_dump_json() == before
