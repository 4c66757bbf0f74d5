"""A brief as it was understood, and briefs as a list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rich.console import Console

from optimizer.domain.brief import Brief
from optimizer.domain.needs import Hang, Item
from optimizer.domain.study import Warned
from optimizer.printing.console import make_table, print_bullet
from optimizer.printing.details import wall_words
from optimizer.printing.report import print_warnings
from optimizer.printing.surroundings import kept_words, obstruction_words, opening_words
from optimizer.printing.words import clean, counted_words
from optimizer.reference.mounted import mounted_of
from optimizer.units import Units, format_length


def need_lines(brief: Brief) -> list[str]:
    """What has to go in, a line for each need."""
    needs, units = brief.needs, brief.units
    lines = [
        f"{hang.value} hang: {format_length(needs.explicit_hang(hang), units)}"
        for hang in Hang
        if needs.explicit_hang(hang)
    ]
    lines += [f"garments: {line.count} {clean(line.kind)}" for line in needs.garments]
    if needs.shelf_length:
        lines.append(f"shelf: {format_length(needs.shelf_length, units)}")
    lines += [
        f"stored: {clean(line.kind)}, {counted_words(line.kind, line.count)}"
        for line in needs.stored
    ]
    for item in needs.items:
        size = " x ".join(
            format_length(side, units) for side in (item.width, item.depth, item.height)
        )
        lines.append(
            f"item {item.id} x{item.count}: {size} (wide, deep, high), "
            f"place: {item.place.value}, used: {item.use.value}{_unit_words(item, units)}"
        )
    for mount in mounted_of(brief):
        up = format_length(mount.hook_height or mount.bottom, units)
        what = f"{mount.count} hooks" if mount.kind == "hooks" else "mirror"
        wide = format_length(mount.width, units)
        lines.append(f"{what}, {clean(mount.id)}: {wide} of wall, {up} up")
    return lines or ["no amounts: as much as the priorities favour"]


def _unit_words(item: Item, units: Units) -> str:
    """What a bought unit asks of its bay; nothing for any other item."""
    if item.fits_between is None:
        return ""
    fits = item.fits_between
    inside = f"{format_length(fits.least, units)} to {format_length(fits.most, units)}"
    return f", a bought unit, {inside} of inside width"


def print_brief(console: Console, brief: Brief, warnings: Sequence[Warned]) -> None:
    """Print a sound brief: the room wall by wall, the needs, and the warnings."""
    console.print(f"{clean(brief.name)}: the brief is sound", style="bold")
    console.print("Room, clockwise:")
    for wall in brief.room.walls:
        print_bullet(console, wall_words(wall, brief))
        openings = [o for o in brief.room.openings if o.wall == wall.id]
        things = [o for o in brief.room.obstructions if o.wall == wall.id]
        for words in [
            *(opening_words(opening, brief.units) for opening in openings),
            *(obstruction_words(thing, brief.units) for thing in things),
            *(kept_words(box, brief.units) for box in brief.room.keep_clear if box.wall == wall.id),
        ]:
            print_bullet(console, words, "      ")
    console.print("Needs:")
    for line in need_lines(brief):
        print_bullet(console, line)
    console.print("Built like this:")
    for line in build_lines(brief):
        print_bullet(console, line)
    print_warnings(console, warnings)


LINE_WORDS = {
    "level": "one height of the top board for the room, shelves counted down from it",
    "free": "each bay at its own height",
}
END_WORDS = {
    "cleats": "carried by cleats where a side wall is sound",
    "uprights": "always on uprights",
}


def build_lines(brief: Brief) -> list[str]:
    """How it is built, where that decides what stands in the room."""
    rules, tolerance = brief.construction, brief.room.measuring_tolerance
    lines = [
        f"top line {rules.top_line}: {LINE_WORDS[rules.top_line]}",
        f"ends at walls: {END_WORDS[rules.wall_ends]}",
    ]
    if tolerance:
        off = format_length(tolerance, brief.units)
        lines.append(f"measuring tolerance: walls may turn out {off} shorter")
    return lines


def print_briefs(console: Console, briefs: Mapping[str, Brief]) -> None:
    """Print briefs as a list: name, title, size of the room, number of bulky pieces."""
    table = make_table()
    table.add_column("Name", no_wrap=True)
    table.add_column("Title")
    for head in ("Walls", "Longest", "Ceiling", "Pieces"):
        table.add_column(head, justify="right", no_wrap=True)
    for name, brief in briefs.items():
        longest = max(wall.clear_length for wall in brief.room.walls)
        table.add_row(
            name,
            clean(brief.name),
            f"{len(brief.room.walls)}",
            format_length(longest, brief.units),
            format_length(brief.room.ceiling_height, brief.units),
            f"{sum(item.count for item in brief.needs.items)}",
        )
    console.print(table)
