"""Studies as they are printed: the ranked table, layouts, comparisons and warnings."""

from __future__ import annotations

import io
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from rich.console import Console

from optimizer.domain.layout import Unmet
from optimizer.domain.study import Study
from optimizer.printing.brief import print_brief
from optimizer.printing.comparison import print_comparison
from optimizer.printing.console import make_console
from optimizer.printing.details import share_words, unmet_words
from optimizer.printing.ranking import print_ranking
from optimizer.printing.report import print_study
from optimizer.units import Units


def printed(write: Callable[[Console], None], width: int = 100, encoding: str = "utf-8") -> str:
    """What `write` prints on a console of that width and encoding."""
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding)
    write(make_console(stream, width))
    stream.flush()
    return raw.getvalue().decode(encoding)


def table_rows(text: str, head: str) -> list[str]:
    """The lines under the table whose heads start with `head`."""
    lines = text.splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith(head)) + 2
    rows = []
    for line in lines[start:]:
        if not line.strip():
            break
        rows.append(" ".join(line.split()))
    return rows


def test_the_ranked_table_has_a_line_for_each_layout(hall_study: Study) -> None:
    """Rank, score, bound, gap, hang, shelf, floor, items, cost, sheets, parts: as claimed."""
    text = printed(lambda console: print_ranking(console, hall_study))
    assert table_rows(text, "Rank") == [
        '1 80.2 80.5 0.31% 0" 0" 60" 150" 0" 3/3 212 2 21',
        '2 61.5 62.0 0.81% 0" 0" 0" 120" 0" 3/3 101 1 12',
    ]
    assert "  2: 60 in less short hang than layout 1, 1 sheet fewer\n" in text
    assert "differ by at least 20% from every layout" in " ".join(text.split())


def test_a_narrow_terminal_gets_two_tables_and_no_figure_less(hall_study: Study) -> None:
    """Nothing is cut: what does not fit beside stands below."""
    text = printed(lambda console: print_ranking(console, hall_study), width=70)
    first, second = text.split("Rank")[1:]
    assert [" 212 " in first, '150"' in first, '150"' in second] == [True, False, True]
    assert "…" not in text


def test_millimetre_studies_say_so(hall_data: dict[str, Any]) -> None:
    """Figures come in whole millimetres, and the table says what they are in."""
    hall_data["brief"]["units"] = "mm"
    hall_data["brief"]["room"]["ceiling_height"] = 2400
    hall_data["layouts"][0]["metrics"]["shelf_length"] = 3810.4
    study = Study.model_validate(hall_data)
    text = printed(lambda console: print_ranking(console, study))
    assert table_rows(text, "Rank")[0].split()[7] == "3810"
    assert "Lengths in mm." in text


def test_a_study_is_told_from_heading_to_warnings(hall_study: Study) -> None:
    """Everything a builder must see is there, in order."""
    text = printed(lambda console: print_study(console, hall_study))
    told = [
        "Hall closet: 2 layouts, each proved best of its rank to within the gap asked for, 1.2 s",
        "Rank  Score  Bound",
        "Layout 1 ---",
        "Score line  Weight  Reached  Points",
        "needs met       10      80%    40.0",
        '  - long hang: 0" of 3\' 0", 3\' 0" missing (traded off, price 6.2 points): ',
        "Wall A: 2' 0\" long, 8' 0\" high; nothing stands here",
        "Wall B: 6' 0\" long, 7' 10\" high",
        'B1      3/4"    30"    24"  uprights    double short hang under a top shelf',
        '2. short hang, rod at 80", clothes down to 43"',
        'B2   47-1/4"    24"    16"  uprights    5 shelves over floor for hamper, front stiff',
        'scribe 1/2" wide, at 71-1/2" to 72"',
        "Wall B from inside",
        "║┊┊┊┊┊ short hang ┊┊┊┊┊║",
        'bifold door 4\' 0" wide, at 12" to 60"; nothing stands here',
        "Layout 2 ---",
        "  B2: 2' 0\" wide, 5 shelves over floor for hamper",
        "How far apart they are",
        "1   0%  42%",
        "  - shelf spacing 11 in: 30 in more shelf (proved)",
        "  - /needs/aisle: 24 in is a tight way through",
    ]
    places = [text.find(words) for words in told]
    assert -1 not in places, told[places.index(-1)]
    assert places == sorted(places)


