"""One run of HiGHS's branch and cut that can be stopped from outside."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import highspy

from optimizer.solving.backends.highs import claim_scheduler
from optimizer.solving.search.monitor import SearchMonitor

_Event = highspy.cb.HighsCallbackType


def run_watched(model: Any, threads: int, watch: SearchMonitor, over: Callable[[Any], bool]) -> int:
    """Run HiGHS on `model` within the time that is left; gives the number of nodes it took.

    `over` is called now and then with the state of HiGHS, and ends the run by returning True. An
    exception that it raises ends the run as well; it is kept in the monitor, and the search raises
    it again, since it cannot pass through the solver's own code.
    """

    def on_event(_: Any, __: str, out: Any, answer: Any, ___: Any) -> None:
        """What HiGHS calls: interrupts the run when it is to end."""
        try:
            ended = watch.over() or over(out)
        except BaseException as error:
            watch.raised = error
            ended = True
        if ended and answer is not None:
            answer.user_interrupt = True

    # HiGHS counts its limit over all runs of a model, not from the start of this one.
    model.setOptionValue("time_limit", model.getRunTime() + min(watch.left, 1e6))
    model.setCallback(on_event, None)
    model.startCallback(_Event.kCallbackMipInterrupt)
    claim_scheduler(threads)
    model.run()
    model.stopCallback(_Event.kCallbackMipInterrupt)
    # A callback that stays would answer the model's next run with this one's limits.
    model.setCallback(None, None)
    return max(0, int(model.getInfo().mip_node_count))
