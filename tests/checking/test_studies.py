"""A study passes when its layouts do and when ranks, bounds and differences make sense."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_study, require_checked
from optimizer.domain.brief import Brief
from optimizer.domain.study import Study
from optimizer.errors import CheckFailedError
from tests.checking.parts import Data
from tests.checking.samples import drawing, edit, single


def study(changes: dict[str, Any]) -> tuple[Brief, Study]:
    """Three equal layouts of falling score, said to differ by 0.3, with changes."""
    sample = single()
    layouts: list[Data] = []
    for rank, score in enumerate((80.0, 75.0, 75.0), start=1):
        layout = single()["layout"]
        layouts.append({**layout, "rank": rank, "score": score, "bound": score + 0.5, "terms": []})
    table = [[0.0 if row == column else 0.3 for column in range(3)] for row in range(3)]
    data = {
        "brief": sample["brief"],
        "status": "optimal",
        "layouts": layouts,
        "differences": table,
        "difference_asked": 0.3,
    }
    read = Study.model_validate(edit(data, changes))
    return read.brief, read


def found(changes: dict[str, Any]) -> list[tuple[str, str]]:
    """Code and pointer of every finding."""
    return [(fault.code, fault.pointer) for fault in check_study(*study(changes))]


def test_good_study_passes() -> None:
    """Equal scores may follow each other; a study without layouts is fine too."""
    assert found({}) == []
    assert found({"/layouts": [], "/differences": [], "/status": "infeasible"}) == []


def test_single_layout_needs_no_table() -> None:
    """One layout differs from nothing."""
    one = {"/layouts": [single()["layout"]], "/differences": []}
    assert found(one) == []
    assert found({**one, "/differences": [[0.0]]}) == []
    assert found({**one, "/differences": [[0.1]]}) == [("differences", "/differences/0/0")]


def test_findings_of_layouts_point_into_the_study() -> None:
    """A broken bay of the second layout is found under the second layout."""
    assert found({"/layouts/1/bays/1/height": 70.0}) == [
        ("upright_height", "/layouts/1/bays/1/height")
    ]


@pytest.mark.parametrize(
    ("changes", "findings"),
    [
        ({"/layouts/1/rank": 3}, [("rank", "/layouts/1/rank")]),
        ({"/layouts/0/rank": 2}, [("rank", "/layouts/0/rank")]),
        ({"/layouts/2/score": 75.1}, [("score_order", "/layouts/2/score")]),
        ({"/layouts/0/score": 70.0},
         [("score_order", "/layouts/1/score")]),
        ({"/layouts/1/bound": 74.9}, [("bound", "/layouts/1/bound")]),
        ({"/layouts/0/bound": 79.99999}, [("bound", "/layouts/0/bound")]),
        ({"/differences": []}, [("differences", "/differences")]),
        ({"/differences/1": [0.3, 0.0]}, [("differences", "/differences")]),
        ({"/differences/1/1": 0.1}, [("differences", "/differences/1/1")]),
        ({"/differences/0/2": 0.4}, [("differences", "/differences/0/2")]),
        ({"/differences/0/2": 0.29, "/differences/2/0": 0.29},
         [("differences", "/differences/0/2")]),
        ({"/differences/2/0": 0.2},
         [("differences", "/differences/0/2"), ("differences", "/differences/0/2")]),
        ({"/difference_asked": 0.31}, [("differences", f"/differences/{a}/{b}")
                                       for a, b in ((0, 1), (0, 2), (1, 2))]),
    ],
)  # fmt: skip
def test_figures_of_a_study_make_sense(
    changes: dict[str, Any], findings: list[tuple[str, str]]
) -> None:
    """Each wrong rank, order, bound or difference is found where it stands."""
    assert found(changes) == findings


def test_float_noise_is_forgiven() -> None:
    """Half a millionth is noise."""
    noise = {
        "/layouts/2/score": 75.0000005,
        "/layouts/0/bound": 79.9999995,
        "/difference_asked": 0.3000005,
        "/differences/0/1": 0.3000005,
    }
    assert found(noise) == []


def test_failed_check_carries_its_findings() -> None:
    """The error says what is wrong, with every finding on it."""
    brief, layout = drawing("single", {"/layout/bays/0/height": 70.0})
    with pytest.raises(CheckFailedError, match=r"upright.* 70 in.*83\.75 in") as caught:
        require_checked(brief, layout)
    assert [fault.code for fault in caught.value.findings] == ["upright_height"]