def test_layouts_asked_for_are_shown_in_full(hall_study: Study) -> None:
    """Only the ranks asked for are drawn."""
    counts = [
        printed(partial(print_study, study=hall_study, shown=shown)).count("from inside")
        for shown in ((), (2,), (1, 2))
    ]
    assert counts == [0, 1, 2]


def test_nothing_but_ascii_where_no_more_can_be_shown(hall_study: Study) -> None:
    """On an ASCII terminal the whole report prints, boards and all."""
    text = printed(lambda console: print_study(console, hall_study), encoding="ascii")
    assert text.isascii()
    assert '#=72"======' in text


def test_a_piped_report_has_no_colour_and_fits(hall_study: Study) -> None:
    """A pipe gets no escape sequences and no line beyond the width."""
    text = printed(lambda console: print_study(console, hall_study), width=80)
    assert "\x1b" not in text
    assert max(map(len, text.splitlines())) <= 80


def test_texts_of_a_study_cannot_drive_the_terminal(hall_data: dict[str, Any]) -> None:
    """Escape sequences, markup and emoji codes in names and details print as they are."""
    hall_data["brief"]["name"] = "\x1b[31m[bold]:smile:"
    hall_data["warnings"][0]["detail"] = "\x1b]0;title\x07 [link=x]"
    hall_data["repairs"][0]["change"] = "a\rb"
    text = printed(lambda c: print_study(c, Study.model_validate(hall_data)))
    assert [mark in text for mark in ("\x1b", "\x07", "\r")] == [False] * 3
    assert [words in text for words in ("[bold]:smile:", "[link=x]")] == [True] * 2


def test_a_study_without_layouts_still_says_why(hall_data: dict[str, Any]) -> None:
    """An infeasible study prints its state, repairs and warnings."""
    hall_data.update(layouts=[], differences=[], status="infeasible")
    text = printed(lambda c: print_study(c, Study.model_validate(hall_data)))
    assert text.startswith("Hall closet: 0 layouts, nothing can be built")
    assert "shelf spacing 11 in" in text


def test_the_comparison_says_the_difference_to_the_first(hall_study: Study) -> None:
    """Each figure of a later layout carries what it is above or below the first."""
    text = printed(lambda console: print_comparison(console, hall_study, [2, 1]))
    lines = {" ".join(line.split()) for line in text.splitlines()}
    expected = {
        "score 61.5 80.2 (+18.8)",
        'short hang 0" 60" (+60")',
        "sheets 1 2 (+1)",
        'open floor 0" 0"',
        "material cost 101.25 212.40 (+111.15)",
    }
    assert expected - lines == set()


def test_the_comparison_tells_what_stands_on_each_wall(hall_study: Study) -> None:
    """Walls with bays in any of the layouts have a line; others have none."""
    text = printed(lambda console: print_comparison(console, hall_study, [1, 2]), width=140)
    assert "wall B             2' 6\" double short hang under a top shelf" in text
    assert "wall A" not in text


def test_a_rank_that_is_not_there_is_refused(hall_study: Study) -> None:
    """A comparison with a layout that was never found is an error."""
    with pytest.raises(KeyError):
        print_comparison(make_console(io.StringIO()), hall_study, [1, 7])


@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("impossible", "impossible, proved"),
        ("traded_off", "traded off"),
        ("unknown", "not settled"),
    ],
)
def test_reasons_are_told_in_words(reason: str, words: str) -> None:
    """A need proved impossible is told apart from one traded off or left open."""
    unmet = Unmet.model_validate(
        {
            "need": "item:trunk",
            "required": 2,
            "achieved": 1,
            "shortfall": 1,
            "reason": reason,
            "detail": "",
        }
    )
    assert unmet_words(unmet, Units.INCH) == f"trunk: 1 of 2, 1 missing ({words})"


