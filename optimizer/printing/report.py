"""A study as people read it in the terminal, from the ranked table to the warnings."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from rich.console import Console

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.room import Wall
from optimizer.domain.study import Status, Study, Warned
from optimizer.figures import at_most
from optimizer.printing.canvas import ASCII, UNICODE, Symbols
from optimizer.printing.console import make_table, print_bullet, takes_unicode
from optimizer.printing.details import (
    bays_of,
    mounts_of,
    print_build,
    print_scores,
    print_unmet,
    print_wall,
    wall_words,
)
from optimizer.printing.elevation import elevation, legend
from optimizer.printing.ranking import print_ranking
from optimizer.printing.surroundings import opening_words
from optimizer.printing.words import clean, describe_bay, mount_words
from optimizer.units import format_length

MOST_BAYS = 6
"""Bays told of a layout in one line."""
STATUS_WORDS = {
    Status.OPTIMAL: "each proved best of its rank",
    Status.WITHIN_GAP: "each proved best of its rank to within the gap asked for",
    Status.TIME_LIMIT: "stopped at the time limit, bounds hold",
    Status.CANCELLED: "stopped on request, bounds hold",
    Status.INFEASIBLE: "nothing can be built",
    Status.ERROR: "stopped by an error",
}


def symbols_for(console: Console) -> Symbols:
    """Line-drawing characters where the console takes them, else ASCII ones."""
    return UNICODE if takes_unicode(console) else ASCII


def _openings_of(brief: Brief, wall: Wall) -> list[str]:
    """The openings of a wall in words."""
    found = [opening for opening in brief.room.openings if opening.wall == wall.id]
    return [opening_words(opening, brief.units) for opening in found]


def _status_words(study: Study) -> str:
    """How the study ended; where layouts came out below what was proved, it says so."""
    proved = study.status in (Status.OPTIMAL, Status.WITHIN_GAP)
    if proved and any(layout.status == "bounded" for layout in study.layouts):
        return "bounds proved; some gaps are wider than asked for"
    return STATUS_WORDS[study.status]


def _print_heading(console: Console, study: Study) -> None:
    """Name, count, status and time of the study, and what has changed in a rerun."""
    count = len(study.layouts)
    layouts = "1 layout" if count == 1 else f"{count} layouts"
    console.print(
        f"{clean(study.brief.name)}: {layouts}, {_status_words(study)}, {study.seconds:.1f} s",
        style="bold",
    )
    if study.exhausted and study.layouts:
        console.print("Proved: within the quality and difference asked for there are no more.")
    for change in study.moved:
        print_bullet(console, f"changed since the earlier study: {clean(change)}")


def print_wall_in_full(console: Console, brief: Brief, layout: Layout, wall: Wall) -> None:
    """Print a wall's bays as a table and as an elevation, or what keeps it empty."""
    heading = "; ".join([wall_words(wall, brief), *_openings_of(brief, wall)])
    if not bays_of(layout, wall) and not mounts_of(layout, wall):
        print_bullet(console, f"{heading}; nothing stands here", "")
        return
    console.print(heading, style="bold")
    print_wall(console, brief, layout, wall)
    console.print()
    symbols = symbols_for(console)
    # Not `print`, which wraps: the lines of a picture are to be let alone.
    for line in elevation(brief, layout, wall.id, width=console.width, symbols=symbols):
        console.out(line, highlight=False)


def print_layout_in_full(console: Console, brief: Brief, layout: Layout) -> None:
    """Print one layout: score lines, unmet needs, and every wall with table and elevation."""
    console.print()
    console.rule(f"Layout {layout.rank}", characters="-", align="left")
    print_scores(console, layout)
    print_build(console, brief, layout)
    print_unmet(console, brief, layout)
    for wall in brief.room.walls:
        console.print()
        print_wall_in_full(console, brief, layout, wall)
    console.print()
    console.print(f"In the drawings: {legend(symbols_for(console))}.")


