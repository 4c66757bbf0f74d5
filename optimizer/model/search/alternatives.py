"""The model of a brief, solved again and again under more constraints: the best layout that they
leave, or a good one where the time is over."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Mount
from optimizer.domain.study import Yardstick
from optimizer.errors import UnplacedError
from optimizer.geometry.stretches import Surveyed
from optimizer.model.formulation import Formulation
from optimizer.model.merged_stretches import merged
from optimizer.model.objective import Objective
from optimizer.model.placement import Placed, place
from optimizer.model.search.exclusions import (
    blamed,
    forbid_hung,
    forbid_plan,
    forbid_refused,
    forbid_unreached,
    forbid_unsupported,
)
from optimizer.model.search.lines import ladder_for
from optimizer.model.search.proofs import Proofs
from optimizer.model.search.search_guide import guide_of
from optimizer.model.search.separation import Reference, carrying_walls
from optimizer.model.slots import Slot
from optimizer.model.solution import read_plan
from optimizer.model.tallies import Tallies
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.room_survey import surveyed_room
from optimizer.scoring.amounts import amounts_of
from optimizer.scoring.distance import Portrait, distance, portrait_of
from optimizer.scoring.terms import Frame
from optimizer.solving import (
    Chord,
    Memory,
    Outcome,
    OutOfTimeError,
    SolutionTaker,
    Start,
    explore,
    relative_gap,
    solve,
    value_of,
)
from optimizer.tolerances import FINE

Refuses = Callable[[tuple[Bay, ...], tuple[Mount, ...]], tuple[Sequence[int], Sequence[int]]]
"""Tells which of a layout's bays and mounts (places in it) break a rule; none of a sound one."""

Provisional = Callable[[tuple[Bay, ...], tuple[Mount, ...], float], None]
"""Takes bays and mounts of a layout met on the way to the first one, with the bound in points that
holds of all layouts. They are placed, not checked."""

FEW_REFUSED = 3
"""Slots refused one by one before all that stand alike are left out with one."""
FIRST_SHARE = 0.85
"""Part of the time left that a search may use; ways may be found shut in what it finds."""
BEGINNING_SHARE = 0.1
"""Part of what the model took to build that a search of it takes to begin: with less time left none
begins."""
AGAIN_SHARE = 0.3
"""Part of the time left that a layout without mid supports in rows may take."""
MOST_SLICES = 6
"""Searches of part of the time before one takes all that is left."""
LATE_TRIES = 8
"""Dives for a first layout when the time is over."""
SOON_TRIES = 4
"""Layouts looked for at most until one without a proof is sound."""
MOST_MET = 8
"""Solutions met on the way that are looked at then, the best first."""
ROUNDING_BAYS = 24
"""Bays whose rounding to the grid the asked difference allows for."""
MOST_ROUNDING = 0.02
"""What it allows for that at most."""
_OUT_OF_TIME = Outcome("time_limit", None, None, None, 0.0, None)


@dataclass(frozen=True, slots=True)
class Found:
    """A layout that was found: its bays and mounts, and how its solve ended; the bound is in
    points."""

    bays: tuple[Bay, ...]
    outcome: Outcome
    mounts: tuple[Mount, ...] = ()


@dataclass(frozen=True, slots=True)
class Ended:
    """Why the search found no further layout."""

    outcome: Outcome