def test_strips_too_thin_for_a_tape_are_not_told(hall_data: dict[str, Any]) -> None:
    """A remainder of a few thousandths is no strip to cut."""
    fillers = hall_data["layouts"][0]["fillers"]
    fillers[0]["width"] = 0.004
    fillers.append({"wall": "B", "start": 0, "width": 0.058, "kind": "scribe"})
    study = Study.model_validate(hall_data)
    text = printed(lambda console: print_study(console, study))
    lines = [line.strip() for line in text.splitlines() if "scribe" in line]
    assert lines == ['scribe 1/16" wide, at 0" to 1/16"']


@pytest.mark.parametrize(("share", "words"), [(1.0, "100%"), (0.9999, "99%"), (0.29, "29%")])
def test_only_the_whole_is_a_hundred_per_cent(share: float, words: str) -> None:
    """A need missed by a hair is not shown as met."""
    assert share_words(share) == words


def test_the_bay_table_tells_what_carries_the_ends(hall_data: dict[str, Any]) -> None:
    """Wall, corner or upright, left and right, and where mid supports are."""
    first, second = hall_data["layouts"][0]["bays"]
    first.update(left="wall", mid_supports=[12, 24])
    second.update(right="corner")
    text = printed(lambda console: print_study(console, Study.model_validate(hall_data)), 140)
    assert 'wall, upright    double short hang under a top shelf, mid supports at 12", 24"' in text
    assert "upright, corner  5 shelves over floor for hamper" in text


def test_lines_load_and_margins_are_told_where_a_layout_has_them(
    hall_data: dict[str, Any],
) -> None:
    """One line for all walls, the strongest loaded part, and what walls may be off."""
    layout = hall_data["layouts"][0]
    told = {
        "lines": {"A": 84, "B": 84},
        "structure": {"share": 0.8213, "of": "board B1-S2, sag"},
        "margins": {"B": 0.25},
    }
    layout.update(told)
    text = printed(lambda console: print_study(console, Study.model_validate(hall_data)))
    assert 'Top board at 84" all round.\n' in text
    assert "Strongest loaded: board B1-S2, sag, 83% of its limit.\n" in text
    assert 'Still goes in where a wall is shorter by: B 1/4".\n' in text
    assert " ".join(table_rows(text, "Rank")[0].split()).endswith("83%")
    assert table_rows(text, "Rank")[1].endswith("-")
    assert "Peak load: largest share" in text


def test_lines_of_two_heights_are_told_by_wall(hall_data: dict[str, Any]) -> None:
    """Each height with its walls, and bays that stay under their wall's line."""
    layout = hall_data["layouts"][0]
    layout["lines"] = {"A": 72, "B": 84, "C": 72}
    layout["bays"][1]["height"] = 60
    text = printed(lambda console: print_study(console, Study.model_validate(hall_data)))
    told = 'Top board at 72" on walls A and C, 84" on wall B; lower over B2 (60").'
    assert told in " ".join(text.split())


def test_a_layout_without_them_says_nothing_of_lines_and_loads(hall_study: Study) -> None:
    """A study stored earlier reads as before."""
    text = printed(lambda console: print_study(console, hall_study))
    assert not any(words in text for words in ("Top board at", "Strongest", "Peak", "shorter by"))


def test_the_brief_echoes_how_it_is_built(hall_data: dict[str, Any]) -> None:
    """Lines, ends, what a tape may be off, and boxes kept clear under their wall."""
    brief = hall_data["brief"]
    brief["room"]["measuring_tolerance"] = 0.25
    brief["room"]["keep_clear"] = [
        {"wall": "B", "start": 34, "width": 8, "height": 40, "depth": 30, "why": "heater door"}
    ]
    brief["construction"] = {"top_line": "free", "wall_ends": "uprights"}
    study = Study.model_validate(hall_data)
    text = printed(lambda console: print_brief(console, study.brief, ()))
    for words in (
        'kept clear at 34" to 42" along, 0" to 40" up, 2\' 6" out: heater door',
        "top line free: each bay at its own height",
        "ends at walls: always on uprights",
        'measuring tolerance: walls may turn out 1/4" shorter',
    ):
        assert words in text
