"""The search for a best solution: starts, kernels, places planned anew, probes, then a proof.

A few decisions of which the relaxation is blind come first, where there are any. A dive, a kernel
and the places around it give a good solution within a second or two. Small problems, and larger
ones in a single place, are closed by branch and bound over the hot relaxation, a few dozen to a
thousand small linear programs, and the others by HiGHS's branch and cut, told what has to be
exceeded and spared its own heuristics: its cuts take it there in a tenth of the nodes.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Sequence
from contextlib import nullcontext
from typing import Any

from optimizer.solving.backends.outcome import Outcome, OutOfTimeError, finished, stopped
from optimizer.solving.backends.problem import tidy_values
from optimizer.solving.search.dive import Dive
from optimizer.solving.search.guide import Guide
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.kernel import Kernel
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.neighbourhoods import Neighbourhoods
from optimizer.solving.search.parts import Parts
from optimizer.solving.search.probes import Probes
from optimizer.solving.search.program import Program
from optimizer.solving.search.provisional import ProvisionalSolutions, SolutionTaker
from optimizer.solving.search.splitting import Splitting
from optimizer.solving.search.starts import Memory, Start, completed, held, started
from optimizer.solving.search.tree import PartTree, Tree

LARGE = 200
"""Integer variables from which kernels and places are searched first, and HiGHS branches."""
HUGE = 1000
"""Integer variables from which pairs of places planned anew lead further than a kernel in the same
time, and HiGHS proves the whole before probes of all choices are through. In a single place our own
tree searches what has fewer."""
FEW_STEPS = 6
"""Steps (see `Parts.search_all`) of a proof that is tried before a deeper one."""
VARIED = 4
"""Solutions of earlier searches whose places are planned anew."""
ROUND = 50
"""Nodes of our own tree before bounds are narrowed again; twice as many before the next time."""
LATE_ROOT_S = 5.0
"""Seconds for the relaxation of a search that begins when the time is over: a hundred times what an
ordinary room takes."""
DEEP_NODES = 100
"""Nodes of our own tree for a deep proof of a small problem."""
MOST_WORK = 80_000_000
"""Nodes of our own tree, times the square of the number of integer variables (what a node
costs), before HiGHS searches the whole."""


def explore(
    problem: Any,
    guide: Guide,
    memory: Memory,
    *,
    gap: float,
    seed: int = 0,
    deep: bool = False,
    late: bool = False,
    prove: bool = True,
    time_limit: float | None = None,
    on_progress: Callable[[float, float], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
    on_solution: SolutionTaker | None = None,
    will_do: Callable[[], bool] | None = None,
) -> Outcome:
    """Outcome of solving `problem`; its variables then hold the solution.

    Arguments as for `solve`. `guide` says how to search, and `memory` takes what was met on
    the way. `deep`: bring the bound lower than `gap` asks for where that is cheap, for searches
    that follow. `late`: where the time ran out before there was a solution, one is looked for
    all the same, by so much work and no more: two dives, and a few nodes of HiGHS. `prove` is off
    where a good solution will do: the search then ends, as if out of time, after a look at each
    place around the solutions of earlier searches. `on_solution`
    gets a few good solutions before the end (see `provisional`). `will_do` is asked before a proof
    that will take most of the time, while the variables hold the best solution: where that is of no
    use, the search ends there as if out of time. Same answer for the same problem,
    guide, memory and seed as long as no time limit strikes.
    """
    watch = SearchMonitor(time_limit, should_stop, on_progress)
    search = _Search(
        problem,
        guide,
        memory,
        watch,
        gap=gap,
        seed=seed,
        deep=deep,
        on_solution=on_solution,
        will_do=will_do,
    )
    return search.outcome(late=late, prove=prove)


class _Search:
    """One search."""

    def __init__(
        self,
        problem: Any,
        guide: Guide,
        memory: Memory,
        watch: SearchMonitor,
        *,
        gap: float,
        seed: int,
        deep: bool,
        on_solution: SolutionTaker | None,
        will_do: Callable[[], bool] | None,
    ) -> None:
        """Wires the parts of one search. Without a bound in `memory` the search is fresh: the
        first of its problem, which has no solution near to start from."""
        self.problem = problem
        self.memory = memory
        self.watch = watch
        self.program = Program(problem, guide, seed)
        ceiling = math.inf if memory.bound is None else self.program.gain(memory.bound)
        self.incumbent = Incumbent(self.program, watch, gap, ceiling, deep=deep)
        self.fresh = memory.bound is None
        self.probes = Probes(self.program, watch)
        gain = self.program.gain
        self.probes.remember({name: gain(reach) for name, reach in memory.reach.items()})
        self.parts = Parts(self.program, self.incumbent, self.probes, demanding=not self.fresh)
        self.tree = self._tree()
        self.splitting = Splitting(self.program, self.tree)
        self.kernel = Kernel(self.program, self.parts, self.tree)
        self.around = Neighbourhoods(self.program, self.parts)
        self.provisional = ProvisionalSolutions(problem, self.program, self.incumbent, on_solution)
        self.impossible = False
        self._will_do = will_do

    def _tree(self) -> Tree:
        """The tree of the whole, not yet begun."""
        program, incumbent, finish = self.program, self.incumbent, self.parts.finish
        if self._split:
            return Tree(program, incumbent, finish, program.splits)
        # Beside earlier layouts the flags of chords and the counts decide most: where these are
        # whole, HiGHS is through with the rest sooner than branching on it is.
        if not self.fresh and program.chords:
            return Tree(program, incumbent, finish, program.leading)
        return Tree(program, incumbent)

    def outcome(self, *, late: bool = False, prove: bool = True) -> Outcome:
        """Search, remember, and say how it ended. `late`, `prove`: see `explore`."""
        # Where the relaxation takes too long to begin with, dives would not be over soon.
        late = late and not self.program.enormous
        try:
            infeasible = not self._run(prove=prove, late=late)
        except OutOfTimeError:
            # Nothing was proved, neither a bound nor that there is no solution; and where the
            # relaxation takes too long, so do dives.
            infeasible = late = False
        if late and self.incumbent.values is None and self.watch.ended == "time_limit":
            self._dive_late()
        # What a hook raised inside the solver could not pass through its code, and is raised here.
        if self.watch.raised is not None:
            raise self.watch.raised
        ended = self._infeasible() if infeasible else self._read()
        if self.incumbent.values is not None:
            self.program.hand_over(self.incumbent.values)
            tidy_values(self.problem)
        self._remember(ended)
        return ended

    def _remember(self, ended: Outcome) -> None:
        """Keep the bound and the solutions for the next search."""
        met = [started(self.program, values) for values in self.incumbent.history]
        # Best first: the start that settles the next search spares it the solves of the others.
        self.memory.starts += reversed(met)
        self.memory.best = [*met[-1:], *self.memory.best][:VARIED]
        gain = self.program.gain
        self.memory.reach = {name: gain(reach) for name, reach in self.probes.known().items()}
        if ended.bound is not None:
            self.memory.bound = ended.bound

    def _run(self, *, prove: bool, late: bool) -> bool:
        """Search to the end, or for a good solution alone; False when the relaxation has no
        solution."""
        large = self.large
        # HiGHS comes to something sooner than a tree does, in one place as well.
        if len(self.program.integers) >= LARGE and not prove:
            return self._search_briefly()
        if self.program.enormous and self._begin_enormous():
            return True
        root = self._begin_root(late=late)
        if root is None:
            return False
        self._lead(root)
        if not self.program.enormous:
            self._start()
        if self._over():
            return True
        if large:
            self._search_large(root)
        else:
            self._search_small()
        if prove and (self._further or not self._over()):
            self.provisional.hand_out()
            if self._worth_proving():
                self._prove(large=large)
        return True

    def _begin_enormous(self) -> bool:
        """Look for solutions before the relaxation is solved; whether the search ends there."""
        self._start()
        self._begin_bare()
        if not self._over():
            self._around(1)
        return self._over()

    def _worth_proving(self) -> bool:
        """Whether a huge problem's best solution will do, as far as anybody says."""
        values = self.incumbent.values
        if self._will_do is None or values is None or not self.huge:
            return True
        self.program.hand_over(values)
        tidy_values(self.problem)
        return self._will_do()

    @property
    def _further(self) -> bool:
        """Whether the proof goes on beyond what was asked for: part by part that is cheap, and
        later searches gain by it."""
        ended = self.tree.exhausted or self.watch.over()
        deep = self.fresh and self.incumbent.deep and not ended
        return deep and self.splitting.tells(self.incumbent.target)

    def _prove(self, *, large: bool) -> None:
        """Let HiGHS prove that the incumbent is good enough, or find what is; then more, where a
        deep proof is asked for and not dear."""
        incumbent = self.incumbent
        deep = incumbent.deep and large and not self.huge
        if self.splitting.tells(incumbent.target):
            self._prove_parts()
            return
        # That nothing is more than good enough is proved fastest when looked for alone: mostly in
        # the root, or in ten times as long as it takes to come deeper at once.
        if self.fresh or not deep:
            self._search_all(incumbent.target, FEW_STEPS if deep else None)
        # In a huge problem a deeper bound takes too long.
        if deep and not self.impossible and not self.watch.over():
            self._search_all(incumbent.goal)

    def _prove_parts(self) -> None:
        """Prove the parts that split columns leave, the most promising one first."""
        # Deep at once: the parts are small, and with a proof to the gap alone first most of them
        # would be searched twice.
        with self.incumbent.stricter() if self._further else nullcontext():
            self._grow()

    def _search_all(self, cutoff: float, most_steps: int | None = None) -> None:
        """Let HiGHS search all that may exceed `cutoff`."""
        lower, upper = self.tree.narrowed(cutoff)
        self.probes.shut(upper, cutoff)
        self.impossible = not self.parts.search_all(lower, upper, cutoff, most_steps)

    def _begin_root(self, *, late: bool) -> float | None:
        """Solve the whole relaxation, from which tree, prices and kernel start; its gain, None
        where it has no solution."""
        root = self.program.solve_root(max(self.watch.left, LATE_ROOT_S if late else 0.0))
        if root is None:
            return None
        self.incumbent.lower_bound_to(root)
        # Tree, prices and kernel read the relaxation that the program has just solved: no other
        # solve may come between.
        self.tree.start(root)
        if self.tree.root is not None:
            self.probes.price(self.tree.root)
        self.kernel.start()
        return root

    def _lead(self, root: float) -> None:
        """Branch on the columns that split the problem, where there are any; the kernel starts
        from what that comes to."""
        if self.huge or not self._split:
            return
        self.splitting.begin(root, self.incumbent.gap)
        self._start_from(self.splitting, 0)

    def _start_from(self, splitting: Splitting, number: int) -> bool:
        """Start the kernel from one of the parts; False where there is none, or nothing in it."""
        found = number < len(splitting.parts) and splitting.relaxed(number)
        if found:
            self.kernel.start()
        return found

    def _search_large(self, root: float) -> None:
        """Good solutions and bounds of every sort; HiGHS proves such a problem before our tree
        would have helped it."""
        program = self.program
        if not self.fresh:
            for size in (1, 2):
                self._vary(self.memory.best, size, self.incumbent.needed)
        if self.fresh and self.incumbent.values is None and self.kernel.large:
            self._begin()
        # Where planning places anew led near, a huge problem's kernel takes longer than all that
        # follows to find as much.
        led = self.huge and not self.incumbent.distant
        if not self._over() and not led and (self.fresh or self.incumbent.values is None):
            self.kernel.begin()
        if self.incumbent.values is None and not self._over():
            self._dive()
        self.provisional.hand_out(midway=True)
        self._improve()
        self.provisional.hand_out()
        if self.fresh:
            self._ask()
            self.provisional.hand_out()
            self._follow()
        # A later layout keeps away from earlier ones, so that what the relaxation uses is forbidden
        # to it in part, and the best place lies among what is merely cheap. A proof part by part
        # takes less time than to look there.
        parted = self.splitting.tells(self.incumbent.target)
        if not self.fresh and not parted and not self._over():
            self.kernel.search_cheap()
        # Nor are probes as near to the truth as the parts then are.
        if self.fresh and program.choices and not (self.huge or parted) and not self._over():
            self._probe(root)
            self.provisional.hand_out()

    def _ask(self) -> None:
        """Where the best solution is poor and lacks what is wanted, look for one that has it."""
        program, incumbent = self.program, self.incumbent
        lacking = incumbent.lacking(program.wanted)
        # A huge problem's places planned anew take as long for what is seldom there.
        if self.huge or not len(lacking) or not incumbent.distant or self.watch.over():
            return
        with program.asking(lacking):
            gain = self._relaxed()
            if gain is None or gain <= incumbent.best:
                return
            self.kernel.start()
            before = incumbent.best
            self._begin_anew()
            if incumbent.best <= before and not self._over() and self._lead_asked():
                self._begin_anew()
        if incumbent.best > before and not self._over():
            self._improve()

    def _lead_asked(self) -> bool:
        """Start the kernel from what splits the relaxation with what is asked for; False where
        nothing does."""
        gain = self._relaxed()
        if gain is None:
            return False
        program = self.program
        tree = PartTree(self.tree, program.lower, program.upper, program.splits)
        tree.start(gain)
        splitting = Splitting(program, tree)
        # The least that it tells will do: there is nothing better to start from.
        splitting.begin(gain, 0.0)
        return self._start_from(splitting, 0)

    def _begin_anew(self) -> None:
        """Solutions from the kernel as if none were known, and places around them planned anew."""
        with self.incumbent.afresh():
            self._begin_from_kernel()
            if not self._over():
                self.kernel.begin()
            if not self._over():
                self._around(1)

    def _follow(self) -> None:
        """Look for other solutions in the next best parts: later searches, which keep away from the
        best one, start from them."""
        for number in range(1, len(self.splitting.parts)):
            if not self.incumbent.deep or self.watch.over():
                return
            if self._start_from(self.splitting, number):
                with self.incumbent.afresh():
                    self._begin_from_kernel()

    def _search_briefly(self) -> bool:
        """A good solution without a proof: places of earlier solutions planned anew, then those of
        the best of what comes of it, then what is cheap, and pairs of places. False when the
        relaxation has no solution."""
        self._start()
        # What was met before and is still allowed is there at once, but mostly poor. The first
        # layouts are the best ones, and the time may be over at any step.
        before = self.memory.best[::-1]
        for size in (1, 2):
            if not self._over() and (size == 1 or self.incumbent.values is None):
                self._vary(before, size, -math.inf)
        # The whole relaxation takes a large problem as long as three places planned anew.
        if self.incumbent.values is None and not self._over():
            if self._begin_root(late=False) is None:
                return False
            self.kernel.begin()
            if self.incumbent.values is None and not self._over():
                self._dive()
        if not self._over():
            self._around(1)
        if not self._over():
            self.kernel.search_cheap()
        if not self._over():
            self._vary(before, 2, -math.inf)
        return True

    def _search_small(self) -> None:
        """A tree of our own, as long as it costs less than HiGHS takes to begin."""
        if self.incumbent.values is None:
            self._dive()
        # The first of several is the best one, where that is soon proved, and not just near it.
        if self.fresh and self.incumbent.deep:
            with self.incumbent.stricter():
                self._grow(DEEP_NODES)
        self._grow(MOST_WORK // max(1, len(self.program.integers) ** 2))

    def _grow(self, most: int = sys.maxsize) -> None:
        """Let the tree grow to so many nodes at most."""
        nodes = ROUND
        while not self._over() and self.tree.nodes < most:
            self._narrow(self.incumbent.target)
            self.tree.run(min(nodes, most - self.tree.nodes))
            nodes *= 2

    def _probe(self, root: float) -> None:
        """A bound and a kernel from every member of every choice, where it may still matter."""
        lower, upper = self.tree.narrowed(self.incumbent.goal)
        with self.program.within(lower, upper):
            self.probes.run(self.incumbent.goal)
        self.incumbent.lower_bound_to(self.probes.bound)
        if not self._over():
            chosen, upper = self.probes.kernel(root)
            # The probes alone use what one fixed state calls for; the relaxation's own adds what
            # all share.
            self.kernel.search(chosen | self.kernel.first, upper)

    def _improve(self) -> None:
        """Plan each place anew while the best solution is not even nearly good enough, and
        pairs of places where it stays far from that."""
        self._around(1)
        if self.fresh and not self.huge and self.incumbent.distant:
            self._around(2)

    def _vary(self, before: Sequence[Start], size: int, needed: float) -> None:
        """Plan `size` places at a time of what earlier searches found anew; `needed` is the gain
        that is hoped for."""
        for start in before:
            for _ in self.around.vary(held(self.program, start), size, needed):
                if self._over():
                    return

    def _around(self, size: int) -> None:
        """Plan `size` places at a time anew while the best solution is far from good enough."""
        for _ in self.around.improve(self.incumbent, size):
            if self._over() or not self.incumbent.far:
                return
            self.provisional.hand_out(midway=True)

    def _begin(self) -> None:
        """First solutions: a dive, and places planned anew around what it finds.

        HiGHS takes a second or more to begin with what these find in a fifth of it; our own tree,
        in smaller problems, is there as soon.
        """
        self._begin_from_kernel()
        self.provisional.hand_out()
        if self.huge and self.incumbent.far and not self._over():
            self._around(2)
            self.provisional.hand_out()

    def _begin_from_kernel(self) -> None:
        """A dive within the kernel, and places planned anew around what it finds."""
        self.kernel.dive()
        self._begin_bare()
        # One of two places is half of the problem, and takes HiGHS as long as the kernel.
        if len(set(self.program.places.tolist())) > 2:
            self._around(1)

    def _begin_bare(self) -> None:
        """Where there is no solution yet, take what holds what it has to alone: poor, but from it a
        round of places planned anew finds most of what there is to find."""
        bare = None if self.incumbent.values is not None or self._over() else self.around.bare()
        if bare is not None:
            self.incumbent.take(*bare)

    @property
    def large(self) -> bool:
        """Whether HiGHS is faster than a tree of our own, which has the better of it in a single
        place: a few counts decide most of it."""
        return len(self.program.integers) >= (HUGE if self.program.single else LARGE)

    @property
    def _split(self) -> bool:
        """Whether a few decisions split the problem, which is large enough to begin with them."""
        return self.large and bool(self.program.splits.any())

    @property
    def huge(self) -> bool:
        """Whether the problem is so large that HiGHS is slow to begin with it."""
        return len(self.program.integers) >= HUGE

    def _narrow(self, cutoff: float) -> None:
        """Keep out of the tree what probing has shown not to exceed `cutoff`."""
        upper = self.program.upper.copy()
        if math.isfinite(cutoff) and self.probes.shut(upper, cutoff):
            self.tree.narrow(upper, cutoff)

    def _over(self) -> bool:
        """Whether the search ends here: all looked at, none possible, proved, or out of time."""
        ended = self.tree.exhausted or self.impossible
        return ended or self.incumbent.settled or self.watch.over()

    def _relaxed(self) -> float | None:
        """Gain of the linear relaxation under the problem's own bounds; None where it has no
        solution."""
        return self.program.solve(self.program.lower.copy(), self.program.upper.copy())

    def _dive_late(self) -> None:
        """Offer what a dive finds when the time is over, or what HiGHS first comes upon: only who
        asks to stop ends it."""
        watch = SearchMonitor(None, self.watch.should_stop)
        # Within the kernel it is over sooner and more often finds something.
        self.kernel.dive(watch)
        if self.incumbent.values is None and not watch.over():
            self.kernel.search_first(watch)
        if self.incumbent.values is None:
            self._dive(watch)

    def _dive(self, watch: SearchMonitor | None = None) -> None:
        """Offer what a dive finds from the relaxation; another `watch` than the search's may end
        it."""
        # Kernels and places have solved other bounds since: the dive starts from the whole
        # relaxation.
        if self._relaxed() is None:
            return
        program = self.program
        dive = Dive(program, watch or self.watch, program.lower, program.upper)
        found = dive.run(self.incumbent.best)
        if found is not None:
            self.incumbent.offer(found)

    def _start(self) -> None:
        """Try the solutions met before."""
        for start in self.memory.starts:
            if self.incumbent.settled or self.watch.over():
                return
            values = completed(self.program, start)
            if values is not None:
                self.incumbent.offer(values)

    def _read(self) -> Outcome:
        """Outcome of a search that was possible."""
        incumbent, watch, gain = self.incumbent, self.watch, self.program.gain
        bound = gain(incumbent.bound) if math.isfinite(incumbent.bound) else None
        if incumbent.values is None:
            if self.tree.empty or self.impossible:
                return self._infeasible()
            return stopped(watch.ended or "time_limit", None, bound, watch.seconds, self.nodes)
        best = gain(incumbent.best)
        # An exhausted tree is a proof as well: all that was left of it was closed by a bound.
        if incumbent.settled or self.tree.exhausted:
            return finished(best, bound, incumbent.gap, watch.seconds, self.nodes)
        return stopped(watch.ended or "time_limit", best, bound, watch.seconds, self.nodes)

    @property
    def nodes(self) -> int:
        """Nodes of our own tree and of HiGHS's."""
        return self.tree.nodes + self.parts.nodes

    def _infeasible(self) -> Outcome:
        """The outcome of a problem without solutions."""
        return stopped("infeasible", None, None, self.watch.seconds, self.nodes)
