"""Uprights moved onto studs where that loses nothing, and only there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, cast

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.buildpack.ends import side_wall, studs_behind
from optimizer.checking import check_layout
from optimizer.domain.brief import Brief, Pin
from optimizer.domain.layout import Bay, Layout
from optimizer.domain.study import Yardstick
from optimizer.geometry.outline import outline_of
from optimizer.geometry.stretches import Surveyed, survey
from optimizer.model.search.alternatives import Search
from optimizer.parts.job import Job
from optimizer.parts.uprights import uprights_on
from optimizer.patterns.bay_rules import BayRules
from optimizer.proposing import propose, run
from optimizer.proposing.assembly import assembled
from optimizer.proposing.stud_places import NO_LOSS, on_studs
from optimizer.scoring.terms import Frame
from tests.structure.layouts import shelves

YARDSTICK = Yardstick(
    hanging=1.0, shelving=400.0, open_floor=36.0, easy_reach=300.0, low_cost=400.0, simple_build=60
)


@dataclass(frozen=True)
class Scale:
    """What a search knows of a brief before it searches."""

    brief: Brief
    rules: BayRules
    surveyed: Surveyed
    frame: Frame
    yardstick: Yardstick = YARDSTICK


def searched(brief: Brief) -> Search:
    """A search of `brief` for those who only measure and score with it."""
    rules = BayRules(brief)
    outline = survey(brief, outline_of(brief.room, brief.units))
    return cast(Search, Scale(brief, rules, outline, Frame(rules)))


def open_wall(**options: Any) -> Brief:
    """A wall of 92 in with studs at 16, 32, 48, 64 and 80 in, no needs."""
    wall = {"id": "A", "length": 92, "studs": {"positions": [16, 32, 48, 64, 80]}}
    return read_brief({"room": {"ceiling_height": 96, "walls": [wall]}, **options})[0]


def row_of(brief: Brief, widths: tuple[float, float, float]) -> Layout:
    """Shelves of two kinds, the same at both ends, from wall's end to wall's end."""
    made, at = [], 0.75
    for number, width in enumerate(widths, 1):
        zones = shelves(3 if number == 2 else 5, 12.0)
        made.append(
            Bay(
                id=f"A{number}",
                wall="A",
                start=at,
                width=width,
                depth=12.0,
                pattern="inner" if number == 2 else "outer",
                zones=zones,
                height=84.0,
            )
        )
        at += width + 0.75
    return assembled(searched(brief), tuple(made), 100.0, "within_gap")


def caught(brief: Brief, layout: Layout) -> int:
    """Uprights with a stud behind them, as the mark-out counts them."""
    job = Job(brief, layout)
    standing = [u for u in uprights_on("A", job) if side_wall(u, job) is None]
    return sum(bool(studs_behind(upright, job)) for upright in standing)


def test_a_bay_between_two_alike_moves_onto_studs() -> None:
    """Uprights at 27 and 59 in; 4 in to the right both stand on studs, and shelf is only moved
    from one end to the other."""
    brief = open_wall()
    layout = row_of(brief, (26.25, 31.25, 31.5))
    assert caught(brief, layout) == 0
    moved = on_studs(searched(brief), layout)
    assert caught(brief, moved) == 2
    assert not check_layout(brief, moved)
    assert moved.score >= layout.score - NO_LOSS
    assert sum(bay.width for bay in moved.bays) == pytest.approx(89.0)
    assert moved.metrics is not None and layout.metrics is not None
    assert moved.metrics.shelf_length == pytest.approx(layout.metrics.shelf_length)


@pytest.mark.parametrize(("weight", "moves"), [(20.0, True), (60.0, False)])
def test_a_shelf_that_carries_what_is_heavy_gets_no_shorter(weight: float, moves: bool) -> None:
    """The bay at the right would go from 31-1/2 to 27-1/2 in; 60 lb ask for more, at 25 lb to the
    square foot of a shelf 12 in deep."""
    crate = {"id": "crate", "width": 20, "depth": 11, "height": 9, "weight_lb": weight}
    needs = {"items": [{**crate, "place": "shelf"}], "shelf_depth": 12}
    brief = open_wall(needs=needs, construction={"shelf_load": 25})
    row = row_of(brief, (26.25, 31.25, 31.5)).bays
    low, *above = row[-1].zones
    held = row[-1].model_copy(
        update={"zones": (low.model_copy(update={"items": ("crate",)}), *above)}
    )
    layout = assembled(searched(brief), (*row[:-1], held), 100.0, "within_gap")
    moved = on_studs(searched(brief), layout)
    assert (moved.bays[-1].width < held.width) is moves


def test_equal_bays_stay_equal() -> None:
    """Both outer bays 28-7/8 in wide: no move keeps them so."""
    brief = open_wall()
    layout = row_of(brief, (28.875, 31.25, 28.875))
    assert on_studs(searched(brief), layout) == layout


def test_what_is_pinned_stays() -> None:
    """A pin holds the row where it is."""
    brief = open_wall()
    layout = row_of(brief, (26.25, 31.25, 31.5))
    first = layout.bays[0]
    pin = Pin(wall="A", start=first.start, width=first.width, pattern=first.pattern)
    pinned = brief.model_copy(update={"pins": (pin,)})
    assert on_studs(searched(pinned), layout) == layout


@pytest.mark.parametrize("fault", ["less proved", "like another"])
def test_a_study_keeps_what_a_move_would_cost_it(
    fault: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A move that weakens a proof, or makes two layouts alike, is left."""
    options = {"alternatives": 3, "gap": 0.01, "max_quality_loss": 0.4}
    brief = open_wall(options=options, needs={"short_hang": 40, "shelf_length": 60})
    asked: list[Layout] = []

    def stays(_: Search, layout: Layout) -> Layout:
        asked.append(layout)
        return layout

    def moved(_: Search, layout: Layout) -> Layout:
        """Another layout's bays, or the same ones with a weaker proof."""
        other = next(one for one in asked if one.bays != layout.bays)
        if fault == "like another":
            return layout.model_copy(update={"bays": other.bays})
        return layout.model_copy(update={"status": "bounded", "gap": 0.2, "bays": layout.bays[:1]})

    monkeypatch.setattr(run, "on_studs", stays)
    before = propose(brief, repairs=False)
    assert len(asked) == 3
    monkeypatch.setattr(run, "on_studs", moved)
    assert propose(brief, repairs=False).layouts == before.layouts


