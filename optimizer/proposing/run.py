"""A study from a brief."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence

from optimizer.checking import check_layout, passes, require_checked
from optimizer.domain.brief import Brief, MountPin, Pin
from optimizer.domain.layout import Bay, Layout, Mount
from optimizer.domain.progress import Progress
from optimizer.domain.study import Leader, Repair, Status, Study, Warned, Yardstick
from optimizer.errors import BriefError, Fault
from optimizer.explaining.conflicts import needs_conflict
from optimizer.explaining.pins import bound_with, pin_conflict, pin_of
from optimizer.explaining.repairs import repairs as find_repairs
from optimizer.explaining.repairs import with_remedies
from optimizer.explaining.shortfalls import Verdict, explain_layouts, verdicts_on
from optimizer.model.search.alternatives import Ended, Found, Search
from optimizer.model.search.rounds import Reserve, Times, alternatives
from optimizer.proposing.assembly import (
    assembled,
    before,
    ranked,
    status_of,
    uncosted,
    within_loss,
)
from optimizer.proposing.carried_ends import onto_neighbours
from optimizer.proposing.equal_rips import in_equal_rips, told_of
from optimizer.proposing.findings import Findings
from optimizer.proposing.leader_updates import leading_bounds, relead
from optimizer.proposing.leaders import NAMES
from optimizer.proposing.leaders import leaders as find_leaders
from optimizer.proposing.leaner import leaner_layouts
from optimizer.proposing.provisional import ProvisionalLayout
from optimizer.proposing.stud_places import on_studs
from optimizer.scoring.distance import differences
from optimizer.tolerances import FINE
from optimizer.versions import versions

SEARCH_SHARE = 0.8
"""Part of the time limit that the search may use; the rest explains what is short."""
LEADERS_SHARE = 0.5
"""Part of what is left after the search that the leaders of each priority may use."""
CONFLICT_SHARE = 0.4
"""Part of what is left then that the search for a conflict may use before repairs."""
RESERVE_BUILDS = 2.0
RESERVE_SHARE = 0.06
"""Times that the model took to build, and at most part of the time limit, that are kept for each
layout without a proof of its own."""
RESERVED_SHARE = 0.3
"""Part of the limit that is kept for all of them at most."""
RESERVED_UNTIL = 0.92
"""Part of the time limit at which the last of them ends: layouts to choose from come before leaders
and repairs."""
POSING_SHARE = 0.3
"""Part of what the first model took to pose below which no other one is begun: it takes about half
of that."""
MORE = 1e-6
"""Points from which on a layout scores more."""
BUSY_S = 0.25
"""Seconds beyond the time limit in which the model of a large room may be built, and costs worked
out."""

ProgressListener = Callable[[Progress], None]
Stopper = Callable[[], bool]


def propose(
    brief: Brief,
    *,
    warnings: tuple[Warned, ...] = (),
    progress: ProgressListener | None = None,
    should_stop: Stopper | None = None,
    repairs: bool = True,
    yardstick: Yardstick | None = None,
    early: bool = True,
) -> Study:
    """Ranked, proved and checked layouts for `brief`.

    Every layout has passed the independent checker (CheckFailedError otherwise). A study
    without layouts has status infeasible, or time_limit or cancelled when none was found
    in time. Without `repairs` neither repairs, leaders nor conflicts of needs are looked for.
    Large rooms have `progress` told of provisional layouts before the first one is proved, unless
    `early` is false; of a run that goes to its end they change nothing.
    """
    run = _Run(brief, warnings, progress, should_stop, repairs)
    return run.study(yardstick, early=early)


class _Run:
    """One study in the making."""

    def __init__(
        self,
        brief: Brief,
        warnings: tuple[Warned, ...],
        progress: ProgressListener | None,
        should_stop: Stopper | None,
        repairs: bool,
    ) -> None:
        """Everything that `propose` was asked; the clock of the time limit starts here."""
        self.brief = brief
        self.warnings = warnings
        self.progress = progress
        self.should_stop = should_stop
        self.repairs = repairs
        self.started = time.monotonic()
        self.layouts: list[Layout] = []
        self.provisional: Layout | None = None
        """Told before any layout is found."""
        self.refused: list[Fault] = []
        self.costing = 0.0
        """Seconds that the cost of a layout took to work out, at most."""

    @property
    def seconds(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self.started

    def _tell(self, stage: str, score: float | None, bound: float | None) -> None:
        """Report progress to whoever asked for it."""
        if self.progress is None:
            return
        newest = self.layouts[-1] if self.layouts else self.provisional
        self.progress(Progress(stage, len(self.layouts), score, bound, self.seconds, newest))

    def study(self, yardstick: Yardstick | None, *, early: bool) -> Study:
        """The whole study."""
        limit = self.brief.options.time_limit_s
        search = Search.within(self.brief, yardstick, self.started + limit + BUSY_S)
        if search is None:
            return self._unposed(yardstick)
        posing = self.seconds
        least = search.least_difference
        until = self.started + SEARCH_SHARE * limit
        shown = early and self.progress is not None
        statuses, exhausted = self._search(search, least, until, early=shown)
        found = tuple(self.layouts)
        # Before ranking: a layout whose ends or uprights move scores a trifle otherwise.
        for move in (onto_neighbours, on_studs, in_equal_rips):
            self._moved(search, move, self.started + limit)
        least = min(1.0, least + self._furthest(search, found))
        layouts = within_loss(ranked(self.layouts, self.brief), self.brief)
        # Whoever asked to stop gets what there is; nothing more is looked for.
        stopped = self.should_stop is not None and self.should_stop()
        late = limit - self.seconds < POSING_SHARE * posing
        deadline = self.started + (0.0 if stopped or late else limit)
        leaders, warned = self._leaders(search, layouts, deadline, stopped)
        if any(layout.unmet for layout in layouts):
            self._tell("explaining", None, None)
            told = (self.brief, search.yardstick, search.frame)
            verdicts = verdicts_on(*told, layouts, deadline)
            # Looking for reasons solves other models, and may come upon a better layout: one better
            # than the first was before its uprights moved, too.
            most = max(layout.score for layout in found)
            if better := self._better(search, layouts, verdicts.values(), most):
                better = self._once_moved(search, in_equal_rips, better, (), deadline)
                layouts, leaders = self._taken_up(search, better, layouts, leaders)
                verdicts = verdicts_on(*told, layouts, deadline, known=verdicts)
            layouts = explain_layouts(self.brief, layouts, verdicts)
        status = status_of(statuses)
        warnings = (*self.warnings, *self._told(), *told_of(search, layouts), *warned)
        # Nothing was found although all was searched: no layout obeys the brief.
        if not layouts and exhausted:
            status = Status.INFEASIBLE
            if self.brief.unpinned() is not self.brief:
                warnings = (*warnings, pin_conflict(self.brief, deadline))
        warnings += self._conflict(search, layouts, deadline)
        # After the ranking is settled, since each is told by the rank of its layout.
        leaner = leaner_layouts(
            search, search.yardstick, layouts, lambda: stopped or time.monotonic() > deadline
        )
        repairs = self._repairs(search, layouts, deadline)
        layouts = with_remedies(layouts, repairs, self.brief)
        return Study(
            brief=self.brief,
            status=status,
            layouts=layouts,
            exhausted=exhausted,
            difference_asked=self.brief.options.min_difference,
            difference_proved=least,
            differences=differences(layouts, self.brief, search.walls),
            leaders=leaders,
            leaner=leaner,
            repairs=repairs,
            warnings=warnings,
            yardstick=search.yardstick,
            versions=versions(self.brief.options.solver),
            seconds=round(self.seconds, 3),
        )

    def _unposed(self, yardstick: Yardstick | None) -> Study:
        """The study of a room so large that its model was not built in time."""
        detail = "a room with so many walls and things takes longer to set up: allow more time"
        warned = Warned(code="not_posed", pointer="/options/time_limit_s", detail=detail)
        return Study(
            brief=self.brief,
            status=Status.TIME_LIMIT,
            difference_asked=self.brief.options.min_difference,
            warnings=(*self.warnings, warned),
            yardstick=yardstick,
            versions=versions(self.brief.options.solver),
            seconds=round(self.seconds, 3),
        )

    def _better(
        self,
        search: Search,
        layouts: tuple[Layout, ...],
        verdicts: Iterable[Verdict],
        most: float,
    ) -> Layout | None:
        """The best of the layouts found while reasons were looked for, if it scores more than
        `most` and passes the checker."""
        found = [v.found for v in verdicts if v.found and (v.meeting or 0.0) > layouts[0].score]
        bound = layouts[0].bound
        scored = [assembled(search, f.bays, bound, "within_gap", f.mounts) for f in found]
        best = max(scored, key=lambda layout: layout.score, default=None)
        if best is None or best.score <= most + MORE:
            return None
        return best if passes(self.brief, best) else None

    def _taken_up(
        self,
        search: Search,
        better: Layout,
        layouts: tuple[Layout, ...],
        leaders: tuple[Leader, ...],
    ) -> tuple[tuple[Layout, ...], tuple[Leader, ...]]:
        """A better layout as the first one, and the leaders told anew."""
        own = [leader.layout for leader in leaders if leader.layout is not None]
        ranking = within_loss(before(better, layouts, self.brief, search.walls), self.brief)
        bounds = leading_bounds(leaders, kept=True)
        return ranking, relead(search, ranking, [*layouts, *own], bounds)

    def _leaders(
        self, search: Search, layouts: tuple[Layout, ...], deadline: float, stopped: bool
    ) -> tuple[tuple[Leader, ...], tuple[Warned, ...]]:
        """The layouts that do most for each priority, and a word on those there was no time for."""
        if not self.repairs or not layouts or stopped or self.brief.options.alternatives < 2:
            return (), ()
        self._tell("leaders", None, None)
        now = time.monotonic()
        until = now + LEADERS_SHARE * max(0.0, deadline - now)
        found, missed = find_leaders(self.brief, search.yardstick, layouts, until, self.should_stop)
        if not missed:
            return found, ()
        names = ", ".join(NAMES[term] for term in missed)
        detail = f"no time was left to look for: {names}"
        return found, (Warned(code="leaders_cut", pointer="/options/time_limit_s", detail=detail),)

    def _search(
        self, search: Search, least: float, deadline: float, *, early: bool
    ) -> tuple[list[str], bool]:
        """Find layouts; the statuses met, and whether it is proved that no more are left. `early`:
        provisional ones are told."""
        statuses: list[str] = []
        search.refuses = lambda bays, mounts: self._refuses(search, bays, mounts)
        with Findings(self.brief, self.layouts, self._say_found) as findings:
            exhausted = self._fill(search, findings, statuses, least, deadline, early=early)
        self.costing = findings.slowest
        return statuses, exhausted

    def _fill(
        self,
        search: Search,
        findings: Findings,
        statuses: list[str],
        least: float,
        deadline: float,
        *,
        early: bool,
    ) -> bool:
        """Add what is found, and each status; whether it is proved that no more are left."""
        first = ProvisionalLayout(search, self._show)

        def seen(_: int, score: float, bound: float) -> None:
            """Report a score and a bound of the search."""
            findings.look()
            self._tell("searching", score, bound)

        # Without a layout there is nothing to explain: the time kept for that is for a first one.
        end = self.started + self.brief.options.time_limit_s
        for result in alternatives(
            search,
            Times(deadline, at_last=end, reserve=self._reserve(findings)),
            least=least,
            seen=seen,
            should_stop=self.should_stop,
            provisional=first.take if early else None,
        ):
            status = result.outcome.status
            stopped = status in ("time_limit", "cancelled")
            layout = self._checked(search, result)
            findings.look()
            better = first.if_better(layout) if stopped and not findings.layouts else None
            if (kept := better or layout) is not None:
                statuses.append(status)
                # A provisional first layout is not the one that later ones were kept away from.
                if self._apart(search, kept, findings.layouts):
                    findings.add(kept, known=better is not None)
            elif isinstance(result, Found) and not stopped:
                # An empty layout proves that none is left only where the solve went to its end.
                return True
            elif status == "infeasible":
                return search.exact or not findings.layouts
            else:
                statuses.append(status)
                return False
        return False

    def _apart(self, search: Search, layout: Layout, others: Sequence[Layout]) -> bool:
        """Whether a layout is as different from others as was asked."""
        asked = self.brief.options.min_difference
        return self._nearest(search, layout, others) >= asked - FINE

    def _say_found(self, layout: Layout) -> None:
        """Tell of a layout that was found."""
        self._tell("found", layout.score, layout.bound)

    def _nearest(self, search: Search, layout: Layout, others: Sequence[Layout]) -> float:
        """How different a layout is from the most similar of `others`; 1 without any."""
        return min(differences((layout, *others), self.brief, search.walls)[0][1:], default=1.0)

    def _reserve(self, findings: Findings) -> Reserve:
        """The time kept for layouts without proofs: each takes about as long as the model took to
        build, which goes with the size of the room and with what else the machine does."""
        limit = self.brief.options.time_limit_s
        later = max(1, self.brief.options.alternatives - 1)
        share = min(RESERVE_SHARE, RESERVED_SHARE / later)
        each = min(RESERVE_BUILDS * self.seconds, share * limit)
        by = self.started + limit + BUSY_S
        return Reserve(each, self.started + RESERVED_UNTIL * limit, by, lambda: findings.owed)

    def _checked(self, search: Search, result: Found | Ended) -> Layout | None:
        """The layout that a search came to, checked; None where it found none or an empty one."""
        if isinstance(result, Ended) or (not result.bays and not result.mounts):
            return None
        bound, word = _bound(result.outcome.bound), _word(result.outcome.status)
        layout = uncosted(search, result.bays, bound, word, result.mounts)
        return require_checked(self.brief, layout)

    def _show(self, layout: Layout) -> None:
        """Tell of a layout that is not yet proved."""
        self.provisional = layout
        self._tell("provisional", layout.score, layout.bound)

    def _moved(
        self, search: Search, move: Callable[[Search, Layout], Layout], deadline: float
    ) -> None:
        """Move layouts where they stay as different from the others as asked and as well proved,
        and their bays can be kept by pins, as far as time is left."""
        # What is moved is costed anew.
        longest = self.costing
        for place, layout in enumerate(self.layouts):
            began = time.monotonic()
            # In a large room one takes half a second: none begins that would end too late.
            if began + longest > deadline:
                break
            others = [*self.layouts[:place], *self.layouts[place + 1 :]]
            self.layouts[place] = self._once_moved(search, move, layout, others, deadline)
            longest = max(longest, time.monotonic() - began)

    def _once_moved(
        self,
        search: Search,
        move: Callable[[Search, Layout], Layout],
        layout: Layout,
        others: Sequence[Layout],
        deadline: float,
    ) -> Layout:
        """A layout moved, or as it was where it would not stay as different from `others`, as well
        proved, or could not be kept by pins."""
        moved = move(search, layout)
        if moved is layout:
            return layout
        different = self._nearest(search, moved, others) >= self.brief.options.min_difference
        # A hair less than the best is no longer the best: a proof is worth more than a stud.
        sound = different and moved.status == layout.status
        return moved if sound and self._can_be_kept(search, moved, deadline) else layout

    def _can_be_kept(self, search: Search, layout: Layout, deadline: float) -> bool:
        """Whether the model knows a layout, so that its bays stand when they are asked for again.

        It is a little stricter than the rules here and there (a straight limit below a curved one,
        say), and what moved was checked by the rules.
        """
        pins: list[Pin | MountPin] = [*map(pin_of, layout.bays), *self.brief.mount_pins]
        try:
            bound = bound_with(self.brief, pins, deadline, search.yardstick)
        except BriefError:
            return False
        return bound is not None and bound >= layout.score - MORE

    def _furthest(self, search: Search, found: tuple[Layout, ...]) -> float:
        """How far a layout has moved from where it was `found`, at most; the last one's move
        matters to none.

        What is as far from a layout as asked where it stands now may be that much nearer to where
        it stood when the later ones were proved; distances obey the triangle inequality.
        """
        return max(
            (
                differences(pair, self.brief, search.walls)[0][1]
                for pair in zip(found[:-1], self.layouts, strict=False)
            ),
            default=0.0,
        )

    def _refuses(
        self, search: Search, bays: tuple[Bay, ...], mounts: tuple[Mount, ...]
    ) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Bays and mounts that the independent checker refuses, all where it names none; kept to
        be told."""
        layout = uncosted(search, bays, 100.0, "time_limit", mounts)
        faults = check_layout(self.brief, layout)
        if not faults:
            return (), ()
        self.refused += [fault for fault in faults if fault not in self.refused]
        named = _places(faults, "bays"), _places(faults, "mounts")
        return named if any(named) else (tuple(range(len(bays))), tuple(range(len(mounts))))

    def _told(self) -> tuple[Warned, ...]:
        """A word on layouts that the checker refused: the model allows what the rules do not."""
        if not self.refused:
            return ()
        first = self.refused[0]
        detail = f"layouts were left out that the checker refused, the first since {first.detail}"
        return (Warned(code="layouts_refused", pointer="/room", detail=detail),)

    def _conflict(
        self, search: Search, layouts: tuple[Layout, ...], deadline: float
    ) -> tuple[Warned, ...]:
        """Which needs cannot be met together, if the first layout lacks any that alone can."""
        if not self.repairs:
            return ()
        unmet = {u.need: u.reason for u in layouts[0].unmet} if layouts else {}
        if "traded_off" not in unmet.values():
            return ()
        needs = [need for need in search.frame.needs() if unmet.get(need.name) != "impossible"]
        # What the first layout meets is left out first, and what it lacks stays if it can.
        needs.sort(key=lambda need: need.name in unmet)
        now = time.monotonic()
        until = now + CONFLICT_SHARE * (deadline - now)
        found = needs_conflict(self.brief, search.yardstick, needs, until)
        return () if found is None else (found,)

    def _repairs(
        self, search: Search, layouts: tuple[Layout, ...], deadline: float
    ) -> tuple[Repair, ...]:
        """Changes that would help the first layout, as far as time allows."""
        if not self.repairs or not layouts or not layouts[0].unmet:
            return ()
        self._tell("repairs", None, None)
        return find_repairs(self.brief, search.yardstick, layouts[0], passes, deadline)


def _places(faults: tuple[Fault, ...], key: str) -> tuple[int, ...]:
    """Places in a list of the layout that faults point into."""
    found = {int(f.pointer.split("/")[2]) for f in faults if f.pointer.startswith(f"/{key}/")}
    return tuple(sorted(found))


def _bound(bound: float | None) -> float:
    """A bound in points; what was not proved is bounded by the scale's end."""
    return 100.0 if bound is None else min(bound, 100.0)


def _word(status: str) -> str:
    """A layout's own status: a stopped solve leaves its incumbent with the gap it had."""
    return status if status in ("optimal", "within_gap") else "time_limit"
