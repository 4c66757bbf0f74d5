"""From a chosen layout to everything its build needs: checked, cut up, nested and drawn."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from functools import cached_property

from optimizer.buildpack.pack import pack_of
from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.pack import BuildPack, CheckStatus, StructuralCheck
from optimizer.drawing import (
    Drawing,
    View,
    draw_isometric,
    draw_sheet_pairs,
    draw_sheets,
    draw_sticks,
    draw_walls,
    isometric_views,
    picture_isometric,
)
from optimizer.errors import CheckFailedError
from optimizer.reference.prices import PriceBook, QuoteRates, invented_prices
from optimizer.stocking import NESTING_STEPS, stocked
from optimizer.stocking.plan import StockPlan

STRENGTH = frozenset({"span", "strength"})
"""Codes of the checker's findings on strength: told by the pack's own report, which is written
all the same, so that what fails can be seen and mended."""

PICTURE = (146.0, 100.0)
"""Room for the picture on covers [mm]."""


@dataclass(frozen=True)
class Delivery:
    """One layout with its build pack, its sheet and stick layouts and its drawings.

    `date` is put on the drawings and the document; without one the place stays blank.
    """

    brief: Brief
    layout: Layout
    pack: BuildPack
    plan: StockPlan
    date: datetime.date | None = None

    @property
    def failed(self) -> tuple[StructuralCheck, ...]:
        """Structural checks that fail: not to be built as drawn."""
        return tuple(c for c in self.pack.checks if c.status is CheckStatus.FAIL)

    @cached_property
    def wall_drawings(self) -> tuple[Drawing, ...]:
        """Plan and elevations with part ids."""
        return draw_walls(self.brief, self.layout, self.pack, date=self.date)

    @cached_property
    def room_drawings(self) -> tuple[Drawing, ...]:
        """Plan, elevations with part ids, isometric view."""
        seen = draw_isometric(self.brief, self.layout, self._views, date=self.date)
        return (*self.wall_drawings, seen)

    @cached_property
    def _views(self) -> list[View]:
        """Isometric views, worked out once for picture and drawing."""
        return isometric_views(self.brief, self.layout)

    @cached_property
    def sheet_drawings(self) -> tuple[Drawing, ...]:
        """One drawing for each sheet."""
        if self.plan.sheets is None:
            return ()
        return draw_sheets(
            self.plan.sheets,
            self.brief.units,
            self.brief.name,
            date=self.date,
            cautions=self._at_saw,
        )

    @cached_property
    def sheet_pairs(self) -> tuple[Drawing, ...]:
        """The sheets two to a drawing, for the document."""
        if self.plan.sheets is None:
            return ()
        return draw_sheet_pairs(
            self.plan.sheets,
            self.brief.units,
            self.brief.name,
            date=self.date,
            cautions=self._at_saw,
        )

    @property
    def _at_saw(self) -> list[str]:
        """Cautions for whoever stands at the saw."""
        return [c.text for c in self.pack.cautions if c.where in ("cut_list", "sheets")]

    @cached_property
    def stick_drawings(self) -> tuple[Drawing, ...]:
        """Rods, then strips."""
        made: list[Drawing] = []
        for what, result in (("Rods", self.plan.rods), ("Strips", self.plan.strips)):
            if result is not None:
                made += draw_sticks(
                    result, self.brief.units, self.brief.name, what=what, date=self.date
                )
        return tuple(made)

    @cached_property
    def picture(self) -> Drawing:
        """The isometric view without frame, for covers."""
        return picture_isometric(self._views, self.brief.units, PICTURE)

    @property
    def drawings(self) -> tuple[Drawing, ...]:
        """Every drawing."""
        return (*self.room_drawings, *self.sheet_drawings, *self.stick_drawings)


def build_pack(
    brief: Brief,
    layout: Layout,
    *,
    book: PriceBook | None = None,
    rates: QuoteRates | None = None,
    date: datetime.date | None = None,
    steps: int = NESTING_STEPS,
    fewer_sheets: str = "",
) -> Delivery:
    """Everything that building a layout needs; nothing is written.

    `book` replaces the invented prices and `rates` the book's rates; laying out the sheets
    takes at most `steps`, rods and strips as many again. `fewer_sheets` tells of the nearest
    layout that takes a sheet less. Raises CheckFailedError for a layout
    that breaks a rule of the brief, strength apart, which the pack itself reports (`failed`);
    BuildError, naming the part, for what cannot be cut or has no price.
    """
    # Checked again, whoever made the layout: it may have been edited by hand or come from an older
    # version. What it says of its strength may be that version's; the pack works it out.
    told = layout.model_copy(update={"structure": None})
    findings = [fault for fault in check_layout(brief, told) if fault.code not in STRENGTH]
    if findings:
        raise CheckFailedError(findings)
    prices = book or invented_prices()
    found = stocked(brief, layout, prices, steps)
    pack = pack_of(found.job, found.parts, found.plan, prices, rates)
    if fewer_sheets:
        pack = pack.model_copy(update={"fewer_sheets": fewer_sheets})
    return Delivery(brief, layout, pack, found.plan, date)