class Search:
    """The model of one brief, ready to be solved again and again under more constraints.

    Constraints are only ever added: layouts to keep away from, scores to exceed, combinations of
    bays that a check of the placed layout refused. Bounds and solutions of earlier solves are
    carried over.
    """

    def __init__(
        self, brief: Brief, yardstick: Yardstick | None = None, deadline: float = math.inf
    ) -> None:
        """Surveys the room, enumerates patterns and builds the model of `brief`.

        `yardstick` is given where scores have to be on the scale of an earlier study; else it is
        worked out, which takes a few linear programs. OutOfTimeError where all that is not done by
        `deadline` [monotonic seconds].
        """
        began = time.monotonic()
        self.brief = brief
        self.rules = BayRules(brief)
        surveyed, self.catalogue = surveyed_room(brief, self.rules, ladder_for(brief))
        self.surveyed: Surveyed = merged(surveyed, self.catalogue)
        self.model = Formulation(self.surveyed, self.catalogue, deadline)
        self.frame = Frame(self.rules)
        self.objective = Objective(self.model, self.frame)
        self.yardstick = yardstick or self._yardstick(deadline)
        self.score = self.objective.score(self.yardstick)
        self.model.problem.setObjective(self.score)
        self.tallies = Tallies(self.model)
        # What is asked of the model from here on has its own time.
        self.model.built()
        self._beginning = BEGINNING_SHARE * (time.monotonic() - began)
        """Seconds that a search of the model takes to begin."""
        self.refuses: Refuses | None = None
        self._chords: list[Chord] = []
        self._proofs = Proofs()
        self._refused_early = False
        """Whether what the last search came to was refused before its proof."""
        self._unplaced = 0
        """Plans met whose bays found no places, or places too like an earlier layout's."""
        self._earlier: list[tuple[Portrait, float]] = []
        """Layouts to keep away from, and the distance that what is placed has to have from each."""

    @classmethod
    def within(cls, brief: Brief, yardstick: Yardstick | None, deadline: float) -> Search | None:
        """The search of a brief, None where its model is not built by `deadline`."""
        # To survey the room takes a while, too.
        if time.monotonic() >= deadline:
            return None
        try:
            return cls(brief, yardstick, deadline)
        except OutOfTimeError:
            return None

    def _yardstick(self, deadline: float) -> Yardstick:
        """The most that the room allows for each score term alone, without pins and with every term
        weighed."""
        priorities = self.brief.priorities
        unhung = not priorities.hanging and not self.brief.needs.amounts
        free = self.brief.unpinned()
        # Neither pins nor priorities are in the scale: reruns with others stay comparable.
        if free is not self.brief or unhung:
            weighed = priorities.model_copy(update={"hanging": priorities.hanging or 1.0})
            whole = free.model_copy(update={"priorities": weighed})
            return Search(whole, deadline=deadline).yardstick
        return self.objective.yardstick()

    @property
    def walls(self) -> list[str]:
        """Ids of the walls that may carry bays."""
        return carrying_walls(self.model)

    @property
    def least_difference(self) -> float:
        """The difference to ask of a solution so that the layout placed from it, rounded to the
        grid, is as different as the brief asks."""
        total = sum(self.brief.room.wall(wall).clear_length for wall in self.walls)
        rounding = ROUNDING_BAYS * self.rules.grid / total if total else 0.0
        return min(1.0, self.brief.options.min_difference + min(rounding, MOST_ROUNDING))

    def keep_away(self, bays: tuple[Bay, ...], least: float, number: int) -> None:
        """Forbid all layouts closer than `least` to these bays (see `scoring.distance`).

        Where `least` is more than the brief asks for, rounding to the grid may take what is more.
        """
        reference = Reference(self.model, self.tallies, bays, least, number)
        self._chords += reference.chords
        asked = min(least, self.brief.options.min_difference)
        self._earlier.append((portrait_of(bays), asked))

    def keep_above(self, floor: float) -> None:
        """Forbid all layouts that score less than `floor`."""
        self.model.add(self.score >= floor, "quality")

    def forget(self) -> None:
        """Drop bounds and solutions of earlier solves, which another objective makes worthless."""
        self._proofs.memory = Memory()

    def optimum(self, deadline: float, gap: float) -> Outcome:
        """Outcome of maximising the problem's present objective, access to the bays left
        unchecked."""
        return self._solve(deadline, None, None, gap)

    def next(
        self,
        deadline: float,
        seen: Callable[[float, float], None] | None = None,
        should_stop: Callable[[], bool] | None = None,
        *,
        deep: bool = False,
        provisional: Provisional | None = None,
    ) -> Found | Ended:
        """The best layout that nothing added so far forbids; `deadline` in monotonic seconds.
        `deep`: more are looked for after it, which a lower bound would serve. `provisional` gets a
        few good layouts that are met before that one is proved, and changes nothing of it.

        A placed layout in which some bay cannot be reached is forbidden, and the next best one is
        looked for. A part of the time is kept back for that, and else spent on a better layout.
        """
        # A layout found under a time limit is kept, while another is looked for in what time is
        # left.
        kept: Found | None = None
        taker = None if provisional is None else self._taker(provisional)
        for tries in itertools.count():
            now = time.monotonic()
            if now >= deadline:
                return kept or Ended(_OUT_OF_TIME)
            share = FIRST_SHARE if kept is None and tries < MOST_SLICES else 1.0
            until = now + (deadline - now) * share
            self._refused_early = False
            outcome = self._solve(
                until, seen, should_stop, deep=deep, taker=taker, will_do=self._will_do
            )
            if self._refused_early:
                self._proofs.stricter(outcome)
                continue
            if not outcome.has_solution:
                if share == 1.0 or outcome.status != "time_limit":
                    return kept or Ended(outcome)
                continue
            found = self._found(outcome)
            if found is None:
                continue
            found = self._unpropped(found, deadline, should_stop)
            if outcome.status != "time_limit" or share == 1.0:
                return found if kept is None else _better(kept, found)
            kept = found
        raise AssertionError("unreachable")

    def some(self, should_stop: Callable[[], bool] | None = None) -> Found | Ended:
        """Some layout, when the time is over: the best sound one of those that searches met on
        their way, else what a few dives find."""
        return self._met_before() or self._sound(
            LATE_TRIES, lambda: self._solve(time.monotonic(), None, should_stop, late=True)
        )

    def soon(self, deadline: float, should_stop: Callable[[], bool] | None = None) -> Found | Ended:
        """A good layout that nothing added so far forbids, without a proof of its own: the bound is
        the one that earlier searches proved, for it as well."""
        return self._sound(
            SOON_TRIES, lambda: self._solve(deadline, None, should_stop, prove=False)
        )

    def _sound(self, tries: int, solved: Callable[[], Outcome]) -> Found | Ended:
        """The first sound layout of so many searches at most; each refused one is forbidden."""
        for _ in range(tries):
            outcome = solved()
            if not outcome.has_solution:
                return Ended(outcome)
            found = self._found(outcome)
            if found is not None:
                return found
        return Ended(_OUT_OF_TIME)

    def _met_before(self) -> Found | None:
        """The best sound layout among the solutions that searches met on their way.

        What they ended with was refused, for a way through the room that it shuts, say; what they
        passed by need not be.
        """
        met: dict[float, Start] = {}
        for start in self._proofs.memory.starts:
            self._hold(start)
            met.setdefault(round(value_of(self.score), 6), start)
        bound = self._proofs.memory.bound
        for worth in sorted(met, reverse=True)[:MOST_MET]:
            self._hold(met[worth])
            gap = relative_gap(worth, bound)
            found = self._found(Outcome("time_limit", worth, bound, gap, 0.0, None))
            if found is not None and (found.bays or found.mounts):
                return found
        return None

    def _hold(self, start: Start) -> None:
        """Let the variables hold a solution."""
        for variable in self.model.problem.variables():
            variable.varValue = start.value(variable.name)

    def _found(self, outcome: Outcome) -> Found | None:
        """The layout that the variables hold, placed; None where something refuses it, which is
        then forbidden.

        Each refusal adds a constraint; the bound of `outcome` is kept first, since what is added
        may forbid more than the rule does.
        """
        placed = self._placed()
        if not self._forbid(placed) and placed is not None:
            return Found(placed.bays, self._proofs.honest(outcome), placed.mounts)
        self._proofs.stricter(outcome)
        return None

    def _forbid(self, placed: Placed | None) -> bool:
        """Forbid what refuses a placed layout, the plan where its bays found no places; False where
        nothing does."""
        if placed is None or self._too_alike(placed):
            self._forbid_plan()
            return True
        if placed.unsupported:
            forbid_unsupported(self.model, placed.unsupported)
            return True
        if forbid_unreached(self.model, [*placed.bays, *placed.mounts]):
            return True
        refused, mounts = self._refused(placed)
        if not refused and not mounts:
            return False
        refused, mounts = blamed(self.model, refused, mounts, placed.slots)
        if not refused and not mounts:
            self._forbid_plan()
            return True
        # One by one at first, to forbid no more than needed; then all alike, or a room in which
        # many slots fail would take a solve for each.
        forbid_refused(self.model, refused, alike=len(self.model.refused) >= FEW_REFUSED)
        forbid_hung(self.model, mounts)
        return True

    def _forbid_plan(self) -> None:
        """Forbid the plan that the variables hold, and what is like it."""
        forbid_plan(self.model, self._unplaced)
        self._unplaced += 1

    def _taker(self, provisional: Provisional) -> SolutionTaker:
        """What hands a solution of the search on as a placed layout, where its bays find places."""

        def take(bound: float) -> None:
            """Place what the variables hold; nothing is forbidden where that fails."""
            placed = self._placed()
            if placed is None or placed.unsupported or not (placed.bays or placed.mounts):
                return
            provisional(placed.bays, placed.mounts, self._proofs.honest_bound(bound))

        return take

    def _placed(self) -> Placed | None:
        """The layout that the variables hold, None where its bays find no places.

        The model knows lengths, not positions on the grid, and may let in what comes out a hair
        too tight.
        """
        try:
            return place(self.model, read_plan(self.model))
        except UnplacedError:
            return None

    def _too_alike(self, placed: Placed) -> bool:
        """Whether a placed layout is closer to one to keep away from than was asked.

        The model knows no studs: where they stand unluckily, a bay is placed narrower than planned.
        """
        portrait = portrait_of(placed.bays)
        return any(
            distance(portrait, other, self.brief, self.walls) < asked - FINE
            for other, asked in self._earlier
        )

    def _refused(self, placed: Placed) -> tuple[list[Slot], list[str]]:
        """Slots of the bays, and ids of the mounts, that the checker refuses in a placed layout."""
        if self.refuses is None or (not placed.bays and not placed.mounts):
            return [], []
        bays, mounts = self.refuses(placed.bays, placed.mounts)
        return [placed.slots[index] for index in bays], [placed.mounts[i].id for i in mounts]

    def _worth(self, bays: tuple[Bay, ...], mounts: tuple[Mount, ...]) -> float:
        """Score of placed bays, with what stands on their shelves and hangs beside them."""
        amounts = amounts_of(bays, self.rules, self.surveyed, mounts)
        return sum(term.points for term in self.frame.terms(amounts, self.yardstick))

    def _unpropped(
        self, found: Found, deadline: float, should_stop: Callable[[], bool] | None
    ) -> Found:
        """The layout, or a better one without mid supports where those break rows of stored things.

        Where less is stored than the model counted on, a second search runs with no mid supports
        over rows. The bound proved for the first holds for both.
        """
        propped, promised = self.objective.stored.propped, found.outcome.objective or 0.0
        worth = self._worth(found.bays, found.mounts) if propped is not None else promised
        if worth >= promised - self.brief.options.gap * max(1.0, promised):
            return found
        # What this search proves holds without mid supports alone: it must not become a bound of
        # later ones.
        memory, self._proofs.memory = self._proofs.memory, Memory()
        # A bound, not a constraint, since it is taken back.
        propped.upBound = 0
        now = time.monotonic()
        outcome = self._solve(now + (deadline - now) * AGAIN_SHARE, None, should_stop)
        propped.upBound = 1
        self._proofs.memory = memory
        if not outcome.has_solution:
            return found
        placed = self._placed()
        if placed is None or placed.unsupported or self._too_alike(placed):
            return found
        if any(self._refused(placed)):
            return found
        if forbid_unreached(self.model, [*placed.bays, *placed.mounts]):
            self._proofs.stricter(found.outcome)
            return found
        better = self._worth(placed.bays, placed.mounts) > worth
        return replace(found, bays=placed.bays, mounts=placed.mounts) if better else found

    @property
    def exact(self) -> bool:
        """Whether only the rules, and the layouts found before, exclude anything so far."""
        return self._proofs.strict is None

    def _solve(
        self,
        deadline: float,
        seen: Callable[[float, float], None] | None,
        should_stop: Callable[[], bool] | None,
        gap: float | None = None,
        *,
        deep: bool = False,
        late: bool = False,
        prove: bool = True,
        taker: SolutionTaker | None = None,
        will_do: Callable[[], bool] | None = None,
    ) -> Outcome:
        """Solve under everything added so far, with the bounds and solutions of earlier solves."""
        options, problem = self.brief.options, self.model.problem
        gap = options.gap if gap is None else gap
        left = max(0.0, deadline - time.monotonic())
        # Only our own search dives, however late.
        if left <= self._beginning and not (late and options.solver == "highs"):
            return _OUT_OF_TIME
        # Only HiGHS is searched around; CBC, chosen for a second opinion, gets the whole problem.
        if options.solver != "highs":
            outcome = solve(
                problem,
                solver=options.solver,
                time_limit=left,
                gap=gap,
                seed=options.seed,
                on_progress=seen,
                should_stop=should_stop,
            )
            return self._proofs.bounded(outcome)
        outcome = explore(
            problem,
            guide_of(self.model, self.tallies, self._chords),
            self._proofs.memory,
            gap=gap,
            seed=options.seed,
            deep=deep,
            late=late,
            prove=prove,
            time_limit=left,
            on_progress=seen,
            should_stop=should_stop,
            on_solution=taker,
            will_do=will_do,
        )
        return self._proofs.bounded(outcome)

    def _will_do(self) -> bool:
        """Whether nothing refuses the layout that the variables hold; what does is forbidden."""
        self._refused_early = self._forbid(self._placed())
        return not self._refused_early


def _better(one: Found, other: Found) -> Found:
    """The layout with the higher score, with the bound that the later of both searches proved."""
    best = max((one, other), key=lambda found: found.outcome.objective or 0.0)
    bounds = [b for b in (one.outcome.bound, other.outcome.bound) if b is not None]
    bound = max(min(bounds), best.outcome.objective or 0.0) if bounds else None
    gap = relative_gap(best.outcome.objective, bound)
    status = other.outcome.status
    return replace(best, outcome=replace(best.outcome, status=status, bound=bound, gap=gap))
