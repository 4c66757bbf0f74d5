"""JSON from outside read safely: size, encoding, depth, doubled keys, odd numbers."""

from __future__ import annotations

import json
import math
from collections import Counter
from pathlib import Path
from typing import Any

from optimizer.domain.validation import pointer_of
from optimizer.errors import Fault

MAX_BRIEF_BYTES = 1_000_000
MAX_STUDY_BYTES = 20_000_000
MAX_DEPTH = 24
"""Deepest nesting taken; a brief needs 6 levels, a study 8 beside its repairs' patches."""

_MAX_BITS = 1024
"""Integers beyond this have no float; nothing in a brief is that large."""

_MOST_BITS = 10_000
"""Integers beyond this cannot even be shown."""


class _Doubled(dict[str, Any]):
    """An object that was written with some of its keys twice."""

    names: tuple[str, ...] = ()


class UnreadableError(Exception):
    """Nothing can be read at all; `fault` says why."""

    def __init__(self, detail: str, code: str) -> None:
        """`detail` for a person, `code` for a program: the fault stands at the root, since there
        are no places in what cannot be read."""
        super().__init__(detail)
        self.fault = Fault("", detail, code)


def read_bytes(path: Path | str, limit: int) -> bytes:
    """The bytes of a file of at most `limit` bytes; UnreadableError otherwise."""
    try:
        with Path(path).open("rb") as stream:
            # One byte more than allowed is enough to know, whatever the file is.
            content = stream.read(limit + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise UnreadableError(f"cannot read {str(path)!r}: {reason}", "unreadable") from None
    return content


def parse_json(text: str | bytes, limit: int) -> tuple[Any, list[Fault]]:
    """Data of a JSON text, with faults of its form; UnreadableError when it is no JSON."""
    # Of a str this counts characters, which may be several bytes each; it is in memory already, so
    # only the work of parsing is to be bounded.
    if len(text) > limit:
        raise UnreadableError(
            f"the text is larger than {limit:,} bytes, the most that is taken", "too_big"
        )
    if isinstance(text, bytes | bytearray):
        try:
            text = text.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise UnreadableError(f"not UTF-8 text: byte {error.start}", "not_utf8") from None
    try:
        data = json.loads(text.removeprefix("\ufeff"), object_pairs_hook=_object)
    except json.JSONDecodeError as error:
        raise UnreadableError(
            f"no valid JSON: {error.msg} at line {error.lineno}, column {error.colno}",
            "invalid_json",
        ) from None
    except RecursionError:
        raise _too_deep() from None
    except ValueError:
        # Python refuses integers of thousands of digits.
        raise _too_many_digits() from None
    return data, faults_of_form(data)


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object, marked when a key was given twice."""
    plain = dict(pairs)
    if len(plain) == len(pairs):
        return plain
    # Marked rather than refused at once: the hook is called for inner objects first and does not
    # know where they stand, which a fault has to tell.
    marked = _Doubled(plain)
    given = Counter(name for name, _ in pairs)
    marked.names = tuple(name for name in plain if given[name] > 1)
    return marked


def _too_deep() -> UnreadableError:
    """The error for JSON that is nested too deep to be read."""
    return UnreadableError(f"nested more than {MAX_DEPTH} levels deep", "too_deep")


def _too_many_digits() -> UnreadableError:
    """The error for a number that no float can hold."""
    return UnreadableError("a number has too many digits", "not_finite")


def faults_of_form(data: Any) -> list[Fault]:
    """Faults that any data may have: doubled or odd keys, numbers and texts that are none.

    Raises UnreadableError for data nested too deep (or in itself).
    """
    faults: list[Fault] = []
    waiting: list[tuple[tuple[str | int, ...], Any]] = [((), data)]
    # A list of its own instead of recursion, which deep data would exhaust.
    while waiting:
        steps, value = waiting.pop()
        if len(steps) > MAX_DEPTH:
            raise _too_deep()
        if isinstance(value, int) and value.bit_length() > _MOST_BITS:
            raise _too_many_digits()
        fault = _fault_of_value(value)
        if fault:
            faults.append(Fault(_pointer(steps, data), *fault))
        if isinstance(value, dict):
            faults += _faults_of_keys(value, steps, data)
            waiting += [((*steps, key), inner) for key, inner in value.items()]
        elif isinstance(value, list | tuple):
            waiting += [((*steps, index), inner) for index, inner in enumerate(value)]
    return faults


def _pointer(steps: tuple[str | int, ...], data: Any) -> str:
    """JSON Pointer in plain Unicode of a place in the data."""
    return pointer_of(steps, data).encode("utf-8", "backslashreplace").decode()


def _fault_of_value(value: Any) -> tuple[str, str] | None:
    """(detail, code) when a single value cannot be in JSON or in any brief."""
    if isinstance(value, float) and not math.isfinite(value):
        return f"{value} is no number in JSON, or too large for one", "not_finite"
    if isinstance(value, int) and value.bit_length() > _MAX_BITS:
        return "a number has too many digits", "not_finite"
    if isinstance(value, str) and _broken(value):
        return "the text holds half of a character (a lone surrogate)", "not_unicode"
    return None


def _faults_of_keys(value: dict[Any, Any], steps: tuple[str | int, ...], data: Any) -> list[Fault]:
    """Faults of an object's keys."""
    faults = []
    for key in value:
        if not isinstance(key, str) or _broken(key):
            faults.append(Fault(_pointer(steps, data), f"{key!a} is no key", "not_unicode"))
    if isinstance(value, _Doubled):
        faults += [
            Fault(_pointer((*steps, name), data), f"{name[:60]!r} is given twice", "duplicate_key")
            for name in value.names
        ]
    return faults


def _broken(text: str) -> bool:
    """Whether a text cannot be written as UTF-8."""
    try:
        # JSON's "\ud800" is read without complaint and only fails where the text is next written.
        text.encode()
    except UnicodeEncodeError:
        return True
    return False
