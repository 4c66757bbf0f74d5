"""Problem details (RFC 9457) on the wire."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field

from api.http.errors import KINDS
from api.http.wire import Wire
from optimizer.errors import Fault


class ErrorEntry(Wire):
    """One broken rule: JSON Pointer into the body, what is wrong, and a stable code."""

    pointer: str
    detail: str
    code: str

    @classmethod
    def of(cls, fault: Fault) -> Self:
        """A fault as it is told."""
        return cls(pointer=fault.pointer, detail=fault.detail, code=fault.code)


class Problem(Wire):
    """Why a request was not answered as asked."""

    type: str = Field(description="Address of the code's description.")
    title: str
    status: int
    detail: str
    code: str = Field(description="Stable: clients may act on it.")
    errors: tuple[ErrorEntry, ...]
    limit: Annotated[float, Field(description="The limit that was passed, if one was.")] | None = (
        None
    )
    instance: str | None = None
    request_id: str | None = None


class StudyProblem(Wire):
    """Why a study ended without doing all that was asked."""

    type: str
    title: str
    status: int
    detail: str
    code: str
    errors: tuple[ErrorEntry, ...]


class ProblemCode(Wire):
    """One code that problems of this service carry."""

    code: str
    status: int
    title: str

    @classmethod
    def of(cls, code: str) -> Self:
        """What a code means."""
        return cls(code=code, status=KINDS[code].status, title=KINDS[code].title)


class ProblemCodes(Wire):
    """Every code there is."""

    items: tuple[ProblemCode, ...]

    @classmethod
    def all(cls, most: int | None = None) -> Self:
        """The codes, or the first few of them."""
        return cls(items=tuple(ProblemCode.of(code) for code in list(KINDS)[:most]))
