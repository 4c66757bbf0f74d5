"""What is found does not depend on how a room is told: first wall, mirror image, or units."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from optimizer.checking import check_layout
from optimizer.domain.construction import METRIC_DEFAULTS, Construction
from tests.checking.parts import Data
from tests.checking.samples import SAMPLES, drawing, parse
from tests.checking.test_mutations import CASES

TOLD: list[tuple[str, dict[str, Any], str]] = [(name, {}, "") for name in SAMPLES]
TOLD += [(sample, changes, codes) for _, sample, changes, codes in CASES if codes != "brief"]
IDS = [f"{sample} {codes} {number}" for number, (sample, _, codes) in enumerate(TOLD)]


CLOSED = ("reach_in", "walk_in", "pier", "pantry", "alcove")


def data_of(sample: str, changes: dict[str, Any]) -> tuple[Data, Data]:
    """Brief and layout of a bare drawing as plain data, defaults filled in."""
    brief, layout = drawing(sample, changes)
    return brief.model_dump(mode="json"), layout.model_dump(mode="json")


def found(brief: Data, layout: Data) -> Counter[str]:
    """How often each code is found."""
    data = {"brief": brief, "layout": layout}
    return Counter(fault.code for fault in check_layout(*parse(data)))


def length_of(wall: Data) -> float:
    """Least reading of a wall."""
    length = wall["length"]
    return min(length) if isinstance(length, list) else length


def mirrored(brief: Data, layout: Data) -> bool:
    """Turn a room and its layout into their mirror image; False where that cannot be told."""
    walls = brief["room"]["walls"]
    lengths = {wall["id"]: length_of(wall) for wall in walls}
    corners = [wall["corner"] for wall in walls]
    for index, wall in enumerate(walls):
        wall["corner"] = corners[index - 1]
        if isinstance(wall["height"], dict):
            wall["height"] = {"left": wall["height"]["right"], "right": wall["height"]["left"]}
        if wall["studs"]:
            studs = wall["studs"]["positions"]
            wall["studs"]["positions"] = [lengths[wall["id"]] - stud for stud in studs]
    walls.reverse()
    for bay in layout["bays"]:
        bay["left"], bay["right"] = bay["right"], bay["left"]
        length = lengths.get(bay["wall"], 100.0)
        bay["mid_supports"] = [length - position for position in bay["mid_supports"]]
    room = brief["room"]
    things = [*room["openings"], *room["obstructions"], *room["keep_clear"], *brief["pins"]]
    for thing in [*things, *layout["bays"], *layout["fillers"]]:
        thing["start"] = lengths.get(thing["wall"], 100.0) - thing["start"] - thing["width"]
        if thing["start"] < 0:
            return False
    return True


@pytest.mark.parametrize(("sample", "changes", "codes"), TOLD, ids=IDS)
def test_mirror_image_has_the_same_findings(
    sample: str, changes: dict[str, Any], codes: str
) -> None:
    """Left and right mean nothing to any rule."""
    before = found(*data_of(sample, changes))
    brief, layout = data_of(sample, changes)
    if not mirrored(brief, layout):
        # Told in the mirror, a bay would start left of its wall: no layout at all.
        assert set(before) == {"wall_fit"}
        return
    assert found(brief, layout) == before


@pytest.mark.parametrize(("sample", "changes"), [row[:2] for row in TOLD if row[0] in CLOSED])
def test_first_wall_of_a_closed_room_is_any(sample: str, changes: dict[str, Any]) -> None:
    """Counting the walls from another corner turns the room, nothing else."""
    before = found(*data_of(sample, changes))
    for first in range(1, 4):
        brief, layout = data_of(sample, changes)
        walls = brief["room"]["walls"]
        brief["room"]["walls"] = walls[first:] + walls[:first]
        assert found(brief, layout) == before


LENGTHS = (
    "length left right height start width bottom top depth rod_height ceiling_height casing "
    "setback projection spacing first long_hang medium_hang short_hang shelf_length "
    "shelf_spacing shelf_depth aisle long medium short stature positions mid_supports "
    "measuring_tolerance"
)
RULES = METRIC_DEFAULTS.keys() - {"shelf_load", "rod_load"}


def in_millimetres(value: Any, key: str = "") -> Any:
    """The same data with every length in millimetres."""
    if isinstance(value, dict):
        return {name: in_millimetres(entry, name) for name, entry in value.items()}
    if isinstance(value, list):
        return [in_millimetres(entry, key) for entry in value]
    if (key in LENGTHS.split() or key in RULES) and isinstance(value, float | int):
        return value * 25.4
    return value


def test_inch_drawings_in_millimetres_have_the_same_findings() -> None:
    """Codes are the same but for widths, which are no whole millimetres any more."""
    assert METRIC_DEFAULTS.keys() <= Construction.model_fields.keys()
    for sample, changes, codes in TOLD:
        if sample == "metric" or codes == "width_grid":
            continue
        brief, layout = data_of(sample, changes)
        before = set(found(brief, layout))
        brief, layout = in_millimetres(brief), in_millimetres(layout)
        brief["units"] = "mm"
        rules = brief["construction"]
        # 1 lb/sq ft is 4.882 kg/m2, 1 lb/ft is 1.488 kg/m.
        rules["shelf_load"] *= 0.45359237 / 0.3048**2
        rules["rod_load"] *= 0.45359237 / 0.3048
        after = set(found(brief, layout)) - {"width_grid"}
        assert (sample, changes, after) == (sample, changes, before)
