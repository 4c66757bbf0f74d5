"""A runner whose behaviour a brief's name chooses: for tests of the service around it.

`slow N` finds a layout each N/4 s and heeds the wish to stop; `stuck` never stops; `crash`
kills its own process; `fault`, `nothing`, `infeasible` and `memory` fail in their ways; `big` finds
many layouts; `early N` tells a provisional layout N/4 s before the first, and `early stuck` nothing
after it; anything else answers at once. Every run is deterministic.
"""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Sequence

from api.worker.runners import OnProgress, ShouldStop
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Metrics, Term, TermName, Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.domain.progress import Progress
from optimizer.domain.study import Status, Study, Warned
from optimizer.errors import Fault, NothingBuildableError


def fake_layout(brief: Brief, rank: int) -> Layout:
    """A layout of one bay whose value of each term depends on its rank alone."""
    wall = brief.room.walls[0]
    values = {name: round(1.0 / (rank + i), 4) for i, name in enumerate(TermName)}
    weights = {"needs": 10.0, **brief.priorities.weights()}
    total = sum(weights[name] for name in weights if name != "needs") or 1.0
    terms = tuple(
        Term(
            name=name,
            weight=weights[name],
            value=values[name],
            points=100
            * (2 / 3 if name is TermName.NEEDS else weights[name] / total / 3)
            * values[name],
        )
        for name in TermName
    )
    score = sum(term.points for term in terms)
    rod = Zone(kind=ZoneKind.ROD, hang=Hang.SHORT, bottom=3, top=43, rod_height=40, depth=24)
    bay = Bay(
        id=f"{wall.id}1",
        wall=wall.id,
        start=0.75,
        width=20 + rank,
        depth=24,
        height=84,
        pattern=f"short {rank}",
        zones=(rod,),
    )
    metrics = Metrics(
        long_hang=0,
        medium_hang=0,
        short_hang=20 + rank,
        shelf_length=0,
        shelf_area=0,
        open_floor=0,
        easy_length=20 + rank,
        items_housed=0,
        material_cost=50.0 * rank,
        sheets=1,
        parts=8,
    )
    return Layout(
        rank=rank,
        score=score,
        bound=score,
        terms=terms,
        metrics=metrics,
        bays=(bay,),
        trade_off="" if rank == 1 else f"{rank - 1} in more short hang than layout 1",
    )


class FakeRunner:
    """Does what the brief's name says."""

    def propose(
        self,
        brief: Brief,
        warnings: Sequence[Warned],
        progress: OnProgress,
        should_stop: ShouldStop,
    ) -> Study:
        """A study in the manner of the brief's name."""
        kind, _, amount = brief.name.partition(" ")
        number = brief.options.alternatives
        slow = kind == "slow" or (kind == "early" and amount != "stuck")
        pause = float(amount.split()[0]) / 4 if slow else 0.0
        if kind == "nothing":
            raise NothingBuildableError("no bay fits between these walls")
        if kind == "infeasible":
            return _study(brief, warnings, Status.INFEASIBLE, [])
        if kind == "big":
            number = 20
        if kind == "early":
            progress(Progress("provisional", 0, 40.0, 99.0, 0.1, _provisional(brief)))
            _misbehave(amount, 2)
        found: list[Layout] = []
        for rank in range(1, number + 1):
            if not _rest(pause, should_stop):
                return _study(brief, warnings, Status.CANCELLED, found)
            layout = fake_layout(brief, rank)
            found.append(layout)
            progress(Progress("layout", rank, layout.score, layout.bound, 0.1 * rank, layout))
            _misbehave(kind, rank)
        return _study(brief, warnings, Status.OPTIMAL, found)

    def rerun(
        self,
        earlier: Study,
        brief: Brief,
        warnings: Sequence[Warned],
        progress: OnProgress,
        should_stop: ShouldStop,
        *,
        stability: float,
    ) -> Study:
        """As `propose`, saying what moved."""
        study = self.propose(brief, warnings, progress, should_stop)
        moved = f"{len(earlier.layouts)} layouts before, {len(brief.pins)} bays kept"
        moved += f", stability {stability:g}" if stability else ""
        return study.model_copy(update={"moved": (moved,)})

    def rescore(self, study: Study, brief: Brief) -> Study:
        """The layouts under the new weights, best first."""
        anew = [
            fake_layout(brief, layout.rank).model_copy(update={"status": "rescored", "bound": 99.0})
            for layout in study.layouts
        ]
        ranked = sorted(anew, key=lambda layout: -layout.score)
        layouts = tuple(
            layout.model_copy(update={"rank": rank}) for rank, layout in enumerate(ranked, 1)
        )
        return study.model_copy(update={"brief": brief, "layouts": layouts})

    def pin_faults(self, brief: Brief) -> Sequence[Fault]:
        """A fault for each pin of the pattern `nowhere`."""
        return [
            Fault(f"/pins/{place}", "it cannot stand there", "pin_refused")
            for place, pin in enumerate(brief.pins)
            if pin.pattern == "nowhere"
        ]


def _provisional(brief: Brief) -> Layout:
    """What is told before the first layout: narrower, with a bound above its score."""
    told = {"rank": 1, "status": "provisional", "bound": 99.0}
    return fake_layout(brief, 3).model_copy(update=told)


def _rest(seconds: float, should_stop: ShouldStop) -> bool:
    """Whether the rest went by without a wish to stop."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if should_stop():
            return False
        time.sleep(0.01)
    return not should_stop()


def _misbehave(kind: str, rank: int) -> None:
    """What a name of ill will does after its first or second layout."""
    if kind == "crash" and rank == 2:
        os.kill(os.getpid(), signal.SIGKILL)
    if kind == "fault" and rank == 2:
        raise RuntimeError("a fault of the program")
    if kind == "memory" and rank == 2:
        bytearray(10**12)
    if kind == "stuck" and rank == 2:
        while True:
            time.sleep(1)


def _study(brief: Brief, warnings: Sequence[Warned], status: Status, found: list[Layout]) -> Study:
    distance = tuple(
        tuple(0.0 if i == j else 0.4 for j in range(len(found))) for i in range(len(found))
    )
    return Study(
        brief=brief,
        status=status,
        layouts=tuple(found),
        differences=distance,
        warnings=tuple(warnings),
        versions={"program": "fake", "solver": "none"},
        seconds=0.2,
    )
