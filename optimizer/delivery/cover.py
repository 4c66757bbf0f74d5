"""The cover: a picture of the layout, its figures, what to verify, where what is found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import Spacer

from optimizer.delivery.delivery import PICTURE, Delivery
from optimizer.delivery.pages import Contents, Picture, text_height, text_width
from optimizer.delivery.styles import (
    BODY,
    SMALL,
    SUBHEADING,
    TITLE,
    beside,
    bullets,
    caution_boxes,
    paragraph,
    table,
    tall,
)
from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.domain.pack import CheckStatus
from optimizer.reference.stored import stored_text
from optimizer.units import format_length

_GAP = 6


def cover(delivery: Delivery, sections: Sequence[str], below: Sequence[Any]) -> list[Any]:
    """Title, picture, figures at a glance, cautions, what to verify first, contents; and what
    comes `below`, where a picture of any size leaves room for it."""
    width, height = text_width(delivery.brief.units), text_height(delivery.brief.units)
    # A smaller picture rather than a second page, as long as its lettering can be read.
    for share in _SHARES:
        story = [*_cover(delivery, sections, share), *below]
        if tall(story, width) <= height:
            return story
    return _cover(delivery, sections, _SHARES[0])


_SHARES = (1.0, 0.85, 0.7)
"""Sizes of the picture, as shares of its own: its lettering is 1.4 mm high in the least."""


def _cover(delivery: Delivery, sections: Sequence[str], share: float) -> list[Any]:
    """The cover with its picture at that share of its full size."""
    date = delivery.date.isoformat() if delivery.date else "____________"
    width = text_width(delivery.brief.units)
    left = PICTURE[0] * mm * share
    figures = table(("At a glance", ""), glance(delivery), width - left - 12)
    story: list[Any] = [
        paragraph("Build pack", BODY),
        paragraph(delivery.brief.name or "Closet", TITLE),
        paragraph(f"Layout {delivery.layout.rank}. Date: {date}"),
        Spacer(1, _GAP),
        beside([Picture(delivery.picture, share)], [figures], (left, width - left)),
        Spacer(1, _GAP),
        *caution_boxes([c for c in delivery.pack.cautions if c.where == "all"]),
    ]
    if delivery.pack.notes:
        story += [paragraph("Verify on site before cutting", SUBHEADING)]
        story += bullets(delivery.pack.notes, SMALL)
    return [*story, Spacer(1, _GAP), Contents(sections, SMALL)]


def glance(delivery: Delivery) -> list[tuple[str, str]]:
    """The pack's main figures as pairs of words."""
    pack, layout = delivery.pack, delivery.layout
    walls = dict.fromkeys(bay.wall for bay in layout.bays)
    weights, quote = pack.weights, pack.quote
    money = f" {quote.currency}" if quote.currency else ""
    rows = [("Walls and bays", f"{_many(len(walls), 'wall')}, {_many(len(layout.bays), 'bay')}")]
    rows += storage(delivery)
    rows.append(("Parts", str(sum(part.count for part in pack.parts))))
    plan = delivery.plan
    for name, result in (("Sheets", plan.sheets), ("Strips", plan.strips), ("Rods", plan.rods)):
        if result is not None:
            rows.append((name, result.statement))
    if pack.fewer_sheets:
        rows.append(("Fewer sheets", pack.fewer_sheets))
    heaviest = f"{weights.heaviest_part} {weights.heaviest:.0f} {weights.unit}"
    rows.append(("Weight", f"{weights.total:.0f} {weights.unit}; heaviest part {heaviest}"))
    rows.append(("Work", f"{quote.hours:.1f} hours of one person"))
    rows.append(("Materials", f"{quote.materials:.2f}{money}"))
    rows.append(("Quote", f"{quote.total:.2f}{money}"))
    rows.append(("Structural checks", _verdicts(delivery)))
    return rows


def _many(count: int, what: str) -> str:
    """A count with its word, in the plural where there are several."""
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def storage(delivery: Delivery) -> list[tuple[str, str]]:
    """Rod and shelf length and pieces housed, summed over the bays."""
    units = delivery.brief.units
    zones = [(bay, zone) for bay in delivery.layout.bays for zone in bay.zones]

    def total(chosen: Iterable[tuple[Bay, Zone]]) -> float:
        """Width of these zones in all."""
        return sum(bay.width for bay, _ in chosen)

    rows = []
    for hang in Hang:
        length = total((b, z) for b, z in zones if z.kind is ZoneKind.ROD and z.hang is hang)
        if length:
            rows.append((f"{hang.value.capitalize()} hang", format_length(length, units)))
    shelves = total((b, z) for b, z in zones if z.kind is ZoneKind.SHELF)
    if shelves:
        rows.append(("Shelves", format_length(shelves, units)))
    # A zone names a piece once for each time it holds it.
    housed = Counter(name for _, zone in zones for name in zone.items)
    if housed:
        named = ", ".join(name if n == 1 else f"{n} x {name}" for name, n in housed.items())
        rows.append(("Items in place", named))
    stored = Counter[str]()
    for _, zone in zones:
        stored.update({kept.kind: kept.count for kept in zone.stored})
    if stored:
        named = "; ".join(stored_text(kind, count) for kind, count in stored.items())
        rows.append(("On the shelves", named))
    return rows


def _verdicts(delivery: Delivery) -> str:
    """How many structural checks pass, warn and fail."""
    counts = Counter(check.status for check in delivery.pack.checks)
    return ", ".join(f"{counts[status]} {status.value}" for status in CheckStatus)
