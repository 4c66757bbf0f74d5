"""The order of work, the checks before the first cut, the baseboard that comes off."""

from __future__ import annotations

import pytest

from optimizer.buildpack.bench import DRILLS, met_from_both_faces
from optimizer.domain.pack import BuildPack, PartKind
from optimizer.parts.job import Job
from optimizer.units import Units
from tests.drawing.samples import SAMPLES, Sample
from tests.packs import quick_pack


def pack_of(sample: Sample, **rules: object) -> BuildPack:
    """The pack of a sample under some other rules of construction."""
    brief, layout = sample
    construction = brief.construction.model_copy(update=rules)
    return quick_pack(brief.model_copy(update={"construction": construction}), layout)


def step_with(pack: BuildPack, words: str) -> int:
    """Number of the one step that says so."""
    (found,) = [step.step for step in pack.work if words in step.text]
    return found


def test_paint_comes_before_fixing_and_rods_come_last() -> None:
    """Common practice: room, bench, wall, finish; drying by the maker's word, no hours of ours."""
    pack = pack_of(SAMPLES["reach_in"]())
    assert [step.step for step in pack.work] == list(range(1, len(pack.work) + 1))
    stages = list(dict.fromkeys(step.stage for step in pack.work))
    assert stages == ["room", "bench", "wall", "finish"]
    wall = min(step.step for step in pack.work if step.stage == "wall")
    assert step_with(pack, "paint all parts") < wall < step_with(pack, "caulk the joints")
    assert step_with(pack, "caulk the joints") < step_with(pack, "hang the rods")
    assert any("as its maker says" in step.text for step in pack.work)
    rods = {part.id for part in pack.parts if part.kind is PartKind.ROD}
    assert set(pack.work[step_with(pack, "hang the rods") - 1].parts) == rods


def test_every_part_is_in_the_order_of_work() -> None:
    """No part is left on the bench; each is fitted at the wall or glued before."""
    for name in ("reach_in", "walk_in", "wrapped_pantry", "mid_supported"):
        pack = pack_of(SAMPLES[name]())
        done = {part for step in pack.work for part in step.parts}
        assert {part.id for part in pack.parts} <= done


def test_screws_of_two_cleats_on_one_upright_are_told_to_keep_apart() -> None:
    """Uprights with side cleats on both faces whose heights overlap, and no others."""
    brief, layout = SAMPLES["walk_in"]()
    pack = quick_pack(brief, layout)
    met = met_from_both_faces(Job(brief, layout), pack.parts)
    cleats = [part for part in pack.parts if part.kind is PartKind.SIDE_CLEAT]
    uprights = [part for part in pack.parts if part.kind is PartKind.UPRIGHT]
    for upright in uprights:
        mine = [c for c in cleats if c.wall == upright.wall]
        left = [c.box for c in mine if c.box.end == pytest.approx(upright.box.along)]
        right = [c.box for c in mine if c.box.along == pytest.approx(upright.box.end)]
        overlap = any(a.bottom < b.top and b.bottom < a.top for a in left for b in right)
        assert (upright.id in met) == overlap
    assert met


def test_baseboard_comes_off_where_an_upright_is_flat_against_a_side_wall() -> None:
    """As long as the upright is deep, at the corner; the others are notched over it."""
    brief, layout = SAMPLES["walk_in"]()
    rules = {"baseboard_height": 3.5, "baseboard_thickness": 0.5}
    pack = pack_of((brief, layout), **rules)
    uprights = {part.id: part for part in pack.parts if part.kind is PartKind.UPRIGHT}
    assert pack.baseboard_cuts
    for cut in pack.baseboard_cuts:
        length = brief.room.wall(cut.wall).clear_length
        assert cut.length == pytest.approx(uprights[cut.part].width)
        assert cut.start == 0.0 or cut.end == pytest.approx(length)
        assert any(cut.part in step.parts and "baseboard" in step.text for step in pack.work)
    assert not pack_of((brief, layout)).baseboard_cuts
    assert step_with(pack, "Notch the back of the feet") > step_with(pack, "Strike the level line")


