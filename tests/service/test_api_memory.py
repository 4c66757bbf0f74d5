"""Answers kept in memory: never another's, never more than allowed."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from api.http.memory import AnswerCache


def counted(made: list[str], key: str, size: int) -> Iterator[bytes]:
    """A maker that notes that it was called."""
    made.append(key)
    yield key.encode() * size


def test_an_answer_is_made_once() -> None:
    """The second reader gets the same bytes without the work."""
    memory, made = AnswerCache(1000), []
    for _ in range(3):
        assert memory.get("a", lambda: next(counted(made, "a", 10))) == b"a" * 10
    assert made == ["a"]


def test_the_longest_unused_goes_first() -> None:
    """Beyond its size the memory forgets what nobody has asked for longest."""
    memory, made = AnswerCache(30), []
    for key in ("a", "b", "c", "a", "d", "a", "b"):
        memory.get(key, lambda key=key: next(counted(made, key, 10)))
    assert made == ["a", "b", "c", "d", "b"]


def test_what_is_too_large_is_not_kept() -> None:
    """One answer larger than the whole memory pushes nothing out."""
    memory, made = AnswerCache(30), []
    for key, size in itertools.chain([("a", 10), ("x", 31), ("a", 10), ("x", 31)]):
        memory.get(key, lambda key=key, size=size: next(counted(made, key, size)))
    assert made == ["a", "x", "x"]
