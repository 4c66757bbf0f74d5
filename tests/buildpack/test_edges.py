"""Odd corners: notches at the saw, caulked gaps, stock too thin for any screw, broken parts."""

from __future__ import annotations

import pytest

from optimizer.buildpack.chains import wall_chains
from optimizer.buildpack.cutlist import cuts
from optimizer.buildpack.finish import surfaces_of
from optimizer.buildpack.hardware import hardware_of
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Filler, Layout
from optimizer.domain.pack import CheckStatus
from optimizer.domain.room import Wall
from optimizer.domain.studs import stud_centres
from optimizer.errors import BuildError
from optimizer.parts.job import Job
from optimizer.structure.bay_surroundings import neighbours, room_closes
from optimizer.structure.fixings import spaced, studs_caught
from optimizer.units import Units
from tests.buildpack.rebuild import layout_from_parts
from tests.buildpack.samples import metric, metric_brief, reach_in, reach_in_bays, reach_in_brief
from tests.packs import parts_of, structural_checks


def test_notches_are_cut_last_one_for_each_upright() -> None:
    """Three uprights, three notches of 3-1/2, after every rip and crosscut."""
    brief = reach_in_brief(baseboard_height=3.5, baseboard_thickness=0.5)
    steps = cuts(parts_of(brief, reach_in()[1]))
    assert [cut.kind == "notch" for cut in steps] == [False] * (len(steps) - 1) + [True]
    last = steps[-1]
    assert (last.setting, last.from_width, last.count) == (3.5, 0.5, 3)
    assert last.parts == ("B-U1", "B-U2", "B-U3")
    assert [cut.step for cut in steps] == list(range(1, len(steps) + 1))


def _caulked() -> Job:
    """The first bay 1/8 from its corner, the gap left to caulk."""
    bay = reach_in_bays()[0].model_copy(update={"start": 0.875})
    gap = Filler(wall="B", start=0, width=0.125, kind="scribe")
    return Job(reach_in_brief(), Layout(bays=(bay,), fillers=(gap,)))


def test_a_caulked_gap_counts_in_chain_and_bead() -> None:
    """The chain begins with 1/8 of caulk; the bead is longer by the upright's 81-3/4."""
    job = _caulked()
    chain = wall_chains(job)[0]
    assert [(link.label, link.length) for link in chain.links] == [
        ("caulk", 0.125),
        ("B-U1", 0.75),
        ("B1", 34.5),
        ("B-U2", 0.75),
        ("open", 35.875),
    ]
    parts = parts_of(job.brief, job.layout)
    alone = Job(job.brief, job.layout.model_copy(update={"fillers": ()}))
    bead = surfaces_of(job, parts).bead - surfaces_of(alone, parts).bead
    assert bead == pytest.approx(81.75)


def test_a_strip_over_a_bay_breaks_the_chain() -> None:
    """A filler inside a bay is refused by its label."""
    bay = reach_in_bays()[0]
    strip = Filler(wall="B", start=10, width=4, kind="filler")
    with pytest.raises(BuildError) as caught:
        wall_chains(Job(reach_in_brief(), Layout(bays=(bay,), fillers=(strip,))))
    assert "lies over what is before it" in str(caught.value)


def test_stock_too_thin_for_the_screws_of_side_cleats() -> None:
    """Where no stocked screw is short enough the check fails, and the hardware is refused."""
    brief = reach_in_brief(panel_thickness=0.25, cleat_thickness=0.5)
    job = Job(brief, Layout(bays=(reach_in_bays()[0],)))
    checks = structural_checks(brief, job.layout)
    assert "screws in the upright" in {c.check for c in checks if c.status is CheckStatus.FAIL}
    with pytest.raises(BuildError) as caught:
        hardware_of(job, parts_of(brief, job.layout))
    assert "side cleats: no screw in stock" in str(caught.value)


def test_no_screw_short_enough_for_the_studs() -> None:
    """Cleats then hang on hollow-wall anchors alone, which is warned of."""
    brief = reach_in_brief(wallboard_thickness=0, cleat_thickness=0.5, stud_penetration=0.25)
    checks = structural_checks(brief, Layout(bays=(reach_in_bays()[0],)))
    backs = [c for c in checks if c.part in ("B1-K1", "B1-K2")]
    assert {(c.check, c.status) for c in backs} == {("no stud behind the cleat", CheckStatus.WARN)}


