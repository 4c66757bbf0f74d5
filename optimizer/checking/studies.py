"""Checking a study: every layout, and what is said of them together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from optimizer.checking.layouts import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.study import Study
from optimizer.errors import Fault

NOISE = 1e-6
"""What float noise may amount to in scores and differences."""


def check_study(brief: Brief, study: Study) -> tuple[Fault, ...]:
    """Every rule that a study's layouts break, with pointers into the study; empty if none.

    Beyond each layout: ranks count from 1, scores do not rise, no score is above its bound,
    and the table of differences is square, symmetric, zero on its diagonal and elsewhere at
    least what was asked. A leader is one of the ranked layouts, or another that obeys the rules.
    """
    findings = [
        replace(fault, pointer=f"/layouts/{index}{fault.pointer}")
        for index, layout in enumerate(study.layouts)
        for fault in check_layout(brief, layout)
    ]
    findings += _ranks(study)
    findings += _leaders(brief, study)
    findings += _differences(study)
    return tuple(findings)


def _ranks(study: Study) -> Iterator[Fault]:
    """Ranks, order of scores, and bounds."""
    for index, layout in enumerate(study.layouts):
        if layout.rank != index + 1:
            detail = f"layout {index + 1} of the study has rank {layout.rank}"
            yield Fault(f"/layouts/{index}/rank", detail, "rank")
        if layout.score > layout.bound + NOISE:
            yield Fault(
                f"/layouts/{index}/bound",
                f"a score of {layout.score:g} is above its bound of {layout.bound:g}",
                "bound",
            )
    for index, (better, worse) in enumerate(pairwise(study.layouts), start=1):
        if worse.score > better.score + NOISE:
            yield Fault(
                f"/layouts/{index}/score",
                f"{worse.score:g} points at rank {index + 1}, {better.score:g} before it",
                "score_order",
            )


def _leaders(brief: Brief, study: Study) -> Iterator[Fault]:
    """Leaders that are nowhere, and those that break a rule."""
    for index, leader in enumerate(study.leaders):
        pointer = f"/leaders/{index}"
        if (leader.rank is None) == (leader.layout is None):
            yield Fault(pointer, "a leader has either a rank or a layout of its own", "leader")
        if leader.rank is not None and not 1 <= leader.rank <= len(study.layouts):
            detail = f"there is no layout of rank {leader.rank}"
            yield Fault(f"{pointer}/rank", detail, "leader")
        if leader.layout is not None:
            for fault in check_layout(brief, leader.layout):
                yield replace(fault, pointer=f"{pointer}/layout{fault.pointer}")


def _differences(study: Study) -> Iterator[Fault]:
    """The table of differences."""
    table, count = study.differences, len(study.layouts)
    # One layout differs from nothing: an empty table says as much as a zero.
    if count <= 1 and not table:
        return
    if len(table) != count or any(len(row) != count for row in table):
        detail = f"{count} layouts need a table of {count} rows of {count} differences"
        yield Fault("/differences", detail, "differences")
        return
    for row in range(count):
        if abs(table[row][row]) > NOISE:
            yield Fault(f"/differences/{row}/{row}", "a layout differs from itself", "differences")
        for column in range(row + 1, count):
            yield from _pair(study, row, column)


def _pair(study: Study, row: int, column: int) -> Iterator[Fault]:
    """Both entries for one pair of layouts."""
    one, other = study.differences[row][column], study.differences[column][row]
    pointer = f"/differences/{row}/{column}"
    if abs(one - other) > NOISE:
        yield Fault(pointer, f"{one:g} one way, {other:g} the other", "differences")
    if min(one, other) < study.difference_asked - NOISE:
        yield Fault(
            pointer,
            f"layouts {row + 1} and {column + 1} differ by {min(one, other):g}; "
            f"{study.difference_asked:g} was asked",
            "differences",
        )
