"""Bodies made to hurt: what they cost grows with their size, not with its square."""

from __future__ import annotations

import json
import time
from collections.abc import Callable

import pytest

from optimizer.briefs.reader import MAX_FAULTS, read_brief_text
from optimizer.errors import BriefError

ROOM = '"room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 96}]}'
NEEDS = '"needs": {"short_hang": 40}'


def unknown_keys(number: int) -> str:
    """A sound brief with that many keys that no brief has."""
    extra = ", ".join(f'"k{index}": 0' for index in range(number))
    return f"{{{ROOM}, {NEEDS}, {extra}}}"


def doubled_keys(number: int) -> str:
    """A brief with that many keys, each given twice."""
    extra = ", ".join(f'"k{index}": 0, "k{index}": 1' for index in range(number))
    return f"{{{ROOM}, {NEEDS}, {extra}}}"


def unknown_in_walls(number: int) -> str:
    """The same within the walls."""
    walls = json.dumps([{"id": f"W{index}", "length": 96, "k": 0} for index in range(number)])
    return f'{{"room": {{"ceiling_height": 96, "walls": {walls}}}, {NEEDS}}}'


@pytest.mark.parametrize("body", [unknown_keys, doubled_keys, unknown_in_walls])
def test_faults_are_found_in_one_pass(body: Callable[[int], str]) -> None:
    """Four times the size costs about four times the time (16 times where each is looked at
    against each), and no more faults are told than anyone reads."""
    spent = {number: cost(body(number)) for number in (1500, 6000)}
    assert spent[6000] < 9 * spent[1500]


def cost(text: str) -> float:
    """Processor time that reading takes [s], the least of three."""
    taken = []
    for _ in range(3):
        began = time.process_time()
        with pytest.raises(BriefError) as caught:
            read_brief_text(text)
        taken.append(time.process_time() - began)
        assert len(caught.value.faults) == MAX_FAULTS + 1
    return min(taken)
