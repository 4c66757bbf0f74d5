"""R11 Claims: metrics, unmet needs and score terms agree with the zones that are drawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.checking.case import Case
from optimizer.checking.measures import Measures, measures_of
from optimizer.checking.stored import things_in
from optimizer.domain.layout import Metrics, Unmet
from optimizer.domain.need_ids import SHELF_LENGTH, NeedId
from optimizer.domain.needs import Hang
from optimizer.errors import Fault
from optimizer.reference.garments import required_hang
from optimizer.reference.mounted import mounted_of
from optimizer.units import plain_number

RELATIVE = 1e-6
"""Share of a sum that summing in another order may change."""

POINTS = 1e-6
"""What float noise may amount to in points of score and in counts."""


@dataclass(frozen=True, slots=True)
class Need:
    """One need: how much is asked for, how much the zones hold [brief units, or pieces].

    `slack` is how far the two may be apart by rounding alone.
    """

    name: NeedId
    required: float
    achieved: float
    slack: float


def check_claims(case: Case) -> Iterator[Fault]:
    """Findings on figures of a layout that its zones do not confirm.

    A layout drawn by hand has no metrics: nothing is claimed then, and nothing to compare.
    """
    yield from _terms(case)
    yield from _lines(case)
    metrics = case.layout.metrics
    if metrics is None:
        return
    measures = measures_of(case)
    yield from _metrics(case, metrics, measures)
    yield from _unmet(case, measures)


def _terms(case: Case) -> Iterator[Fault]:
    """Each line of the score once, and their points add up to it."""
    terms = case.layout.terms
    if not terms:
        return
    if len({term.name for term in terms}) < len(terms):
        yield Fault("/terms", "a line of the score comes twice", "terms")
    points = sum(term.points for term in terms)
    if abs(points - case.layout.score) > POINTS:
        yield Fault(
            "/score",
            f"the score is {case.layout.score:g}, its lines add up to {points:g}",
            "terms",
        )


def _lines(case: Case) -> Iterator[Fault]:
    """The height of the top board by wall, where it is told, is that of the highest bay there."""
    lines = case.layout.lines
    if not lines:
        return
    drawn: dict[str, float] = {}
    for bay in case.layout.bays:
        drawn[bay.wall] = max(bay.height, drawn.get(bay.wall, 0.0))
    if drawn.keys() != lines.keys():
        detail = f"lines are told of walls {', '.join(sorted(lines))}; "
        yield Fault("/lines", f"{detail}bays are on {', '.join(sorted(drawn)) or 'none'}", "lines")
        return
    for wall, height in lines.items():
        if abs(height - drawn[wall]) > case.tolerance:
            yield Fault(
                f"/lines/{wall}",
                f"the line of wall {wall} is said to be {case.say(height)}; its highest bay is "
                f"{case.say(drawn[wall])} high",
                "lines",
            )


def _slack(case: Case) -> float:
    """What a sum of lengths over all zones may be off."""
    return case.tolerance * max(1, sum(1 for _ in case.zones()))


def _metrics(case: Case, metrics: Metrics, measures: Measures) -> Iterator[Fault]:
    """Every metric that the zones decide; cost and counts of parts only as not below zero."""
    easy = (measures.easy_least, measures.easy_most)
    # As least and most, since easy length alone may be either at the edge of the band.
    drawn = {f"{hang}_hang": (length, length) for hang, length in measures.hang.items()}
    drawn |= {
        "shelf_length": (measures.shelf_length, measures.shelf_length),
        "shelf_area": (measures.shelf_area, measures.shelf_area),
        "open_floor": (measures.open_floor, measures.open_floor),
        "easy_length": easy,
    }
    slack = _slack(case)
    for name, (least, most) in drawn.items():
        claimed = getattr(metrics, name)
        # Sums are rounded where they are written down.
        off = max(slack, RELATIVE * most)
        if not least - off <= claimed <= most + off:
            unit = f"sq {case.units.value}" if name == "shelf_area" else case.units.value
            said, held = plain_number(claimed), plain_number(most)
            yield Fault(
                f"/metrics/{name}",
                f"{name} is said to be {said} {unit}; the zones hold {held} {unit}",
                "metrics",
            )
    pieces = measures.pieces.total()
    if metrics.items_housed != pieces:
        detail = f"{metrics.items_housed} pieces are said to be housed; {pieces} are"
        yield Fault("/metrics/items_housed", detail, "metrics")
    for name in ("material_cost", "sheets", "parts"):
        if getattr(metrics, name) < 0:
            yield Fault(f"/metrics/{name}", f"{name} is below zero", "metrics")


def _needs(case: Case, measures: Measures) -> dict[NeedId, Need]:
    """Every need of the brief by the name that unmet needs go by."""
    needs, slack = case.brief.needs, _slack(case)
    try:
        wanted = required_hang(needs, case.units)
    except KeyError:
        # A garment of unknown kind is a fault of the brief; what is asked in lengths still counts.
        wanted = {hang: needs.explicit_hang(hang) for hang in Hang}
    rows = [
        Need(NeedId.hang(hang), length, measures.hang[hang], slack)
        for hang, length in wanted.items()
    ]
    rows.append(Need(SHELF_LENGTH, needs.shelf_length, measures.shelf_free, slack))
    rows += [
        Need(thing.name, thing.count, measures.stored[thing.kind], POINTS)
        for thing in things_in(case).values()
    ]
    rows += [
        Need(NeedId.item(item.id), item.count, measures.pieces[item.id], POINTS)
        for item in needs.items
    ]
    hung = Counter(mount.id for mount in case.layout.mounts)
    rows += [Need(m.name, 1.0, float(hung[m.id]), POINTS) for m in mounted_of(case.brief)]
    return {row.name: row for row in rows}


def _unmet(case: Case, measures: Measures) -> Iterator[Fault]:
    """An unmet need is listed exactly when it is unmet, once, and with the right amounts."""
    needs = _needs(case, measures)
    listed: set[str] = set()
    for index, unmet in enumerate(case.layout.unmet):
        pointer = f"/unmet/{index}"
        need = needs.get(unmet.need)
        if need is None:
            yield Fault(f"{pointer}/need", f"the brief has no need {unmet.need}", "unmet")
        elif unmet.need in listed:
            yield Fault(pointer, f"{unmet.need} is listed twice", "unmet")
        else:
            yield from _amounts(case, pointer, unmet, need)
        listed.add(unmet.need)
    for need in needs.values():
        # The wider slack: a need that rounding alone leaves short need not be listed.
        if need.name not in listed and need.achieved < need.required - need.slack:
            yield Fault(
                "/unmet",
                f"{need.name} is not listed, but {need.required:g} is asked and "
                f"{need.achieved:g} is there",
                "unmet",
            )


def _amounts(case: Case, pointer: str, unmet: Unmet, need: Need) -> Iterator[Fault]:
    """The figures of one unmet need."""
    # The narrower slack: within it a need is met, and listing it would be wrong.
    if need.achieved >= need.required - min(need.slack, case.tolerance):
        yield Fault(
            pointer,
            f"{need.name} is listed as unmet, but {need.required:g} is asked and "
            f"{need.achieved:g} is there",
            "unmet",
        )
    figures = {
        "required": need.required,
        "achieved": need.achieved,
        "shortfall": need.required - need.achieved,
    }
    for name, figure in figures.items():
        if abs(getattr(unmet, name) - figure) > max(need.slack, RELATIVE * need.required):
            yield Fault(
                f"{pointer}/{name}",
                f"{name} of {need.name} is said to be {getattr(unmet, name):g}; it is {figure:g}",
                "unmet",
            )
