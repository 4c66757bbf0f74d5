"""What a layout leaves short, and why.

A need is *impossible* when no layout under the rules meets it, though it asked for nothing else:
`allowances` bounds what the rules leave room for, and the rule that binds is named. It is *traded
off* where a layout meets it: the price is what the best one that does loses in score. Else the
reason stays unknown, and what was tried is told: a time limit proves nothing, nor does a proof
about the bay patterns that the model knows, under the line that it took, exclude other layouts.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, Unmet
from optimizer.domain.need_ids import NeedId
from optimizer.domain.study import Yardstick
from optimizer.explaining.allowances import RoomAllowances, room_of
from optimizer.explaining.binding_rules import Binding, binding_of
from optimizer.model.search.alternatives import Ended, Found, Search
from optimizer.reference.stored import Thing, counted, things_of
from optimizer.scoring.amounts import amounts_of
from optimizer.scoring.terms import Frame, Need
from optimizer.solving import Outcome
from optimizer.tolerances import RULE_IN
from optimizer.units import format_length


@dataclass(frozen=True, slots=True)
class Verdict:
    """What solves and rules showed of one need.

    `most` bounds what the need can get of the bay patterns known, `reached` is the most that a
    solve found for it alone; `meeting` is the score of the best layout found that meets it, None
    where none was, and `limit` what no layout that meets it scores above. `allowed` is what the
    rules leave room for and `binding` the rule that binds, None for kinds of need without.
    `found` is the layout that scores `meeting`.
    """

    most: float | None
    meeting: float | None
    limit: float | None = None
    reached: float | None = None
    allowed: float | None = None
    binding: Binding | None = None
    found: Found | None = None


def amount_text(need: NeedId, amount: float, brief: Brief) -> str:
    """An amount of a need with its unit."""
    if need.is_stored:
        units: dict[str, str] = {t.name: t.unit for t in _things(brief)}
        return counted(units.get(need, "piece"), math.floor(amount + 1e-6))
    if need.is_counted:
        return f"{amount:.0f} piece" + ("" if round(amount) == 1 else "s")
    return format_length(amount, brief.units)


def _things(brief: Brief) -> tuple[Thing, ...]:
    """What is counted in the brief."""
    return things_of(brief.needs, brief.construction.panel_thickness, brief.units)


def shortfalls(
    needs: Iterable[Need], achieved: dict[NeedId, float], brief: Brief
) -> tuple[Unmet, ...]:
    """Needs that are short of what is required, reasons still unknown."""
    tolerance = brief.units.from_inch(RULE_IN)
    found = []
    for need in needs:
        short = need.required - achieved[need.name]
        if short > tolerance:
            found.append(
                Unmet(
                    need=need.name,
                    required=need.required,
                    achieved=achieved[need.name],
                    shortfall=short,
                    reason="unknown",
                    detail="not yet looked into",
                )
            )
    return tuple(found)


def most_of(search: Search, need: NeedId, deadline: float) -> tuple[float | None, float | None]:
    """The bound on what one need can get, and the most of it that was found."""
    amount = search.objective.met.get(need)
    if amount is None or time.monotonic() >= deadline:
        return None, None
    search.model.problem.setObjective(1.0 * amount)
    outcome = search.optimum(deadline, gap=0.0)
    return outcome.bound, outcome.objective


def _meeting(search: Search, need: Need, deadline: float) -> tuple[Found | None, Verdict]:
    """The best layout found that meets `need`, its score, and the bound on all that do."""
    result = meeting(search, [need], deadline)
    if not isinstance(result, Found):
        return None, Verdict(None, None, result.outcome.bound)
    return result, Verdict(None, _scored(search, need, result), result.outcome.bound)


def _scored(search: Search, need: Need, found: Found) -> float | None:
    """Score of a layout that meets a need; None where in whole rows it does not after all."""
    if not search.rules.things:
        return found.outcome.objective
    amounts = amounts_of(found.bays, search.rules, search.surveyed, found.mounts)
    if search.frame.achieved(amounts)[need.name] < need.required - RULE_IN:
        return None
    return sum(term.points for term in search.frame.terms(amounts, search.yardstick))


def meeting(search: Search, needs: Iterable[Need], deadline: float) -> Found | Ended:
    """The best layout that meets all of some needs."""
    search.model.problem.setObjective(search.score)
    for number, need in enumerate(needs):
        met = search.objective.met.get(need.name)
        if met is None:
            return Ended(Outcome("infeasible", None, None, None, 0.0, None))
        search.model.add(met >= need.required - 1e-6, f"must_meet_{number}")
    return search.next(deadline)


def verdict_on(
    brief: Brief, room: RoomAllowances, yardstick: Yardstick, need: Need, deadline: float
) -> Verdict:
    """What can be proved of one need before `deadline` (monotonic seconds); `room` is the
    brief's."""
    allowance = room.allowance(need.name)
    allowed = None if allowance is None else allowance.most
    # The rules alone rule it out: no search is needed.
    if allowance is not None and allowance.most < need.required - _tolerance(need.name, brief):
        binding = binding_of(room, need.name, need.required, allowance)
        return Verdict(None, None, allowed=allowed, binding=binding)
    search = Search.within(brief, yardstick, deadline)
    if search is None:
        return Verdict(None, None, allowed=allowed)
    # Nothing in the model can serve it: the most is none of it.
    if need.name not in search.objective.met:
        return Verdict(0.0, None, allowed=allowed)
    most, reached = most_of(search, need.name, deadline)
    search.forget()
    if most is None or most < need.required - _tolerance(need.name, brief):
        return Verdict(most, None, reached=reached, allowed=allowed)
    found, met = _meeting(search, need, deadline)
    return replace(met, most=most, reached=reached, allowed=allowed, found=found)


