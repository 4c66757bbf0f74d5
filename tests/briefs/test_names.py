"""Names of walls and items: any script, apostrophes, and messages without patterns."""

from __future__ import annotations

import unicodedata
from pathlib import Path
from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.briefs.studies import read_study_text
from optimizer.domain.study import Study
from optimizer.drawing.drawing_set import write_drawings
from optimizer.errors import BriefError
from optimizer.proposing.run import propose
from tests.briefs.changes import ALCOVE_IN, changed
from tests.packs import quick_pack

WALL = "/room/walls/0/id"
TOLD = {
    "": "a name has at least one letter or digit",
    "x" * 41: "a name is at most 40 characters long",
    "=A1": "a name begins with a letter or a digit",
    " back": "a name begins with a letter or a digit",
    "back/left": "not solidus",
    "back\nleft": "not a control character",
    "hall <b>": "not less-than sign",
    "back\u202eleft": "not right-to-left override",
    "🚪": "a name begins with a letter or a digit",
}


@pytest.mark.parametrize(
    "name", ["O'Brien's wall", "Mutter’s Wand", "Задняя стена", "奥の壁", "الجدار", "दीवार"]
)
def test_names_of_any_script_are_kept(name: str) -> None:
    """A wall may be called what people call it, in their own letters."""
    brief, _ = read_brief(changed(ALCOVE_IN, {WALL: name}))
    assert brief.room.walls[0].id == name


@pytest.mark.parametrize("name", TOLD)
def test_a_name_that_cannot_be_is_refused_in_plain_words(name: str) -> None:
    """The message says what a name may hold, and shows no pattern."""
    with pytest.raises(BriefError) as caught:
        read_brief(changed(ALCOVE_IN, {WALL: name}))
    (fault,) = caught.value.faults
    assert fault.pointer == WALL
    assert TOLD[name] in fault.detail
    assert "^" not in fault.detail
    assert "\\" not in fault.detail.partition(" (got")[0]


def test_a_name_is_the_same_however_its_accents_were_typed() -> None:
    """A letter and its accent apart, or the two in one: they name one wall."""
    composed, apart = "Côté", unicodedata.normalize("NFD", "Côté")
    assert composed != apart
    box = {"wall": apart, "start": 10, "width": 4, "bottom": 12, "height": 4, "kind": "outlet"}
    brief, _ = read_brief(changed(ALCOVE_IN, {WALL: composed, "/room/obstructions": [box]}))
    assert brief.room.obstructions[0].wall == brief.room.walls[0].id == composed


@pytest.mark.parametrize("solver", ["highs", "cbc"])
def test_a_closet_with_such_names_is_proposed_built_and_drawn(solver: str, tmp_path: Path) -> None:
    """From the brief to the drawings, and back from the stored study."""
    item: dict[str, Any] = {"id": "Бак d'été", "width": 14, "depth": 12, "height": 20}
    brief, _ = read_brief(
        changed(
            ALCOVE_IN,
            {
                WALL: "O'Brien’s 壁",
                "/needs/items": [item],
                "/options": {"alternatives": 1, "solver": solver},
            },
        )
    )
    study: Study = propose(brief, repairs=False)
    assert read_study_text(study.model_dump_json()).layouts == study.layouts
    layout = study.layouts[0]
    assert {bay.wall for bay in layout.bays} == {"O'Brien’s 壁"}
    assert item["id"] in {name for bay in layout.bays for zone in bay.zones for name in zone.items}
    pack = quick_pack(brief, layout)
    written = write_drawings(brief, layout, tmp_path, pack=pack)
    assert all(path.stat().st_size > 0 for path in written)
