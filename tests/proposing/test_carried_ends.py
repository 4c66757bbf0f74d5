"""Ends on what is beside them, a wall, an upright or the next wall's boards, that carries too."""

from __future__ import annotations

from typing import Any

from optimizer.checking import check_layout
from optimizer.domain.brief import Brief, Pin
from optimizer.domain.layout import Bay, Carried, Layout
from optimizer.proposing.assembly import assembled
from optimizer.proposing.carried_ends import onto_neighbours
from tests.proposing.test_stud_places import searched
from tests.structure.layouts import bay, room, shelves, wrapped


def _between_uprights(brief: Brief, start: float, width: float) -> Layout:
    """Shelves on the middle wall between two uprights."""
    made = Bay(
        id="B1",
        wall="B",
        start=start,
        width=width,
        depth=12.0,
        pattern="shelves",
        zones=shelves(5, 12.0),
        height=84.0,
    )
    return assembled(searched(brief), (made,), 100.0, "within_gap")


def _moved(layout: Layout, brief: Brief) -> list[tuple[float, float, Carried, Carried]]:
    bays = onto_neighbours(searched(brief), layout).bays
    return [(bay.start, bay.width, bay.left, bay.right) for bay in bays]


def test_uprights_flat_against_sound_walls_go() -> None:
    """34-1/2 between two uprights in an alcove of 36: the walls carry 36, and it scores more."""
    brief = room((20.0, 36.0, 20.0))
    before = _between_uprights(brief, 0.75, 34.5)
    after = onto_neighbours(searched(brief), before)
    assert _moved(before, brief) == [(0.0, 36.0, Carried.WALL, Carried.WALL)]
    assert check_layout(brief, after) == ()
    assert after.score > before.score
    assert after.metrics is not None and before.metrics is not None
    assert (before.metrics.sheets, after.metrics.sheets) == (2, 1)


def test_an_upright_away_from_the_wall_stays() -> None:
    """At the left 1 in of scribe goes with it; at the right it stands 2 in away."""
    brief = room((20.0, 38.0, 20.0))
    layout = _between_uprights(brief, 1.75, 33.5)
    assert _moved(layout, brief) == [(0.0, 35.25, Carried.WALL, Carried.UPRIGHT)]


def _unmoved(layout: Layout, **changes: Any) -> bool:
    """Whether nothing moves in a room with these walls and rules."""
    brief = room(**changes)
    return onto_neighbours(searched(brief), layout) is layout


def test_uprights_stay_where_a_wall_does_not_carry_or_is_not_to() -> None:
    """Side walls of 11 in under boards of 12; boards that would be too long; the brief's choice;
    a pinned bay."""
    brief = room((20.0, 36.0, 20.0))
    layout = _between_uprights(brief, 0.75, 34.5)
    assert _unmoved(layout, lengths=(11.0, 36.0, 11.0))
    assert _unmoved(layout, lengths=(20.0, 36.0, 20.0), max_plain_span=34.5)
    assert _unmoved(layout, lengths=(20.0, 36.0, 20.0), wall_ends="uprights")
    pin = Pin(wall="B", start=0.75, width=34.5, pattern="shelves")
    pinned = brief.model_copy(update={"pins": (pin,)})
    assert onto_neighbours(searched(pinned), layout) is layout


def _row(brief: Brief, *bays: Bay) -> Layout:
    return assembled(searched(brief), bays, 100.0, "within_gap")


def test_two_uprights_side_by_side_become_one() -> None:
    """Two bays of shelves 5 in apart share an upright and take the 5-3/4 in; at 20 in they stay."""
    brief = room((20.0, 120.0, 20.0))
    first = bay("B1", "B", 12.0, 24.0, shelves(5, 12.0))
    for apart, gap in ((5.0, 0.75), (20.0, 21.5)):
        second = bay("B2", "B", 37.5 + apart, 20.0, shelves(5, 12.0))
        made = onto_neighbours(searched(brief), _row(brief, first, second))
        assert check_layout(brief, made) == ()
        assert made.bays[1].start - made.bays[0].end == gap
        assert (made.bays[0].start, made.bays[1].end) == (12.0, second.end)


def test_shelves_go_round_a_corner_where_their_levels_agree() -> None:
    """An upright 6 in from the next wall's boards goes, but not where one board meets none."""
    brief, layout = wrapped(33.0, 30.0, 12.0)
    short, through = layout.bays
    apart = short.model_copy(update={"width": 23.25, "right": Carried.UPRIGHT})
    made = onto_neighbours(searched(brief), _row(brief, apart, through))
    assert (made.bays[0].width, made.bays[0].right) == (30.0, Carried.CORNER)
    assert check_layout(brief, made) == ()
    fewer = through.model_copy(update={"zones": shelves(5, 12.0)})
    kept = onto_neighbours(searched(brief), _row(brief, apart, fewer))
    assert kept.bays[0].right is Carried.UPRIGHT