def test_walls_are_patched_where_storage_is_and_painted_with_the_ceiling() -> None:
    """A reach-in of 72-1/4 x 24 in, 96 in high, 94 at its back, an opening of 48 x 80: by hand."""
    brief, layout = SAMPLES["reach_in"]()
    pack = quick_pack(brief, layout)
    found = {surface.wall: surface.area for surface in pack.room_surfaces}
    sides = {"A": 24 * 96, "C": 24 * 96, "B": 72.25 * 94, "D": 72.25 * 96 - 48 * 80}
    by_hand = {None: 72.25 * 24, **sides}
    assert found == pytest.approx({wall: area / 144 for wall, area in by_hand.items()})
    assert {s.wall for s in pack.room_surfaces if s.carries} >= {"B"}
    assert step_with(pack, "Fill holes and dents") < step_with(pack, "paint walls")
    assert step_with(pack, "paint walls") < step_with(pack, "Cut by the cut list")
    metric = quick_pack(*SAMPLES["metric"]())
    assert {surface.area_unit for surface in metric.room_surfaces} == {"m2"}


def test_carpet_is_cut_where_uprights_stand_if_it_is() -> None:
    """A place for each upright, as wide as a panel and as deep as it; none without carpet."""
    sample = SAMPLES["reach_in"]()
    pack = pack_of(sample, carpet_thickness=0.375)
    uprights = {part.id: part for part in pack.parts if part.kind is PartKind.UPRIGHT}
    assert {cut.part for cut in pack.carpet_cuts} == set(uprights)
    for cut in pack.carpet_cuts:
        box = uprights[cut.part].box
        assert (cut.start, cut.end, cut.depth) == pytest.approx((box.along, box.end, box.front))
    assert set(pack.work[step_with(pack, "Leave the carpet") - 1].parts) == set(uprights)
    assert not pack_of(sample).carpet_cuts


def test_boards_of_uneven_walls_are_cut_after_the_uprights_stand() -> None:
    """Readings an inch apart: the boards that reach the side wall wait."""
    brief, layout = SAMPLES["alcove_pantry"]()
    walls = [
        wall.model_copy(update={"length": (wall.clear_length, wall.clear_length + 1.0)})
        for wall in brief.room.walls
    ]
    room = brief.room.model_copy(update={"walls": tuple(walls)})
    pack = quick_pack(brief.model_copy(update={"room": room}), layout)
    later = pack.work[step_with(pack, "Now measure") - 1]
    shelves = {p.id for p in pack.parts if p.kind in (PartKind.SHELF, PartKind.TOP_SHELF)}
    assert set(later.parts) <= shelves
    assert later.parts
    assert not any("Now measure" in step.text for step in quick_pack(brief, layout).work)


def test_the_checks_ask_for_every_wall_built_on_and_tell_what_was_planned() -> None:
    """Three lengths, plumb, floor, corners, studs; sheets, kerf, cables."""
    brief, layout = SAMPLES["reach_in"]()
    checks = quick_pack(brief, layout).site_checks
    for wall in {bay.wall for bay in layout.bays}:
        told = [check for check in checks if check.wall == wall]
        lengths = [check for check in told if check.what.startswith("Length")]
        assert any(
            all(where in check.what for where in ("floor", "waist", "top board"))
            for check in lengths
        )
        assert any("Stud centres" in check.what for check in told)
        assert any("Plumb" in check.what for check in told)
    assert any("Cables" in check.what for check in checks)
    assert all(check.planned for check in checks)


def test_drills_fit_the_screws() -> None:
    """A #8 screw is 0.164 in over its thread, a #10 one 0.190 in (ASME B18.6.1, from memory):
    the pilot is thinner, the clearance hole is not, the countersink takes the head."""
    inch = {"7/64 in": 7 / 64, "11/64 in": 11 / 64, "11/32 in": 11 / 32}
    inch |= {"1/8 in": 1 / 8, "3/16 in": 3 / 16, "3/8 in": 3 / 8}
    for name, thread in (("#8", 0.164), ("#10", 0.190)):
        for units in Units:
            pilot, clear, sink = (
                inch[size] if units is Units.INCH else float(size.split()[0]) / 25.4
                for size in DRILLS[units][name]
            )
            assert 0.6 * thread < pilot < 0.8 * thread
            assert thread * 0.97 < clear < 1.1 * thread
            assert 1.9 * thread < sink < 2.3 * thread


@pytest.mark.parametrize(
    ("material", "words"),
    [("mdf", "Fill the cut edges"), ("plywood", "nosing"), ("particleboard", "edge band")],
)
def test_edges_are_treated_by_material(material: str, words: str) -> None:
    """Plywood and particleboard are banded or nosed, MDF is filled."""
    pack = pack_of(SAMPLES["single_bay"](), material=type(pack_material())(material))
    assert any(words in step.text for step in pack.work)


def pack_material() -> object:
    """A material, for its type."""
    return SAMPLES["single_bay"]()[0].construction.material
