"""Runs of HiGHS's branch and cut that can be stopped from outside, one or several at once."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from typing import Any

import highspy

from optimizer.solving.backends.highs import claim_scheduler
from optimizer.solving.search.monitor import PAUSE, SearchMonitor

_Event = highspy.cb.HighsCallbackType

Over = Callable[[Any], bool]
"""Called now and then with the state of HiGHS; True ends the run."""


def run_watched(model: Any, watch: SearchMonitor, over: Over) -> int:
    """Run HiGHS on `model` within the time that is left; gives the number of nodes it took.

    An exception that `over` raises ends the run as well; it is kept in the monitor, and the search
    raises it again, since it cannot pass through the solver's own code.
    """

    def ended(out: Any) -> bool:
        """Whether anything wants the run to end."""
        return watch.over() or over(out)

    return _run(model, watch, ended)


def run_beside(runs: Sequence[tuple[Any, Over]], watch: SearchMonitor) -> int:
    """Run HiGHS on several models at once, each on a thread of its own, as many as the machine has
    processors for; gives the number of nodes they took.

    Each has its own `over`, called from its thread, which must change nothing. What one finds does
    not depend on the others: the answer is the same on any number of processors.
    """
    stop = threading.Event()

    def until_stopped(over: Over) -> Over:
        """`over`, or that all are to end: only the calling thread asks who may want that."""
        return lambda out: stop.is_set() or over(out)

    with ThreadPoolExecutor(min(len(runs), processors())) as pool:
        begun = [pool.submit(_run, model, watch, until_stopped(over)) for model, over in runs]
        try:
            while wait(begun, PAUSE).not_done:
                if watch.over():
                    stop.set()
        finally:
            # Nothing may go on in the background when this one is interrupted.
            stop.set()
    return sum(run.result() for run in begun)


def processors() -> int:
    """Processors that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _run(model: Any, watch: SearchMonitor, ended: Over) -> int:
    """Run HiGHS on `model` until `ended`, or until no time is left; the number of nodes it took."""

    def on_event(_: Any, __: str, out: Any, answer: Any, ___: Any) -> None:
        """What HiGHS calls: interrupts the run when it is to end."""
        try:
            stopped = ended(out)
        except BaseException as error:
            watch.raised = error
            stopped = True
        if stopped and answer is not None:
            answer.user_interrupt = True

    # HiGHS counts its limit over all runs of a model, not from the start of this one.
    model.setOptionValue("time_limit", model.getRunTime() + min(watch.left, 1e6))
    model.setCallback(on_event, None)
    model.startCallback(_Event.kCallbackMipInterrupt)
    # By the model's own option: HiGHS refuses to run where the scheduler has another number.
    claim_scheduler(model.getOptionValue("threads")[1])
    model.run()
    model.stopCallback(_Event.kCallbackMipInterrupt)
    # A callback that stays would answer the model's next run with this one's limits.
    model.setCallback(None, None)
    return max(0, int(model.getInfo().mip_node_count))
