"""First layouts of the ready briefs, proposed once for all tests that look at them."""

from __future__ import annotations

from functools import cache

from optimizer.domain.brief import Brief
from optimizer.domain.study import Study
from tests.layouts import propose_layouts
from tests.ready_briefs import load_scenario

GAP = 0.03
WIDE_GAP = 0.3
GAPS = {
    "attic-walk-in": WIDE_GAP,
    "dressing-room": WIDE_GAP,
    "galley-walk-in": WIDE_GAP,
    "knee-wall": 0.02,
    "seated-user": WIDE_GAP,
    "six-foot-reach-in": 0.01,
    "two-households": WIDE_GAP,
}
"""Gaps of rooms of which any layout will do, since only its bays are asked for again, and a proof
takes long; and of two of which more is expected."""
PATIENCE_S = 300.0
"""Never met but on a machine with much else to do: the gaps end a search in seconds."""


def brief_asked(name: str, **options: object) -> Brief:
    """A ready brief that asks for one layout, near the best."""
    brief = load_scenario(name)
    quick = {"alternatives": 1, "gap": GAPS.get(name, GAP), "time_limit_s": PATIENCE_S}
    return brief.model_copy(
        update={"options": brief.options.model_copy(update={**quick, **options})}
    )


@cache
def proposed(name: str) -> Study:
    """The study of that brief."""
    return propose_layouts(brief_asked(name))
