"""Everything the program raises on purpose.

::

    OptimizerError
    ├── InputError            carries a list of Fault; exit status 2
    │   ├── BriefError        the brief (or a patch of it) breaks a rule
    │   ├── LayoutError       a layout or study file breaks a rule
    │   └── PriceBookError    a price book breaks a rule
    ├── NothingBuildableError no layout obeys the brief's hard rules; exit status 3
    ├── CheckFailedError      a layout did not pass the independent checker
    ├── SolverFailedError     the solver stopped for a reason other than a limit
    ├── UnplacedError         chosen bays found no places on their walls; never leaves a search
    └── BuildError            a layout cannot be turned into parts or sheets
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One broken rule: where (JSON Pointer, RFC 6901), what, and a stable code."""

    pointer: str
    detail: str
    code: str

    def __str__(self) -> str:
        """In one line for a person, with the code for whoever looks it up; `/` stands for the
        whole document."""
        return f"{self.pointer or '/'}: {self.detail} [{self.code}]"


class OptimizerError(Exception):
    """Base of every error raised on purpose."""


class InputError(OptimizerError):
    """Something handed in breaks at least one rule; `faults` lists every one found."""

    subject = "input"

    def __init__(self, faults: Sequence[Fault]) -> None:
        """`faults` in the order in which they are to be told, at least one."""
        self.faults: tuple[Fault, ...] = tuple(faults)
        count = len(self.faults)
        lines = [f"the {self.subject} has {count} fault{'' if count == 1 else 's'}:"]
        super().__init__("\n".join([*lines, *(f"  {fault}" for fault in self.faults)]))


class BriefError(InputError):
    """The brief breaks at least one rule."""

    subject = "brief"


class LayoutError(InputError):
    """A layout or study breaks at least one rule."""

    subject = "layout"


class PriceBookError(InputError):
    """A price book breaks at least one rule."""

    subject = "price book"


class NothingBuildableError(OptimizerError):
    """No layout at all obeys the hard rules of the brief (pins included)."""


class CheckFailedError(OptimizerError):
    """A layout did not pass the independent checker; `findings` says why."""

    def __init__(self, findings: Sequence[Fault]) -> None:
        """`findings` as the checker gave them, at least one."""
        self.findings: tuple[Fault, ...] = tuple(findings)
        super().__init__(
            "the layout did not pass the checker:\n" + "\n".join(f"  {f}" for f in findings)
        )


class SolverFailedError(OptimizerError):
    """The solver gave neither an answer nor a limit; never to be read as infeasible."""


class UnplacedError(OptimizerError):
    """The bays that a plan chose could not be given places on their walls."""


class BuildError(OptimizerError):
    """A part cannot be made or priced; the message names the part."""
