"""Hooks, mirrors and bought units in the pack: cut, counted, marked out, priced, drawn."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.drawing.views.elevation import draw_elevation
from optimizer.printing.elevation import elevation
from tests.checking.parts import bay, floor, levels
from tests.packs import quick_pack

UNIT = {
    "id": "drawers", "width": 24, "depth": 11, "height": 6, "price": 140.0,
    "fits_between": {"least": 24.5, "most": 27},
}  # fmt: skip


def _built(**unit: Any) -> tuple[Brief, Layout]:
    """A bay over 28-1/4 in of a wall of 100 in, a mirror beside it, three hooks at the end."""
    raw = {
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "A", "length": 100, "studs": {"positions": [40, 80, 96]}}],
        },
        "needs": {
            "hooks": [{"id": "coats", "count": 3}],
            "mirrors": [{"id": "glass", "width": 18, "height": 50}],
            "items": [{**UNIT, **unit}],
        },
        "construction": {"material": "plywood"},
    }
    brief, _ = read_brief(raw)
    zones = [floor(11.25, "drawers", depth=12.0), *levels(96.0, 12.0)]
    mirror = {
        "id": "glass", "kind": "mirror", "wall": "A", "start": 30.0, "width": 18.0,
        "bottom": 14.0, "top": 64.0, "depth": 1.0,
    }  # fmt: skip
    coats = {
        "id": "coats", "kind": "hooks", "wall": "A", "start": 76.0, "width": 24.0, "bottom": 9.0,
        "top": 61.75, "depth": 10.0, "hook_height": 60.0, "hooks": [80.0, 88.0, 96.0],
    }  # fmt: skip
    bays = [bay("A1", "A", 0.75, 26.75, zones)]
    return brief, Layout.model_validate({"bays": bays, "mounts": [mirror, coats]})


def test_hooks_get_a_board_and_screws_where_there_are_studs() -> None:
    """24 x 3-1/2 in with its middle 60 in up, two screws at each of two studs, no anchor."""
    pack = quick_pack(*_built())
    board = pack.part("A-H2")
    assert (board.length, board.width, board.thickness) == (24.0, 3.5, 0.75)
    assert (board.box.along, board.box.bottom) == (76.0, 58.25)
    bought = {(h.key, part): h.count for h in pack.hardware for part in h.parts}
    assert bought["coat_hook", "A-H2"] == 3
    assert bought["cleat_screw", "A-H2"] == 4
    assert ("wall_anchor", "A-H2") not in bought
    line = next(line for line in pack.markout if line.part == "A-H2")
    assert (line.kind, line.start, line.end, line.height) == ("hook_board", 76.0, 100.0, 61.75)
    assert line.studs == (80.0, 96.0)
    assert "A-H2" in {part for row in pack.cut_list for part in row.parts}


def test_a_mirror_is_hung_told_of_and_counted_along_the_wall() -> None:
    """One stud behind it, so two anchors; 18 x 50 in of 1/4 in glass weigh about 21 lb."""
    pack = quick_pack(*_built())
    bought = {(h.key, part): h.count for h in pack.hardware for part in h.parts}
    assert (bought["mirror_clip", "A-H1"], bought["wall_anchor", "A-H1"]) == (4, 2)
    assert any("21 lb" in caution.text for caution in pack.cautions if caution.topic == "mirror")
    (chain,) = pack.chains
    assert [link.label for link in chain.links] == [
        "A-U1", "A1", "A-U2", "open", "glass", "open", "coats"
    ]  # fmt: skip
    assert sum(link.length for link in chain.links) == 100.0


@pytest.mark.parametrize(("price", "amount"), [(140.0, 140.0), (None, 0.0)])
def test_a_bought_unit_is_on_the_shopping_list(price: float | None, amount: float) -> None:
    """At its own price, or told to have none."""
    pack = quick_pack(*_built(price=price))
    line = next(line for line in pack.shopping if line.section == "unit")
    assert (line.key, line.quantity, line.amount) == ("drawers", 1, amount)
    assert bool(line.note) == (price is None)


def test_drawings_show_what_hangs() -> None:
    """By name and height in the elevation, by letter in that of characters."""
    brief, layout = _built()
    drawn = draw_elevation(brief, layout, "A", quick_pack(brief, layout)).to_svg()
    for words in ("glass: 14&quot; up", "coats: 3 hooks 60&quot; up", "A-H2"):
        assert words in drawn or words.replace("&quot;", '"') in drawn
    text = "\n".join(elevation(brief, layout, "A"))
    assert '3 hooks, coats, at 76" to 100" along, 60" up' in text
    assert 'mirror glass at 30" to 48" along' in text