def test_parts_of_an_upright_alone_make_no_bay() -> None:
    """A bay of which only an upright is left is named."""
    brief, layout = reach_in()
    parts = [part for part in parts_of(brief, layout) if part.id == "B-U3"]
    with pytest.raises(BuildError) as caught:
        layout_from_parts(brief, parts)
    assert str(caught.value) == "bay B2 has 1 uprights among the parts, not two"


def test_bending_fails_a_rod_that_hardly_sags() -> None:
    """With a sag limit as loose as it gets, 220 lb/ft break a tube over 40 in by bending.

    (220 + 0.66) / 12 = 18.39 lb/in; 18.39 x 40^2 / 8 x 0.65625 / 0.0389 = 62,000 psi of the
    18,000 allowed.
    """
    bay = reach_in_bays()[0].model_copy(update={"width": 40.0})
    brief = reach_in_brief(rod_load=220, deflection_ratio=60)
    checks = structural_checks(brief, Layout(bays=(bay,)))
    check = next(c for c in checks if c.kind == "rod")
    assert (check.check, check.status) == ("bending stress", CheckStatus.FAIL)
    assert check.demand == pytest.approx(3.44, abs=0.02)


def test_rooms_close_when_their_walls_do() -> None:
    """Four walls that meet close; one wall does not, nor four that miss by an inch."""
    assert room_closes(reach_in_brief().room, Units.INCH)
    assert not room_closes(metric_brief().room, Units.MILLIMETRE)
    data = reach_in_brief().model_dump(mode="json")
    data["room"]["walls"][3]["length"] = 71
    assert not room_closes(Brief.model_validate(data).room, Units.INCH)


def test_side_walls_are_those_at_inside_corners() -> None:
    """B has A and C beside it; behind an outside corner there is none; an open run has no ends."""
    room = reach_in_brief().room
    left, right = neighbours("B", room, Units.INCH)
    assert (left, right) == (room.walls[0], room.walls[2])
    assert neighbours("A", room, Units.INCH)[0] == room.walls[3]
    data = reach_in_brief().model_dump(mode="json")
    data["room"]["walls"][1]["corner"] = "outside"
    open_room = Brief.model_validate(data).room
    assert neighbours("B", open_room, Units.INCH) == (open_room.walls[0], None)
    assert neighbours("A", open_room, Units.INCH)[0] is None
    assert neighbours("N", metric()[0].room, Units.MILLIMETRE) == (None, None)


@pytest.mark.parametrize(
    ("length", "expected"), [(6.0, 2), (6.1, 3), (10.75, 3), (12.0, 3), (12.1, 4), (1.0, 2)]
)
def test_spacing_of_screws(length: float, expected: int) -> None:
    """At most 6 in apart, one at each end."""
    assert spaced(length, Units.INCH) == expected


@pytest.mark.parametrize(
    ("studs", "expected"),
    [
        (None, (16, 32, 48)),
        ({"spacing": 24}, (24, 48)),
        ({"spacing": 24, "first": 6}, (6, 30, 54)),
        ({"first": 0.75}, (0.75, 16.75, 32.75, 48.75)),
        ({"positions": [30, 10, 70]}, (10, 30)),
        ({"positions": []}, ()),
        ({"spacing": 16, "first": 61}, ()),
    ],
)
def test_stud_centres(studs: dict[str, object] | None, expected: tuple[float, ...]) -> None:
    """Studs of a wall of 60 in: given, part given, or assumed 16 in on centre."""
    wall = Wall.model_validate({"id": "A", "length": 60, "studs": studs})
    assert stud_centres(wall, Units.INCH) == expected


def test_studs_caught_need_three_quarters_of_an_inch() -> None:
    """A cleat from 10 to 26 catches studs at 10-3/4 and 25-1/4 and none nearer to its ends."""
    wall = Wall.model_validate(
        {"id": "A", "length": 60, "studs": {"positions": [10.7, 10.75, 18, 25.25, 25.3]}}
    )
    assert studs_caught(wall, 10.0, 26.0, Units.INCH) == (10.75, 18, 25.25)
