"""The cut list: equal parts in one row, in the order in which they leave the saw."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from optimizer.domain.pack import Cut, CutListRow, Part, PartKind, Stock
from optimizer.parts.triangles import blanks
from optimizer.units import Units

_STOCK_ORDER = {Stock.SHEET: 0, Stock.STRIP: 1, Stock.ROD: 2}


def cut_list(parts: Iterable[Part]) -> tuple[CutListRow, ...]:
    """Rows in cutting order: sheet parts first, widest rip first, longest crosscut first.

    Parts share a row when nothing tells them apart at the saw: stock, size, grain, edges
    that show and notches.
    """
    groups: dict[tuple[object, ...], list[Part]] = defaultdict(list)
    for part in sorted(parts, key=_cutting_order):
        groups[_likeness(part)].append(part)
    return tuple(_row(number, group) for number, group in enumerate(groups.values(), 1))


def _cutting_order(part: Part) -> tuple[object, ...]:
    """Key by which parts are sorted into the order in which they leave the saw."""
    return (
        _STOCK_ORDER[part.stock],
        part.material,
        -part.thickness,
        -part.width,
        -part.length,
        part.shown,
        part.id,
    )


def _likeness(part: Part) -> tuple[object, ...]:
    """What must agree for two parts to share a row."""
    return (
        part.stock,
        part.material,
        part.thickness,
        part.width,
        part.length,
        part.grain,
        part.shown,
        part.notches,
    )


def _row(number: int, group: Sequence[Part]) -> CutListRow:
    """One row of the cut list for parts that are alike."""
    first = group[0]
    return CutListRow(
        row=number,
        stock=first.stock,
        material=first.material,
        thickness=first.thickness,
        width=first.width,
        length=first.length,
        count=sum(part.count for part in group),
        name=", ".join(dict.fromkeys(part.name for part in group)),
        parts=tuple(part.id for part in group),
        bays=tuple(dict.fromkeys(bay for part in group for bay in part.bays)),
        grain=first.grain,
        shown=first.shown,
        note="; ".join(dict.fromkeys(part.note for part in group if part.note)),
    )


def cuts(parts: Iterable[Part], kerf: float = 0.0, units: Units = Units.INCH) -> tuple[Cut, ...]:
    """Every setting of saw fence or stop, in the order of work.

    Sheets are ripped to width, then crosscut; strips and rods are crosscut; rectangles that become
    two triangles are cut from corner to corner; notches come last, on parts that have their size.
    `kerf` is the width of the blade's cut [brief units].
    """
    ordered = sorted(blanks(parts, kerf, units), key=_cutting_order)
    found: list[Cut] = []
    by_stock: dict[tuple[Stock, str, float], list[Part]] = defaultdict(list)
    for part in ordered:
        by_stock[part.stock, part.material, part.thickness].append(part)
    for group in by_stock.values():
        if group[0].stock is Stock.SHEET:
            found += _settings(group, "rip", len(found))
        found += _settings(group, "crosscut", len(found))
    # After the rectangles are cut: a triangle's slant needs its two square edges.
    found += _slants(ordered, len(found))
    found += _notches(ordered, len(found))
    return tuple(found)


def _notches(ordered: Sequence[Part], done: int) -> list[Cut]:
    """One cut for each size of notch."""
    sizes: dict[tuple[float, float], list[Part]] = defaultdict(list)
    for part in ordered:
        for notch in part.notches:
            sizes[notch.height, notch.depth].append(part)
    return [
        _cut(done + number, "notch", height, same, depth)
        for number, ((height, depth), same) in enumerate(sizes.items(), 1)
    ]


def _slants(ordered: Sequence[Part], done: int) -> list[Cut]:
    """One cut for each size of rectangle that becomes triangles."""
    sizes: dict[tuple[float, float], list[Part]] = defaultdict(list)
    for part in ordered:
        if part.kind is PartKind.TRIANGLE:
            sizes[part.length, part.width].append(part)
    return [
        _cut(done + number, "diagonal", length, same, width)
        for number, ((length, width), same) in enumerate(sizes.items(), 1)
    ]


def _settings(group: Sequence[Part], kind: str, done: int) -> list[Cut]:
    """One cut for each fence or stop setting of parts of one stock, `done` cuts before."""
    settings: dict[tuple[float, float], list[Part]] = defaultdict(list)
    for part in group:
        # A crosscut is set for one strip at a time: equal lengths of other widths are another
        # setting.
        key = (part.width, 0.0) if kind == "rip" else (part.width, part.length)
        settings[key].append(part)
    return [
        _cut(
            done + number,
            kind,
            width if kind == "rip" else length,
            same,
            None if kind == "rip" else width,
        )
        for number, ((width, length), same) in enumerate(settings.items(), 1)
    ]


def _cut(
    step: int, kind: str, setting: float, parts: Sequence[Part], from_width: float | None
) -> Cut:
    """One saw setting for some parts; `from_width` is the width of the strip it is cut from."""
    return Cut.model_validate(
        {
            "step": step,
            "kind": kind,
            "stock": parts[0].stock,
            "material": parts[0].material,
            "thickness": parts[0].thickness,
            "setting": setting,
            "from_width": from_width,
            "count": sum(part.count for part in parts),
            "parts": tuple(part.id for part in parts),
        }
    )
