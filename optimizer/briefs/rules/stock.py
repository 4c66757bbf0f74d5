"""Rules of the construction: depths, bay widths, sheets; and of the priorities."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.domain.needs import Hang
from optimizer.errors import Fault
from optimizer.units import ceil_to, floor_to


def _rod(view: BriefView) -> Iterator[Fault]:
    """The rod hangs inside the hanging depth."""
    construction = view.brief.construction
    if construction.rod_setback >= construction.hang_depth:
        yield Fault(
            "/construction/rod_setback",
            f"a rod {view.say(construction.rod_setback)} from the wall is not inside the hanging "
            f"depth of {view.say(construction.hang_depth)}",
            "rod_setback_too_large",
        )


def _bay_widths(view: BriefView) -> Iterator[Fault]:
    """Some width on the rounding grid lies between the least and the largest."""
    construction = view.brief.construction
    least, largest = construction.min_bay_width, construction.max_bay_width
    grid = view.units.grid
    if least > largest:
        rule = f"is more than max_bay_width {view.say(largest)}"
    elif ceil_to(least, grid) > floor_to(largest, grid) + view.tolerance:
        rule = f"and max_bay_width {view.say(largest)} leave no width that is a multiple of " + (
            view.say(grid)
        )
    else:
        return
    yield Fault(
        "/construction/min_bay_width",
        f"min_bay_width {view.say(least)} {rule}",
        "bay_widths",
    )


def _hang_width(view: BriefView) -> Iterator[Fault]:
    """A bay may be as wide as a rod asks for, where hanging is wanted."""
    construction = view.brief.construction
    least, largest = construction.min_hang_width, construction.max_bay_width
    if _hangs(view) and least > largest + view.tolerance:
        yield Fault(
            "/construction/min_hang_width",
            f"min_hang_width {view.say(least)} is more than max_bay_width {view.say(largest)}, so "
            "that nothing could be hung",
            "bay_widths",
        )


def _carried(view: BriefView) -> Iterator[Fault]:
    """With neither stiffeners nor mid supports the narrowest bay still has a board, and a rod."""
    construction = view.brief.construction
    if construction.mid_support != "none":
        return
    plain = construction.max_plain_span
    if not construction.stiffener_allowed and plain < construction.min_bay_width - view.tolerance:
        yield Fault(
            "/construction/max_plain_span",
            f"boards may span {view.say(plain)}, without stiffeners or mid supports, and the "
            f"narrowest bay is {view.say(construction.min_bay_width)}",
            "span_too_short",
        )
    narrowest = max(construction.min_bay_width, construction.min_hang_width)
    if _hangs(view) and construction.rod_support_spacing < narrowest - view.tolerance:
        yield Fault(
            "/construction/rod_support_spacing",
            f"rods may span {view.say(construction.rod_support_spacing)}, without mid supports, "
            f"and the narrowest bay with a rod is {view.say(narrowest)}",
            "span_too_short",
        )


def _hangs(view: BriefView) -> bool:
    """Whether anything is to hang."""
    needs = view.brief.needs
    return bool(needs.garments) or any(needs.explicit_hang(hang) for hang in Hang)


def _sheet(view: BriefView) -> Iterator[Fault]:
    """A sheet, trimmed, yields the uprights and shelves that are asked for."""
    construction = view.brief.construction
    narrow, long = (side - 2 * construction.edge_trim for side in sorted(construction.sheet))
    if narrow <= 0:
        yield Fault(
            "/construction/edge_trim",
            f"trimming {view.say(construction.edge_trim)} off each edge leaves nothing of a sheet "
            f"{view.say(min(construction.sheet))} wide",
            "sheet_too_small",
        )
        return
    for part, width, length in _least_parts(view):
        # Turned as it fits best, whatever the grain asks: a rule refuses only what no layout could
        # have.
        small, large = sorted((width, length))
        if small > narrow + view.tolerance or large > long + view.tolerance:
            yield Fault(
                "/construction/sheet",
                f"{part} {view.say(width)} x {view.say(length)} cannot be cut from a sheet that "
                f"yields {view.say(long)} x {view.say(narrow)}",
                "sheet_too_small",
            )


def _least_parts(view: BriefView) -> Iterator[tuple[str, float, float]]:
    """The smallest of each part that any layout for these needs has: name and size."""
    construction, needs = view.brief.construction, view.brief.needs
    yield "the narrowest shelf", needs.shelf_depth, construction.min_bay_width
    if _hangs(view):
        drop = min(needs.hang_drop.of(hang) for hang in Hang)
        yield "the lowest upright beside a rod", construction.hang_depth, drop


def _priorities(view: BriefView) -> Iterator[Fault]:
    """At least one priority weighs something."""
    if not any(view.brief.priorities.weights().values()):
        yield Fault(
            "/priorities",
            "every priority is 0; give at least one of them a weight",
            "no_priorities",
        )


RULES = (
    Rule(_rod, ("construction",)),
    Rule(_bay_widths, ("construction",)),
    Rule(_hang_width, ("construction", "needs")),
    Rule(_carried, ("construction", "needs")),
    Rule(_sheet, ("construction", "needs")),
    Rule(_priorities, ("priorities",)),
)