def _tolerance(need: NeedId, brief: Brief) -> float:
    """How far off an amount of a need may be and count as met."""
    return 0.5 if need.is_counted else brief.units.from_inch(RULE_IN)


def explained(layout: Layout, verdicts: dict[NeedId, Verdict], brief: Brief) -> tuple[Unmet, ...]:
    """The layout's shortfalls with their reasons."""
    return tuple(
        _explained(unmet, verdicts[unmet.need], layout.score, brief)
        if unmet.need in verdicts
        else unmet.model_copy(update={"detail": UNSETTLED})
        for unmet in layout.unmet
    )


UNSETTLED = "not settled: no time was left to look into it"
"""What is said of a shortfall that no solve was made for."""


def _explained(unmet: Unmet, verdict: Verdict, score: float, brief: Brief) -> Unmet:
    """The unmet need with its reason and what explains it."""
    if verdict.binding is not None:
        most = amount_text(unmet.need, max(verdict.allowed or 0.0, 0.0), brief)
        detail = f"impossible: {verdict.binding.words}; proved: at most {most} can be had"
        return unmet.model_copy(
            update={"reason": "impossible", "detail": detail, "rule": verdict.binding.pointer}
        )
    least = unmet.required - _tolerance(unmet.need, brief)
    # A layout that meets it was found: what that layout scores less is the price.
    if verdict.meeting is not None:
        price = max(0.0, score - verdict.meeting)
        detail = f"it can be met: {_price_words(verdict, price, brief)}"
        return unmet.model_copy(update={"reason": "traded_off", "detail": detail, "price": price})
    if verdict.reached is not None and verdict.reached >= least:
        detail = "it can be met alone; what that costs was not settled in time"
        return unmet.model_copy(update={"reason": "traded_off", "detail": detail})
    return unmet.model_copy(update={"detail": _unsettled(unmet, verdict, least, brief)})


def _unsettled(unmet: Unmet, verdict: Verdict, least: float, brief: Brief) -> str:
    """What was tried for a need of which nothing is proved."""
    if verdict.most is None:
        return UNSETTLED
    most = amount_text(unmet.need, max(verdict.most, 0.0), brief)
    if verdict.most < least:
        room = "" if verdict.allowed is None else _allowed_words(unmet, verdict.allowed, brief)
        return (
            f"not settled: the bay patterns known hold at most {most} here, even with nothing "
            f"else asked for (proved){room}"
        )
    reached = amount_text(unmet.need, max(verdict.reached or unmet.achieved, 0.0), brief)
    return (
        "not settled: a search for the most of it alone ran out of time; it found "
        f"{reached} and leaves up to {most} open"
    )


def _allowed_words(unmet: Unmet, allowed: float, brief: Brief) -> str:
    """What is known of the most that rules allow, where the model holds less."""
    most = amount_text(unmet.need, allowed, brief)
    return f"; whether other bays under the rules hold more is open, above {most} none do"


def _price_words(verdict: Verdict, price: float, brief: Brief) -> str:
    """What meeting a need costs, as far as that is proved: what was found may not be the best."""
    meeting, limit = verdict.meeting or 0.0, verdict.limit
    if price <= 0.05:
        return f"another layout does and scores {meeting:.1f}"
    less = f"{price:.1f} points less than this one"
    # Within the gap that the brief allows, what was found counts as the best.
    if limit is not None and limit - meeting <= brief.options.gap * max(1.0, abs(meeting)) + 1e-6:
        return f"the best layout that does scores {meeting:.1f} (proved), {less}"
    above = "" if limit is None or limit >= 100.0 else f"; none that does scores above {limit:.1f}"
    return f"a layout that does was found and scores {meeting:.1f}, {less}{above}"


def verdicts_on(
    brief: Brief,
    yardstick: Yardstick,
    frame: Frame,
    layouts: Sequence[Layout],
    deadline: float,
    *,
    known: Mapping[NeedId, Verdict] | None = None,
) -> dict[NeedId, Verdict]:
    """What is proved of every need that any of `layouts` leaves short, as far as time allows.

    What the rules exclude is told whatever the time; what is `known` is not looked into again.
    """
    known = known or {}
    short = {unmet.need for layout in layouts for unmet in layout.unmet}
    room = room_of(brief)
    return {
        need.name: known.get(need.name) or verdict_on(brief, room, yardstick, need, deadline)
        for need in frame.needs()
        if need.name in short
    }


def explain_layouts(
    brief: Brief, layouts: Sequence[Layout], verdicts: dict[NeedId, Verdict]
) -> tuple[Layout, ...]:
    """`layouts` with the reasons of their shortfalls.

    A need that one of them meets can be met: the others traded it for something else.
    """
    seen = _with_best_found(layouts, verdicts)
    return tuple(
        layout.model_copy(update={"unmet": explained(layout, seen, brief)}) for layout in layouts
    )


def _with_best_found(
    layouts: Sequence[Layout], verdicts: dict[NeedId, Verdict]
) -> dict[NeedId, Verdict]:
    """Verdicts that know of the best of `layouts` that meets a need."""
    short = {unmet.need for layout in layouts for unmet in layout.unmet}
    seen = dict(verdicts)
    for need in sorted(short):
        # A layout of the study that meets it shows that it can be met, and at what score.
        met = [one.score for one in layouts if all(unmet.need != need for unmet in one.unmet)]
        verdict = verdicts.get(need) or Verdict(None, None)
        if met and max(met) > (verdict.meeting or -math.inf):
            seen[need] = replace(verdict, meeting=max(met))
    return seen
