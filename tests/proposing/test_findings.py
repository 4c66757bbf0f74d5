"""Layouts found: costs are worked out beside the search, and told in order."""

from __future__ import annotations

import threading
from typing import Any

import pytest

from optimizer.domain.layout import Layout
from optimizer.errors import BuildError
from optimizer.proposing import findings, propose
from optimizer.proposing.assembly import costed
from optimizer.proposing.findings import Findings
from tests.ready_briefs import load_scenario

BRIEF = load_scenario("six-foot-reach-in")
PATIENCE_S = 60.0


@pytest.fixture(scope="module")
def layouts() -> tuple[Layout, ...]:
    """A few layouts as proposed."""
    return propose(BRIEF, repairs=False).layouts[:3]


def _uncosted(layout: Layout) -> Layout:
    """A layout before its cost is known."""
    assert layout.metrics is not None
    bare = {"material_cost": 0.0, "cost_error": 0.0, "sheets": 0, "parts": 0}
    return layout.model_copy(update={"metrics": layout.metrics.model_copy(update=bare)})


def test_all_are_found_in_order_with_the_cost_of_their_pack(layouts: tuple[Layout, ...]) -> None:
    """What is proposed has that cost already: the same one, whoever works it out and when."""
    found: list[Layout] = []
    told: list[Layout] = []
    with Findings(BRIEF, found, told.append) as making:
        for layout in layouts:
            making.add(_uncosted(layout), known=False)
            assert len(making.layouts) == layouts.index(layout) + 1
    assert tuple(found) == tuple(told) == layouts
    assert all(layout.metrics and layout.metrics.material_cost > 0 for layout in found)
    assert making.slowest > 0.0


def test_the_search_goes_on_while_a_cost_is_worked_out(
    layouts: tuple[Layout, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A look takes what is known by then and waits for nothing; what is owed grows meanwhile."""
    may_end = threading.Event()

    def slow(*arguments: Any, **options: Any) -> Layout:
        assert may_end.wait(PATIENCE_S)
        return costed(*arguments, **options)

    monkeypatch.setattr(findings, "costed", slow)
    found: list[Layout] = []
    with Findings(BRIEF, found, lambda _: None) as making:
        assert making.owed == 0.0
        making.add(_uncosted(layouts[0]), known=False)
        making.add(_uncosted(layouts[1]), known=False)
        making.look()
        assert found == []
        assert len(making.layouts) == 2
        may_end.set()
    assert tuple(found) == layouts[:2]
    assert making.owed == pytest.approx(making.slowest)


def test_what_is_known_comes_after_what_was_found_before(layouts: tuple[Layout, ...]) -> None:
    """A layout whose cost is known (a provisional one) does not pass those before it."""
    found: list[Layout] = []
    with Findings(BRIEF, found, lambda _: None) as making:
        making.add(_uncosted(layouts[0]), known=False)
        making.add(layouts[1], known=True)
        assert tuple(found) == layouts[:2]


def test_what_cannot_be_costed_is_told(
    layouts: tuple[Layout, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error on the other thread is the run's."""

    def fails(*_: Any, **__: Any) -> Layout:
        raise BuildError("no price for rods")

    monkeypatch.setattr(findings, "costed", fails)
    with pytest.raises(BuildError, match="no price for rods"), Findings(BRIEF, [], print) as making:
        making.add(_uncosted(layouts[0]), known=False)
