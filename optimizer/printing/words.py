"""Plain words for what a layout holds: bays, zones, pieces and needs."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from optimizer.domain.layout import Bay, Layout, Mount, Zone, ZoneKind
from optimizer.domain.need_ids import NeedId
from optimizer.reference.stored import counted, stored_allowance
from optimizer.tolerances import TOUCH
from optimizer.units import Units, format_length, format_short, plain_number

_TIMES = {2: "double", 3: "triple"}


def clean(text: str) -> str:
    """`text` with control characters replaced, so that no file can drive the terminal."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def cut(text: str, width: int, mark: str = "…") -> str:
    """`text` in at most `width` characters; `mark` stands for what was cut off."""
    if len(text) <= width:
        return text
    return text[: max(0, width - len(mark))].rstrip() + mark if width > len(mark) else ""


def count_words(items: Iterable[str]) -> str:
    """Pieces in words, in order of first mention: `hamper, bin x2`."""
    counts = Counter(items)
    return ", ".join(f"{name} x{count}" if count > 1 else name for name, count in counts.items())


def need_words(need: NeedId) -> str:
    """A need's name in words: `long_hang` reads as `long hang`, `stored:shoes` as `shoes`."""
    return clean(need.words)


def amount_words(need: NeedId, amount: float, units: Units) -> str:
    """An amount of a need: a length in the brief's units, or a count of pieces."""
    if not need.is_counted:
        return format_length(amount, units)
    if need.is_stored:
        return counted_words(need.thing, amount)
    return plain_number(amount)


def span_words(start: float, end: float, units: Units) -> str:
    """A stretch from `start` to `end`: `12" to 42-1/2"`."""
    unit = " mm" if units is Units.MILLIMETRE else ""
    return f"{format_short(start, units)} to {format_short(end, units)}{unit}"


def mount_words(mount: Mount, units: Units) -> str:
    """Hooks or a mirror: how many, where along the wall and how high."""
    where = span_words(mount.start, mount.end, units)
    unit = " mm" if units is Units.MILLIMETRE else ""
    if mount.kind == "mirror":
        up = span_words(mount.bottom, mount.top, units)
        name = "mirror" if mount.id == "mirror" else f"mirror {clean(mount.id)}"
        return f"{name} at {where} along, {up} up"
    count, height = len(mount.hooks), format_short(mount.hook_height or 0.0, units)
    hooks = f"{count} hook{'' if count == 1 else 's'}"
    return f"{hooks}, {clean(mount.id)}, at {where} along, {height}{unit} up"


def ends_words(bay: Bay) -> str:
    """What carries a bay's ends, left and right: `wall, upright`, or `uprights` for both."""
    left, right = bay.left.value, bay.right.value
    return f"{left}s" if left == right else f"{left}, {right}"


def support_words(bay: Bay, units: Units) -> str:
    """Where mid supports carry a bay, from the wall's left end; empty without any."""
    if not bay.mid_supports:
        return ""
    places = ", ".join(format_short(place, units) for place in bay.mid_supports)
    unit = " mm" if units is Units.MILLIMETRE else ""
    return f"mid support{'s' if len(bay.mid_supports) > 1 else ''} at {places}{unit}"


def line_words(layout: Layout, units: Units) -> str:
    """How high the top boards are: `Top board at 84" all round`; empty where not told."""
    by_height: dict[str, list[str]] = {}
    for wall, height in layout.lines.items():
        by_height.setdefault(_height(height, units), []).append(clean(wall))
    if not by_height:
        return ""
    if len(by_height) == 1 and len(layout.lines) > 1:
        line = f"Top board at {next(iter(by_height))} all round"
    else:
        told = (f"{height} on {_walls_words(walls)}" for height, walls in by_height.items())
        line = f"Top board at {', '.join(told)}"
    lower = [
        f"{clean(bay.id)} ({_height(bay.height, units)})"
        for bay in layout.bays
        if bay.height < layout.lines.get(bay.wall, 0.0) - TOUCH
    ]
    return f"{line}; lower over {', '.join(lower)}" if lower else line


def _height(height: float, units: Units) -> str:
    """A height as drawings tell it, with its unit."""
    unit = " mm" if units is Units.MILLIMETRE else ""
    return f"{format_short(height, units)}{unit}"


def _walls_words(walls: Sequence[str]) -> str:
    """Walls by name: `wall A`, `walls A and B`."""
    if len(walls) == 1:
        return f"wall {walls[0]}"
    return f"walls {', '.join(walls[:-1])} and {walls[-1]}"


def strain_words(layout: Layout) -> str:
    """The part nearest to its limit: `Strongest loaded: shelf B1-S3, 83% of its limit`."""
    strained = layout.structure
    if strained is None:
        return ""
    return f"Strongest loaded: {clean(strained.of)}, {strain_share(strained.share)} of its limit"


