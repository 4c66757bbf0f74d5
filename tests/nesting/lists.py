"""Part lists: published instances, closet-like lists of our own invention, brute force."""

from __future__ import annotations

import json
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from optimizer.domain.sheets import SheetPart, StockSheet

SHEET = StockSheet(width=96, height=48)
KERF = 0.125


def published() -> dict[str, dict[str, Any]]:
    """Published guillotine instances by name; their source is in the file."""
    file = Path(__file__).with_name("published.json")
    return dict(json.loads(file.read_text(encoding="utf-8"))["instances"])


def published_case(name: str, upright: bool = False) -> tuple[list[SheetPart], StockSheet]:
    """Parts (that may not turn) and sheet of an instance; `upright` swaps both axes."""
    row = published()[name]
    flip = -1 if upright else 1
    width, height = row["sheet"][::flip]
    sizes = Counter({tuple(size[:2][::flip]): 0 for size in row["parts_width_height_count"]})
    for *size, count in row["parts_width_height_count"]:
        sizes[tuple(size[::flip])] += count
    parts = [
        SheetPart(id=f"p{i}", length=w, width=h, count=n, can_turn=False)
        for i, ((w, h), n) in enumerate(sizes.items(), start=1)
    ]
    return parts, StockSheet(width=width, height=height)


def closet_parts(seed: int, least: int, can_turn: bool = False) -> list[SheetPart]:
    """At least `least` parts of made-up closets: uprights, shelves, cleats, stiffeners [in]."""
    draw = random.Random(seed)
    sizes: Counter[tuple[float, float]] = Counter()
    while sum(sizes.values()) < least:
        depth = draw.choice([12, 14, 16, 24])
        bay = draw.randrange(18 * 16, 44 * 16) / 16
        sizes[draw.choice([72, 80, 84, 93.5]), depth] += draw.choice([1, 2])
        sizes[bay - 0.0625, depth] += draw.randint(1, 6)
        sizes[bay, 2] += draw.randint(1, 4)
        if depth > 12:
            sizes[depth, 2] += draw.randint(2, 4)
        if draw.random() < 0.4:
            sizes[bay, 1.5] += draw.randint(1, 4)
    return [
        SheetPart(id=f"part {i}", length=length, width=width, count=count, can_turn=can_turn)
        for i, ((length, width), count) in enumerate(sizes.items(), start=1)
    ]


def partitions(things: Sequence[Any]) -> Iterator[list[list[Any]]]:
    """All ways to put things into groups."""
    if not things:
        yield []
        return
    first, rest = things[0], things[1:]
    for groups in partitions(rest):
        yield [[first], *groups]
        for i in range(len(groups)):
            yield [*groups[:i], [first, *groups[i]], *groups[i + 1 :]]


def fewest_bins(sizes: Sequence[int], capacity: int) -> int:
    """Fewest bins of `capacity` for `sizes`, by trying every way."""
    return min(
        len(groups)
        for groups in partitions(list(sizes))
        if all(sum(group) <= capacity for group in groups)
    )


def fewest_cut(
    pieces: Sequence[tuple[int, int]], sheet: tuple[int, int], kerf: int, way: str
) -> int:
    """Fewest sheets for strips, parts and trims, by trying every way to form strips.

    `way` of the first cuts: along, across, or either: then every split of the pieces in two.
    """
    turned = [(h, w) for w, h in pieces]
    if way == "along":
        return fewest_sheets(pieces, sheet, kerf)
    if way == "across":
        return fewest_sheets(turned, sheet[::-1], kerf)
    counts = []
    for mask in range(2 ** len(pieces)):
        along = [piece for i, piece in enumerate(pieces) if mask >> i & 1]
        across = [piece for i, piece in enumerate(turned) if not mask >> i & 1]
        counts.append(
            (fewest_sheets(along, sheet, kerf) if along else 0)
            + (fewest_sheets(across, sheet[::-1], kerf) if across else 0)
        )
    return min(counts)


def fewest_sheets(pieces: Sequence[tuple[int, int]], sheet: tuple[int, int], kerf: int) -> int:
    """Fewest sheets for rips, crosscuts and trims, by trying every way to form strips."""
    width, height = sheet[0] + kerf, sheet[1] + kerf
    grown = [(w + kerf, h + kerf) for w, h in pieces]
    return min(
        fewest_bins([max(h for _, h in strip) for strip in strips], height)
        for strips in partitions(grown)
        if all(sum(w for w, _ in strip) <= width for strip in strips)
    )
