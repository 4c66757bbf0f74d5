"""Text elevations: drawn to scale, nothing over anything else, everything named."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.domain.layout import Bay
from optimizer.domain.study import Study
from optimizer.printing.bay_picture import levels_of
from optimizer.printing.canvas import ASCII, UNICODE
from optimizer.printing.elevation import elevation
from optimizer.printing.scale import Scale
from optimizer.units import Units

MARGIN = 8


def draw(study: Study, **kwargs: Any) -> list[str]:
    """The elevation of wall B of the first layout."""
    return elevation(study.brief, study.layouts[0], "B", **kwargs)


def test_the_hall_closet_drawn_in_ascii(hall_study: Study) -> None:
    """The whole picture, character by character."""
    assert draw(hall_study, symbols=ASCII) == [
        'Wall B from inside, one character is about 1-5/16" by 4"',
        "       |_______________________________________________________|",
        "       |                                                       |",
        "       |                                                       |",
        '    7\' |==84"===================           ==84"===============|',
        '       |#-80"------------------#           #                  #|',
        "       |#::::::::::::::::::::::#           #                  #|",
        "    6' |#::::::::::::::::::::::#           #=72\"==============#|",
        "       |#::::::::::::::::::::::#           #                  #|",
        "       |#::::::::::::::::::::::#           #                  #|",
        "    5' |#::::: short hang :::::#           #=60\"==============#|",
        "       |#::::::::::::::::::::::#           #                  #|",
        "       |#::::::::::::::::::::::#           #      bin x2      #|",
        "    4' |#::::::::::::::::::::::#           #=48\"==============#|",
        "       |#::::::::::::::::::::::#           #                  #|",
        '       |#-40"------------------#           #                  #|',
        "    3' |#::::::::::::::::::::::#           #=36\"==============#|",
        "       |#::::::::::::::::::::::#           #                  #|",
        "       |#::::::::::::::::::::::#           #                  #|",
        "    2' |#::::::::::::::::::::::#           #                  #|",
        "       |#::::: short hang :::::#           #                  #|",
        "       |#::::::::::::::::::::::#  %a%      #                  #|",
        "    1' |#::::::::::::::::::::::#           #                  #|",
        "       |#::::::::::::::::::::::#           #                  #|",
        "       |#::::::::::::::::::::::#           #      hamper      #|",
        "    0'  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^",
        "        |0'      |1'      |2'      |3'      |4'      |5'      |6'",
        "                   B1                               B2",
        '                  30"                              24"',
        '        a = outlet at 34" to 39" along, 14" to 19" up',
    ]


@pytest.mark.parametrize("width", [60, 80, 100, 140])
def test_no_line_is_wider_than_asked(hall_study: Study, width: int) -> None:
    """The picture and its rulers fit the terminal."""
    assert max(map(len, draw(hall_study, width=width))) <= width


def test_unicode_and_ascii_differ_only_in_their_characters(hall_study: Study) -> None:
    """Every mark stands at the same place in both."""
    table = str.maketrans(
        {getattr(UNICODE, name): getattr(ASCII, name) for name in UNICODE.__slots__[:-1]}
    )
    plain = [line.translate(table) for line in draw(hall_study, symbols=UNICODE)]
    assert plain == draw(hall_study, symbols=ASCII)


def test_openings_are_drawn_and_named(hall_data: dict[str, Any]) -> None:
    """An opening on the wall stands as an outline as wide and high as it is."""
    hall_data["brief"]["room"]["obstructions"] = []
    hall_data["brief"]["room"]["openings"][0].update(wall="B", start=36, width=24, height=80)
    hall_data["layouts"][0]["bays"] = []
    hall_data["layouts"][0]["fillers"] = []
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    left, right = MARGIN + 27, MARGIN + 45
    assert lines[5][left : right + 1] == "~" * 19
    assert [line[left] + line[right] for line in lines[6:25]] == ["''"] * 19
    assert any("bifold door" in line for line in lines)


def test_a_name_too_long_is_cut_and_told_below(hall_data: dict[str, Any]) -> None:
    """What a narrow bay cannot hold is marked as cut and written out under the drawing."""
    name = "unabridged-encyclopaedia"
    bay = hall_data["layouts"][0]["bays"][1]
    bay["zones"][0]["items"] = [name]
    lines = draw(Study.model_validate(hall_data))
    assert "║unabridged-encycl…║" in lines[24]
    assert lines[-1].strip() == f'B2: floor, 35-1/4" clear: {name}'


def test_many_pieces_take_several_rows(hall_data: dict[str, Any]) -> None:
    """Names are packed into the clear rows, none split."""
    zone = hall_data["layouts"][0]["bays"][1]["zones"][0]
    zone["items"] = ["laundry hamper", "step stool", "boots"]
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    inside = [line[MARGIN + 36 : MARGIN + 54].strip() for line in lines[23:25]]
    assert inside == ["laundry hamper,", "step stool, boots"]


def test_a_long_name_breaks_between_its_words(hall_data: dict[str, Any]) -> None:
    """A name wider than its bay takes a row for each part, and needs no note."""
    zone = hall_data["layouts"][0]["bays"][1]["zones"][0]
    zone["items"] = ["long upright vacuum cleaner"]
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    inside = [line[MARGIN + 36 : MARGIN + 54].strip() for line in lines[23:25]]
    assert inside == ["long upright", "vacuum cleaner"]
    assert not lines[-1].strip().startswith("B2:")


def test_a_covered_obstruction_never_shows_through(hall_data: dict[str, Any]) -> None:
    """An outlet that may be covered is not drawn over the clothes before it."""
    outlet = hall_data["brief"]["room"]["obstructions"][0]
    outlet.update(start=10, may_cover=True)
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    assert not any("%" in line for line in lines)
    assert lines[-1].endswith("storage may stand in front of it")


def test_an_obstruction_is_never_lost(hall_data: dict[str, Any]) -> None:
    """One that must stay clear is marked even where rounding puts a board on its row."""
    outlet = hall_data["brief"]["room"]["obstructions"][0]
    outlet.update(start=50, width=5, bottom=58.5, height=0.5)
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    assert lines[10].endswith('#=60"a=============#|')


def test_the_ceiling_follows_a_slope(hall_data: dict[str, Any]) -> None:
    """The ceiling line rises from the left height to the right one."""
    hall_data["brief"]["room"]["walls"][1]["height"] = {"left": 84.5, "right": 96}
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    rows = [next(i for i, line in enumerate(lines) if line[c : c + 1] == "_") for c in (20, 35, 60)]
    assert rows == [3, 2, 1]


def test_strips_are_as_high_as_the_bay_beside_them(hall_data: dict[str, Any]) -> None:
    """A filler next to a low bay does not rise to the height of a far, tall one."""
    layout = hall_data["layouts"][0]
    layout["fillers"] = [{"wall": "B", "start": 31.5, "width": 3, "kind": "filler"}]
    layout["bays"][1]["height"] = 94
    layout["bays"][0].update(height=40, zones=[])
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    column = MARGIN + 25
    assert [line[column] for line in lines[14:26]] == [" ", *"x" * 10, "^"]


def test_walls_too_long_for_a_line_come_in_pieces(hall_data: dict[str, Any]) -> None:
    """A 40 ft wall is drawn twice, each piece within the line and each bay in full once."""
    hall_data["brief"]["room"]["walls"][1]["length"] = 480
    far = {**hall_data["layouts"][0]["bays"][0], "id": "B9", "start": 400}
    hall_data["layouts"][0]["bays"].append(far)
    lines = draw(Study.model_validate(hall_data))
    assert [line.startswith("Wall B") for line in lines].count(True) == 2
    assert [sum(f" {bay} " in f" {line} " for line in lines) for bay in ("B1", "B2", "B9")] == [
        1,
        1,
        1,
    ]
    assert max(map(len, lines)) <= 100


def test_an_unknown_wall_is_refused(hall_study: Study) -> None:
    """A wall the room does not have is an error, not an empty drawing."""
    with pytest.raises(KeyError):
        elevation(hall_study.brief, hall_study.layouts[0], "Z")


def test_rows_of_a_bay_are_never_shared(hall_study: Study) -> None:
    """However coarse the rows, every board and rod has a row of its own, in order."""
    for per_row in (1.0, 2.0, 4.0, 6.0, 8.0):
        scale = Scale(Units.INCH, 0, 72, per_row / 3, per_row, 96)
        for bay in hall_study.layouts[0].bays:
            rows = [level.line for level in levels_of(bay, scale) if level.line is not None]
            assert rows == sorted(set(rows))


def test_a_rod_gives_way_to_the_board_over_it(hall_study: Study) -> None:
    """Boards at one height stand on one row in all bays; a rod just below is put lower."""
    scale = Scale(Units.INCH, 0, 72, 2, 6, 96)
    rods, shelves = hall_study.layouts[0].bays
    top = scale.row(84)
    assert [level.line for level in levels_of(rods, scale)] == [7, top - 1, top]
    assert levels_of(shelves, scale)[-1].line == top


def test_clear_rows_end_below_what_comes_next(hall_study: Study) -> None:
    """The rows of one level never reach into the next."""
    scale = Scale(Units.INCH, 0, 72, 4 / 3, 4, 96)
    for bay in hall_study.layouts[0].bays:
        assert isinstance(bay, Bay)
        taken: list[int] = []
        for level in levels_of(bay, scale):
            taken += list(range(level.low, level.high + 1))
            taken += [level.line] if level.line is not None else []
        assert sorted(taken) == sorted(set(taken))


def test_no_upright_stands_where_the_wall_carries(hall_data: dict[str, Any]) -> None:
    """Boards run up to the wall's own line; the other end keeps its upright."""
    first = hall_data["layouts"][0]["bays"][0]
    first.update(start=0, width=30.75, left="wall")
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    assert lines[4].startswith("    7' |=84\"===================")
    assert lines[5].startswith('       |-80"-------------------#')
    assert lines[24].startswith("       |:::::::::::::::::::::::#")