def test_bounds_speak_of_what_is_further_off_by_how_far_a_layout_moved(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The first of three layouts moves by 2 in of its wall; the last one's move matters to none."""
    options = {"alternatives": 3, "time_limit_s": 60.0}
    brief = open_wall(options=options, needs={"short_hang": 40, "shelf_length": 60})
    first: list[tuple[Bay, ...]] = []

    def stays(_: Search, layout: Layout) -> Layout:
        first.append(layout.bays)
        return layout

    def moving(number: int) -> Callable[[Search, Layout], Layout]:
        """Moves the layout asked for first or last: its end bay gets 2 in narrower."""

        def moved(_: Search, layout: Layout) -> Layout:
            if layout.bays[:-1] != first[number][:-1]:
                return layout
            end = layout.bays[-1]
            bays = (*layout.bays[:-1], end.model_copy(update={"width": end.width - 2.0}))
            return layout.model_copy(update={"bays": bays})

        return moved

    monkeypatch.setattr(run, "on_studs", stays)
    before = propose(brief, repairs=False).difference_proved
    assert len(first) == 3
    # A layout that the model could not keep by pins is not moved at all.
    for number, bound, away in ((0, 100.0, 2.0 / 92.0), (-1, 100.0, 0.0), (0, None, 0.0)):
        monkeypatch.setattr(run, "bound_with", lambda *_, bound=bound: bound)
        monkeypatch.setattr(run, "on_studs", moving(number))
        after = propose(brief, repairs=False).difference_proved
        assert after - before == pytest.approx(away, abs=1e-9)
    # Moved twice, it is as far off as both moves together.
    monkeypatch.setattr(run, "bound_with", lambda *_: 100.0)
    monkeypatch.setattr(run, "on_studs", moving(0))
    monkeypatch.setattr(run, "onto_neighbours", moving(0))
    after = propose(brief, repairs=False).difference_proved
    assert after - before == pytest.approx(4.0 / 92.0, abs=1e-9)
