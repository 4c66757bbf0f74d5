"""In plain words and figures: what one layout gives for what, against another."""

from __future__ import annotations

from optimizer.domain.brief import Brief
from optimizer.domain.layout import LENGTH_WORDS, Layout, Metrics
from optimizer.patterns.pattern import kind_of
from optimizer.scoring.distance import portrait_of
from optimizer.units import Units, format_inches

_NOTICED_IN = 1.0
"""Differences below this [in] go unsaid."""
MOST_SAID = 2


def _length(value: float, units: Units) -> str:
    """A difference of lengths without its sign."""
    if units is Units.MILLIMETRE:
        return f"{abs(value):.0f} mm"
    return format_inches(abs(value), 4).removesuffix('"') + " in"


def _differences(first: Metrics, other: Metrics, units: Units) -> list[tuple[float, str, bool]]:
    """(size, words, is a gain) of everything that differs noticeably, largest first."""
    # The sizes only order unlike things: a piece before every length, four of money like an inch.
    found: list[tuple[float, str, bool]] = []
    for name, words in LENGTH_WORDS.items():
        change = getattr(other, name) - getattr(first, name)
        if units.to_inch(abs(change)) >= _NOTICED_IN:
            sign = "more" if change > 0 else "less"
            text = f"{_length(change, units)} {sign} {words}"
            found.append((units.to_inch(abs(change)), text, change > 0))
    housed = other.items_housed - first.items_housed
    if housed:
        text = (
            f"{abs(housed)} {'more' if housed > 0 else 'fewer'} bulky item{'s' * (abs(housed) > 1)}"
        )
        found.append((1000.0 * abs(housed), text, housed > 0))
    saved = first.material_cost - other.material_cost
    if abs(saved) >= 1.0:
        text = f"{abs(saved):.0f} {'less' if saved > 0 else 'more'} in material"
        found.append((abs(saved) / 4.0, text, saved > 0))
    parts = first.parts - other.parts
    if abs(parts) >= 2:
        text = f"{abs(parts)} {'fewer' if parts > 0 else 'more'} parts"
        found.append((float(abs(parts)), text, parts > 0))
    return sorted(found, key=lambda entry: -entry[0])


def trade_off(first: Layout, other: Layout, brief: Brief) -> str:
    """One line: what `other` gives up against `first` and what it gains for that."""
    if first.metrics is None or other.metrics is None:
        return ""
    found = _differences(first.metrics, other.metrics, brief.units)
    gains = [text for _, text, gain in found if gain][:MOST_SAID]
    losses = [text for _, text, gain in found if not gain][:MOST_SAID]
    if not found:
        return f"much the same amounts as layout {first.rank}, arranged otherwise"
    if not gains:
        return f"{' and '.join(losses)} than layout {first.rank}, for a different arrangement"
    if not losses:
        return f"{' and '.join(gains)} than layout {first.rank}, at a lower score"
    return f"{' and '.join(losses)} than layout {first.rank} for {' and '.join(gains)}"


def moved(before: Layout, after: Layout, brief: Brief) -> tuple[str, ...]:
    """What changed from one layout to another: widths by wall and kind, and items."""
    one, other = (portrait_of(layout.bays, kind_of) for layout in (before, after))
    lines = []
    for key in sorted({*one.widths, *other.widths}):
        change = other.widths.get(key, 0.0) - one.widths.get(key, 0.0)
        if brief.units.to_inch(abs(change)) >= _NOTICED_IN:
            wall, kind = key
            sign = "more" if change > 0 else "less"
            lines.append(f"wall {wall}: {_length(change, brief.units)} {sign} of {kind}")
    for place in sorted({*one.places, *other.places}):
        count = other.places.get(place, 0) - one.places.get(place, 0)
        if count:
            item, wall, level = place
            now = "now" if count > 0 else "no longer"
            lines.append(f"{item}: {abs(count)} {now} on wall {wall}, {level}")
    return tuple(lines)
