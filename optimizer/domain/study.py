"""A study: one run over a brief, with its ranked layouts."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, Any

from pydantic import Field

from optimizer.domain.brief import Brief, Pin
from optimizer.domain.fields import Record, WithUnits
from optimizer.domain.layout import Layout, TermName
from optimizer.domain.validation import units_of_study
from optimizer.units import Units


class Status(StrEnum):
    """How a study ended."""

    OPTIMAL = "optimal"
    WITHIN_GAP = "within_gap"
    TIME_LIMIT = "time_limit"
    CANCELLED = "cancelled"
    INFEASIBLE = "infeasible"
    ERROR = "error"


class Repair(Record):
    """A single change of the brief and what a solve proved of it.

    `patch` is the change as a JSON merge patch (RFC 7396) on the brief.
    """

    change: str
    effect: str
    proved: bool
    patch: dict[str, Any] = Field(default_factory=dict)
    leaves: dict[str, float] = Field(
        default_factory=dict,
        description="What its layout leaves short, by need; empty where all else is met.",
    )


class Warned(Record):
    """Something a builder should know; `pointer` leads to the field it is about."""

    code: str
    pointer: str
    detail: str


class Yardstick(Record):
    """What the room alone could do for each term: the scale of the score terms."""

    hanging: float
    shelving: float
    open_floor: float
    easy_reach: float
    low_cost: float
    simple_build: float


class Leader(Record):
    """The layout that does most for some priorities within the loss of score that is allowed.

    `names` say what it is best at, one for each of `terms`; `values` are what it reaches of
    them, `bounds` what any layout within that loss could reach at most, 0..1 as in the score;
    `proved` where the two agree within the gap asked for. A layout of the ranking is told by its
    `rank`, any other is there in full.
    """

    names: tuple[str, ...]
    terms: tuple[TermName, ...]
    values: tuple[float, ...]
    bounds: tuple[float, ...]
    proved: bool
    rank: int | None = None
    layout: Layout | None = None


class Depth(Record):
    """A depth of boards that changes."""

    before: float
    now: float


class Leaner(Record):
    """The layout nearest to one of the ranking that takes fewer sheets, found and checked.

    It is the ranked layout with boards so much shallower that one more comes out of the width of
    a sheet; no need is shorter met. `loss` is in points of score.
    """

    rank: int = Field(description="Rank of the layout that it is nearest to.")
    sheets: int
    saved: int = Field(description="Sheets less than that layout takes.")
    material_cost: float
    loss: float
    depths: tuple[Depth, ...]
    detail: str
    layout: Layout

    @property
    def told(self) -> str:
        """What changes and what it saves, in one line."""
        sheets = "1 sheet" if self.sheets == 1 else f"{self.sheets} sheets"
        before = self.sheets + self.saved
        return f"{self.detail}: {sheets} in place of {before}, material {self.material_cost:.0f}"


class SteadyBay(Record):
    """A bay of the earlier first layout that a rerun was to keep."""

    bay: str = Field(description="Its id in the earlier layout.")
    pin: Pin
    reason: str = Field(default="", description="Why it was let go; empty for one that was kept.")


class Steadied(Record):
    """What a rerun kept of the earlier first layout, and what it let go, widest first.

    All layouts of the rerun have the kept bays; their bounds speak of layouts that do.
    """

    share: float = Field(description="Share of the earlier first layout that was to be kept.")
    kept: tuple[SteadyBay, ...]
    let_go: tuple[SteadyBay, ...]


class Study(WithUnits):
    """One run over a brief: ranked layouts, how far apart they are, and what would help."""

    brief: Brief
    status: Status
    layouts: Annotated[tuple[Layout, ...], Field(max_length=40)] = ()
    exhausted: bool = Field(
        default=False, description="Proved: no further layout within the rules was left."
    )
    difference_asked: float = Field(
        default=0.0, description="Least distance between layouts, as asked in the options."
    )
    difference_proved: float = Field(
        default=0.0,
        description="Distance that the bounds speak of: nothing at least this far from the "
        "layouts before it scores above a layout's bound. A trifle above what was asked, "
        "for rounding to the grid.",
    )
    differences: tuple[tuple[float, ...], ...] = ()
    leaders: tuple[Leader, ...] = Field(
        default=(), description="For each priority the layout that does most for it; none twice."
    )
    leaner: tuple[Leaner, ...] = Field(
        default=(),
        description="For each layout, where there is one, the nearest that takes fewer sheets: at "
        "most a point of score less, and boards at most 16 % shallower.",
    )
    repairs: tuple[Repair, ...] = ()
    warnings: tuple[Warned, ...] = ()
    yardstick: Yardstick | None = None
    moved: tuple[str, ...] = Field(
        default=(), description="In a rerun: what changed against the earlier study."
    )
    stability: Steadied | None = Field(
        default=None, description="In a rerun with stability: what was kept and what let go."
    )
    versions: dict[str, str] = Field(default_factory=dict)
    seconds: float = 0.0

    @classmethod
    def units_of(cls, data: Mapping[str, Any]) -> Units:
        """The units of its brief, which are those of its layouts."""
        return units_of_study(data)
