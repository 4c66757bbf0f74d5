"""One run of HiGHS's branch and cut under a watch, by a question asked now and then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import highspy

from optimizer.solving.backends.highs import claim_scheduler
from optimizer.solving.search.monitor import SearchMonitor

_Event = highspy.cb.HighsCallbackType


def run_watched(model: Any, threads: int, watch: SearchMonitor, over: Callable[[Any], bool]) -> int:
    """Run `model` within the watch's time; nodes it took.

    `over` is asked with HiGHS's state and ends the run by True. What it raises ends the run
    too and is kept in the watch, to be raised by the search.
    """

    def on_event(_: Any, __: str, out: Any, answer: Any, ___: Any) -> None:
        try:
            ended = watch.over() or over(out)
        except BaseException as error:
            watch.raised = error
            ended = True
        if ended and answer is not None:
            answer.user_interrupt = True

    model.setOptionValue("time_limit", model.getRunTime() + min(watch.left, 1e6))
    model.setCallback(on_event, None)
    model.startCallback(_Event.kCallbackMipInterrupt)
    claim_scheduler(threads)
    model.run()
    model.stopCallback(_Event.kCallbackMipInterrupt)
    model.setCallback(None, None)
    return max(0, int(model.getInfo().mip_node_count))