def strain_share(share: float) -> str:
    """A share of a limit in whole per cent, rounded up: never less than it is."""
    return f"{math.ceil(share * 100 - 1e-9)}%"


def margin_words(layout: Layout, units: Units) -> str:
    """How much shorter walls may turn out, by wall; empty where not told."""
    told = [
        f"{clean(wall)} {format_length(margin, units)}" for wall, margin in layout.margins.items()
    ]
    return f"Still goes in where a wall is shorter by: {', '.join(told)}" if told else ""


@dataclass(frozen=True, slots=True)
class _Run:
    """Zones of one sort that follow each other."""

    kind: ZoneKind
    hang: str
    zones: tuple[Zone, ...]

    @property
    def count(self) -> int:
        """How many zones follow one another."""
        return len(self.zones)


def _runs(zones: Sequence[Zone]) -> list[_Run]:
    """Zones from bottom to top, equal neighbours taken together."""
    keyed = groupby(zones, key=lambda zone: (zone.kind, zone.hang.value if zone.hang else ""))
    return [_Run(kind, hang, tuple(members)) for (kind, hang), members in keyed]


def _rod_words(run: _Run) -> str:
    """Rods over one another in words."""
    hang = f"{run.hang} hang".strip()
    if run.count == 1:
        return hang
    times = _TIMES.get(run.count, f"{run.count} levels of")
    return f"{times} {hang}"


def _shelf_words(count: int, top: bool = False) -> str:
    """Shelves over one another in words."""
    if count == 1:
        return "a top shelf" if top else "a shelf"
    return f"{count} shelves"


def _run_words(run: _Run) -> str:
    """What a run of like zones is, in words."""
    if run.kind is ZoneKind.ROD:
        return _rod_words(run)
    if run.kind is ZoneKind.SHELF:
        return _shelf_words(run.count)
    pieces = count_words(item for zone in run.zones for item in zone.items)
    return f"floor for {pieces}" if pieces else "open floor"


def _is_shelved_double(runs: Sequence[_Run], index: int) -> bool:
    """Whether one rod, one shelf and one rod of the same hang start at `index`."""
    if index + 2 >= len(runs):
        return False
    lower, between, upper = runs[index : index + 3]
    return (
        lower.kind is ZoneKind.ROD
        and between.kind is ZoneKind.SHELF
        and (upper.kind, upper.hang) == (lower.kind, lower.hang)
        and lower.count == between.count == upper.count == 1
    )


def _body_words(runs: Sequence[_Run]) -> str:
    """Runs from top to bottom, joined by what stands over what."""
    words: list[str] = []
    index = 0
    while index < len(runs):
        if _is_shelved_double(runs, index):
            words.append(f"double {runs[index].hang} hang with a shelf between")
            index += 3
            continue
        words.append(_run_words(runs[index]))
        index += 1
    return " over ".join(reversed(words))


def describe_bay(bay: Bay) -> str:
    """What a bay is, in plain words, from its zones: `double short hang under a top shelf`."""
    runs = _runs(bay.zones)
    if not runs:
        return "empty bay"
    # Said "under a top shelf" only where something hangs: a stack of shelves has no top shelf of
    # its own.
    shelves_above = runs[-1].kind is ZoneKind.SHELF and any(
        run.kind is ZoneKind.ROD for run in runs[:-1]
    )
    if not shelves_above:
        return _body_words(runs)
    body = _body_words(runs[:-1])
    # With a comma where "a over b under c" could be read in two ways.
    joint = ", under " if " over " in body else " under "
    return body + joint + _shelf_words(runs[-1].count, top=True)


def stored_words(zone: Zone) -> list[str]:
    """What is stored by count on a shelf: `shoes, 4 pairs`, `towels, 5`."""
    return [f"{clean(kept.kind)}, {counted_words(kept.kind, kept.count)}" for kept in zone.stored]


def counted_words(kind: str, count: float) -> str:
    """A count of a kind in people's units: `4 pairs`."""
    known = stored_allowance(kind)
    return counted(known.unit if known else "piece", count)


def describe_zone(zone: Zone, units: Units) -> str:
    """One level with its heights above the floor and what is on it."""
    pieces = "; ".join([*([count_words(zone.items)] if zone.items else []), *stored_words(zone)])
    held = f": {pieces}" if pieces else ""
    if zone.kind is ZoneKind.FLOOR:
        return f"floor, {format_short(zone.top, units)} clear{held}"
    if zone.kind is ZoneKind.SHELF:
        clear = format_short(zone.top - zone.bottom, units)
        return f"shelf at {format_short(zone.bottom, units)}, {clear} clear above{held}"
    hang = f"{zone.hang.value} hang" if zone.hang else "hang"
    rod = f"rod at {format_short(zone.rod_height or zone.top, units)}"
    return f"{hang}, {rod}, clothes down to {format_short(zone.bottom, units)}{held}"