def test_a_free_line_has_its_top_board_between_the_uprights(hall_data: dict[str, Any]) -> None:
    """Uprights end at the height of the board between them."""
    hall_data["brief"]["construction"] = {"top_line": "free"}
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    assert lines[4] == '    7\' |#=84"==================#           #=84"==============#|'


def test_boards_that_butt_at_a_corner_show_those_that_run_through(
    hall_data: dict[str, Any],
) -> None:
    """From the wall to the joint the other wall's boards, then this bay's own."""
    second = hall_data["layouts"][0]["bays"][1]
    second.update(width=12.75, right="corner")
    hall_data["layouts"][0]["fillers"] = []
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    assert lines[4].endswith('==84"======+========|')
    assert lines[7].endswith('#=72"======+========|')
    assert lines[8].endswith("#                   |")


def test_mid_supports_are_marked_in_boards_and_rods(hall_data: dict[str, Any]) -> None:
    """One mark at its place in each, beside the height where that stands there."""
    first = hall_data["layouts"][0]["bays"][0]
    first["mid_supports"] = [2, 16]
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    assert lines[4].startswith("    7' |==84\"T======T===========")
    assert lines[5].startswith('       |#-80"T------T----------#')
    assert not any("T" in line[:33] for line in lines[6:14])


def test_boxes_kept_clear_are_filled_and_explained(hall_data: dict[str, Any]) -> None:
    """The fill is one of its own, and the note says how far out it goes and why."""
    hall_data["brief"]["room"]["keep_clear"] = [
        {"wall": "B", "start": 34, "width": 8, "bottom": 40, "height": 40, "depth": 30,
         "why": "heater door"}
    ]  # fmt: skip
    lines = draw(Study.model_validate(hall_data), symbols=ASCII)
    assert any("//b//" in line for line in lines)
    words = 'b = kept clear at 34" to 42" along, 40" to 80" up, 2\' 6" out: heater door'
    assert words in " ".join(" ".join(lines).split())