def print_layout_in_short(console: Console, brief: Brief, layout: Layout) -> None:
    """Print one layout in a few lines: what each bay is, and the unmet needs."""
    console.print()
    console.rule(f"Layout {layout.rank}", characters="-", align="left")
    for wall in brief.room.walls:
        for bay in bays_of(layout, wall):
            width = format_length(bay.width, brief.units)
            print_bullet(console, f"{width} wide, {describe_bay(bay)}", f"  {clean(bay.id)}: ")
        for mount in mounts_of(layout, wall):
            print_bullet(console, mount_words(mount, brief.units), f"  {clean(wall.id)}: ")
    print_unmet(console, brief, layout)


def print_leaders(console: Console, study: Study) -> None:
    """The layout that does most for each priority."""
    if not study.leaders:
        return
    loss = study.brief.options.max_quality_loss
    console.print(f"Best at one thing, within {loss:.0%} of the best score:", style="bold")
    for leader in study.leaders:
        if leader.rank is not None:
            where = f"layout {leader.rank}"
        else:
            where = describe_layout(leader.layout) if leader.layout else "a layout"
        most = at_most(100 * max(leader.bounds), 0)
        sure = "proved" if leader.proved else f"at most {most}% is possible"
        reached = ", ".join(f"{value:.0%}" for value in leader.values)
        print_bullet(console, f"{', '.join(leader.names)}: {where} (reaches {reached}; {sure})")


def print_leaner(console: Console, study: Study) -> None:
    """For each layout the nearest that takes fewer sheets."""
    if not study.leaner:
        return
    console.print("Fewer sheets:", style="bold")
    for one in study.leaner:
        print_bullet(console, f"layout {one.rank} with {one.told}")


def describe_layout(layout: Layout) -> str:
    """A layout outside the ranking in one line: its score and its bays."""
    bays = "; ".join(f"{bay.wall}: {describe_bay(bay)}" for bay in layout.bays[:MOST_BAYS])
    more = ", ..." if len(layout.bays) > MOST_BAYS else ""
    return f"another, of {layout.score:.1f} points: {clean(bays)}{more}"


def print_differences(console: Console, study: Study) -> None:
    """Print how far every two layouts are apart, as a share of all that could differ."""
    if len(study.differences) < 2:
        return
    console.print()
    console.print("How far apart they are (0% alike, 100% nothing alike):", style="bold")
    table = make_table()
    table.add_column("", no_wrap=True)
    for layout in study.layouts:
        table.add_column(f"{layout.rank}", justify="right", no_wrap=True)
    # Not strict: a study edited by hand may have lost a layout and kept its row.
    for layout, row in zip(study.layouts, study.differences, strict=False):
        table.add_row(f"{layout.rank}", *(f"{value * 100:.0f}%" for value in row))
    console.print(table)


def print_repairs(console: Console, study: Study) -> None:
    """Print the single changes of the brief that would help, each with what was proved."""
    if not study.repairs:
        return
    console.print()
    console.print("What one change of the brief would do:", style="bold")
    for repair in study.repairs:
        proof = "proved" if repair.proved else "not proved"
        print_bullet(console, f"{clean(repair.change)}: {clean(repair.effect)} ({proof})")


def print_warnings(console: Console, warnings: Sequence[Warned]) -> None:
    """Print what a builder should know, each with the field it is about."""
    if not warnings:
        return
    console.print()
    console.print("Warnings:", style="bold")
    for warning in warnings:
        place = f"{clean(warning.pointer)}: " if warning.pointer else ""
        print_bullet(console, f"{place}{clean(warning.detail)}")


def print_study(console: Console, study: Study, shown: Collection[int] = (1,)) -> None:
    """Print a study; layouts whose rank is in `shown` come in full, the others in short."""
    _print_heading(console, study)
    if study.layouts:
        print_ranking(console, study)
        print_leaders(console, study)
        print_leaner(console, study)
    for layout in study.layouts:
        if layout.rank in shown:
            print_layout_in_full(console, study.brief, layout)
        else:
            print_layout_in_short(console, study.brief, layout)
    print_differences(console, study)
    print_repairs(console, study)
    print_warnings(console, study.warnings)
