"""One layout in full: score lines, the bays of each wall, strips and unmet needs."""

from __future__ import annotations

import math

from rich.console import Console

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Filler, Layout, Mount, TermName, Unmet
from optimizer.domain.room import Slope, Wall
from optimizer.printing.console import make_table, print_bullet
from optimizer.printing.words import (
    amount_words,
    clean,
    describe_bay,
    describe_zone,
    ends_words,
    line_words,
    margin_words,
    mount_words,
    need_words,
    span_words,
    strain_words,
    support_words,
)
from optimizer.units import Units, format_length, format_short

TERM_WORDS = {
    TermName.NEEDS: "needs met",
    TermName.HANGING: "hanging",
    TermName.SHELVING: "shelving",
    TermName.OPEN_FLOOR: "open floor",
    TermName.EASY_REACH: "easy reach",
    TermName.LOW_COST: "low cost",
    TermName.SIMPLE_BUILD: "simple build",
}

REASON_WORDS = {
    "impossible": "impossible, proved",
    "traded_off": "traded off",
    "unknown": "not settled",
}


def bays_of(layout: Layout, wall: Wall) -> list[Bay]:
    """Bays on `wall` from left to right."""
    return sorted((bay for bay in layout.bays if bay.wall == wall.id), key=lambda bay: bay.start)


def mounts_of(layout: Layout, wall: Wall) -> list[Mount]:
    """Hooks and mirrors on `wall` from left to right."""
    own = (mount for mount in layout.mounts if mount.wall == wall.id)
    return sorted(own, key=lambda mount: mount.start)


def strips_of(layout: Layout, wall: Wall, units: Units) -> list[Filler]:
    """Scribe and filler strips on `wall` from left to right.

    What would round to a width of nothing is left out: no tape shows it.
    """
    least = units.grid / 2
    strips = [s for s in layout.fillers if s.wall == wall.id and s.width >= least]
    return sorted(strips, key=lambda strip: strip.start)


def wall_words(wall: Wall, brief: Brief) -> str:
    """A wall by name, length and clear height."""
    length = format_length(wall.clear_length, brief.units)
    if isinstance(wall.height, Slope):
        left = format_length(wall.height.left, brief.units)
        right = format_length(wall.height.right, brief.units)
        return f"Wall {wall.id}: {length} long, sloping from {left} (left) to {right} (right)"
    height = wall.height_at(0.0, brief.room.ceiling_height)
    return f"Wall {wall.id}: {length} long, {format_length(height, brief.units)} high"


def strip_words(strip: Filler, units: Units) -> str:
    """One strip: what it is, how wide, and where."""
    word = "scribe" if strip.kind == "scribe" else "filler strip"
    where = span_words(strip.start, strip.start + strip.width, units)
    return f"{word} {format_length(strip.width, units)} wide, at {where}"


def share_words(share: float) -> str:
    """A share in whole per cent; 100% only where nothing is missing."""
    # A hair more, since 0.29 * 100 is 28.999...
    return f"{math.floor(share * 100 + 1e-9)}%"


def print_scores(console: Console, layout: Layout) -> None:
    """Print the score line by line: weight, share reached, points."""
    if not layout.terms:
        return
    table = make_table()
    table.add_column("Score line")
    for head in ("Weight", "Reached", "Points"):
        table.add_column(head, justify="right", no_wrap=True)
    for term in layout.terms:
        table.add_row(
            TERM_WORDS[term.name],
            f"{term.weight:g}",
            share_words(term.value),
            f"{term.points:.1f}",
        )
    console.print(table)


def print_build(console: Console, brief: Brief, layout: Layout) -> None:
    """Print how a layout stands: its lines, what is nearest to its limit, what may be off."""
    for words in (
        line_words(layout, brief.units),
        strain_words(layout),
        margin_words(layout, brief.units),
    ):
        if words:
            console.print(f"{words}.")


def print_wall(console: Console, brief: Brief, layout: Layout, wall: Wall) -> None:
    """Print one wall's bays from left to right, each with its levels from the floor up."""
    units = brief.units
    table = make_table()
    table.add_column("Bay", no_wrap=True)
    for head in ("Start", "Width", "Depth"):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_column("Carried by", no_wrap=True)
    table.add_column("From the floor up")
    for bay in bays_of(layout, wall):
        stiffened = ", front stiffeners" if bay.stiffened else ""
        supports = support_words(bay, units)
        supported = f", {supports}" if supports else ""
        levels = [f"{number}. {describe_zone(z, units)}" for number, z in enumerate(bay.zones, 1)]
        table.add_row(
            clean(bay.id),
            format_short(bay.start, units),
            format_short(bay.width, units),
            format_short(bay.depth, units),
            ends_words(bay),
            "\n".join([describe_bay(bay) + stiffened + supported, *levels]),
        )
    if table.row_count:
        console.print(table)
    for mount in mounts_of(layout, wall):
        print_bullet(console, mount_words(mount, units), "  ")
    for strip in strips_of(layout, wall, units):
        print_bullet(console, strip_words(strip, units), "  ")


def unmet_words(unmet: Unmet, units: Units) -> str:
    """One unmet need as a sentence: what was wanted, what came, why, and the price."""
    wanted, got, short = (
        amount_words(unmet.need, amount, units)
        for amount in (unmet.required, unmet.achieved, unmet.shortfall)
    )
    price = "" if unmet.price is None else f", price {unmet.price:.1f} points"
    detail = f": {clean(unmet.detail)}" if unmet.detail else ""
    reason = REASON_WORDS[unmet.reason]
    return f"{need_words(unmet.need)}: {got} of {wanted}, {short} missing ({reason}{price}){detail}"


def print_unmet(console: Console, brief: Brief, layout: Layout) -> None:
    """Print the needs a layout does not meet, or that it meets them all."""
    if not layout.unmet:
        console.print("Every need is met.")
        return
    console.print("Unmet needs:")
    for unmet in layout.unmet:
        print_bullet(console, unmet_words(unmet, brief.units))
