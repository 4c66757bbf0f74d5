"""Arguments that several commands share, and how their texts are read."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from optimizer.errors import Fault, LayoutError

if TYPE_CHECKING:
    from optimizer.domain.study import Study

Subparsers = argparse._SubParsersAction  # argparse offers no public name for it

BRIEF_HELP = "a brief (JSON), a scenario's name, or - for standard input"


def ranks(text: str) -> tuple[int, ...]:
    """Ranks from `1,3`; a range such as `2-4` counts too."""
    found: list[int] = []
    for piece in text.split(","):
        first, dash, last = piece.strip().partition("-")
        if not first.isdecimal() or (dash and not last.isdecimal()):
            raise argparse.ArgumentTypeError(f"{text!r} is no list of ranks such as 1,3 or 2-4")
        low, high = int(first), int(last or first)
        if not 1 <= low <= high <= 99:
            raise argparse.ArgumentTypeError(f"{piece.strip()!r}: ranks are 1 to 99")
        found += range(low, high + 1)
    # Each once, in the order in which they were asked for.
    return tuple(dict.fromkeys(found))


def shown_ranks(text: str) -> tuple[int, ...] | None:
    """As `ranks`; `all` gives None and `none` gives no rank."""
    if text == "all":
        return None
    return () if text == "none" else ranks(text)


def weight(text: str) -> tuple[str, float]:
    """A priority's name and weight from `hanging=3`; what is allowed the brief's rules say."""
    name, sign, value = text.partition("=")
    try:
        if not sign or not name.strip():
            raise ValueError
        return name.strip(), float(value)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not NAME=WEIGHT such as hanging=3") from None


def add_show(parser: argparse.ArgumentParser) -> None:
    """Add `--show`, which chooses the layouts that are printed in full."""
    parser.add_argument(
        "--show",
        type=shown_ranks,
        default=(1,),
        metavar="RANKS",
        help="layouts to print in full: 1,3 or all or none (default: 1)",
    )


def chosen(study: Study, wanted: Sequence[int] | None) -> tuple[int, ...]:
    """Ranks of a study's layouts that were asked for, all of them for None.

    Raises LayoutError for a rank that the study does not have.
    """
    there = tuple(layout.rank for layout in study.layouts)
    if wanted is None:
        return there
    missing = [rank for rank in wanted if rank not in there]
    if missing:
        have = ", ".join(map(str, there)) or "none"
        detail = f"there is no layout {missing[0]}; the study has {have}"
        raise LayoutError([Fault("/layouts", detail, "no_such_layout")])
    return tuple(wanted)
