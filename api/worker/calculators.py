"""Short calculations in child processes: they cannot stall or crash the service."""

from __future__ import annotations

import contextlib
import logging
import queue
import threading
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Any

from api.http.errors import ServiceError
from api.metrics import ServiceMetrics
from api.settings import Settings
from api.worker.process import Child, ChildDiedError
from api.worker.template import Template
from optimizer.errors import Fault

WAITING_PER_CALCULATOR = 32
_IDLE_S = 0.5
_LOG = logging.getLogger("api.worker.calculators")
CALCULATOR = "api.worker.calculator"
"""Module of the child that calculates."""


@dataclass(frozen=True, slots=True)
class Result:
    """What a calculation gave: a JSON value, or bytes such as a PDF."""

    value: Any
    body: bytes | None


@dataclass(frozen=True, slots=True)
class _Task:
    """A message for a child, and where its answer is awaited."""

    message: dict[str, Any]
    future: Future[Result]


LONG = frozenset({"build", "examples"})
"""Calculations of seconds: they have children of their own, so that none waits behind them."""


class Calculators:
    """A few child processes that take calculations in turn, each within a time limit.

    There are two lanes: one for what takes a moment, one for what takes seconds.
    """

    def __init__(
        self, settings: Settings, metrics: ServiceMetrics, template: Template | None = None
    ) -> None:
        """As many children for either lane as the settings say; queues are bounded."""
        self._metrics = metrics
        size = WAITING_PER_CALCULATOR * settings.calculators
        self._short: queue.Queue[_Task] = queue.Queue(size)
        self._long: queue.Queue[_Task] = queue.Queue(size)
        lanes = {"calculator": self._short, "packer": self._long}
        self._threads = [
            _Calculator(f"{name}-{number}", settings, lane, template, eager=name == "calculator")
            for name, lane in lanes.items()
            for number in range(1, settings.calculators + 1)
        ]

    def start(self) -> None:
        """Start the threads; each starts its child when first needed."""
        for thread in self._threads:
            thread.start()

    def stop(self) -> None:
        """End every child; calculations under way fail."""
        for thread in self._threads:
            thread.stopping.set()
        for thread in self._threads:
            thread.join(timeout=2 * _IDLE_S)

    def submit(self, name: str, **arguments: Any) -> Future[Result]:
        """Start the calculation of that name; ServiceError when too many wait already."""
        future: Future[Result] = Future()
        lane = self._long if name in LONG else self._short
        try:
            lane.put_nowait(
                _Task({"do": "calculate", "name": name, "arguments": arguments}, future)
            )
        except queue.Full:
            raise ServiceError(
                "calculators_busy",
                f"{lane.maxsize} calculations are waiting already",
                limit=lane.maxsize,
                retry_after=2.0,
            ) from None
        self._metrics.calculations.labels(name).inc()
        return future


class _Calculator(threading.Thread):
    """One child and the thread that speaks to it."""

    def __init__(
        self,
        name: str,
        settings: Settings,
        tasks: queue.Queue[_Task],
        template: Template | None,
        *,
        eager: bool,
    ) -> None:
        """`eager` starts the child at once, so that the first short question does not wait for
        imports."""
        super().__init__(name=name, daemon=True)
        self._settings = settings
        self._tasks = tasks
        self._template = template
        self._eager = eager
        self._child: Child | None = None
        self.stopping = threading.Event()

    def run(self) -> None:
        """Until told to stop, do one task after the other in a child process."""
        if self._eager:
            with contextlib.suppress(ChildDiedError):
                self._ready_child()
        while not self.stopping.is_set():
            try:
                task = self._tasks.get(timeout=_IDLE_S)
            except queue.Empty:
                continue
            # What nobody waits for any more is not begun.
            if task.future.set_running_or_notify_cancel():
                self._do(task)
        self._drop_child()

    def _do(self, task: _Task) -> None:
        """Have the child do a task, and answer whoever waits for it."""
        try:
            task.future.set_result(self._ask(task.message))
        except ServiceError as error:
            task.future.set_exception(error)
        # Not tried again: what killed one child would kill the next.
        except ChildDiedError:
            _LOG.warning("a calculator died over %s", task.message["name"])
            self._drop_child()
            task.future.set_exception(
                ServiceError("internal", "the calculation ended with its process")
            )

    def _ask(self, message: dict[str, Any]) -> Result:
        """The child's answer; ServiceError for a problem, or where it takes too long."""
        child = self._ready_child()
        child.send(message)
        answer = child.receive(self._settings.calculation_timeout_s)
        if answer is None:
            self._drop_child()
            limit = self._settings.calculation_timeout_s
            raise ServiceError(
                "calculation_timeout", f"not done after {limit:g} s", limit=limit, retry_after=60
            )
        # An exception does not cross a socket: its members do, and make one again here.
        if "problem" in answer:
            raise _problem(answer["problem"])
        # Bytes come as a message of their own: a PDF in JSON would be a third longer.
        body = child.receive_body() if answer.get("body") else None
        return Result(answer.get("value"), body)

    def _ready_child(self) -> Child:
        """The child, started anew when there is none."""
        if self._child is not None and not self._child.alive:
            self._drop_child()
        if self._child is None:
            self._child = Child(self._settings, CALCULATOR, self.name, self._template)
            self._child.wait_ready()
        return self._child

    def _drop_child(self) -> None:
        """Kill the child, if there is one."""
        child, self._child = self._child, None
        if child is not None:
            child.kill()


def _problem(members: dict[str, Any]) -> ServiceError:
    """The problem that a child describes."""
    faults = [Fault(**entry) for entry in members["errors"]]
    return ServiceError(members["code"], members["detail"], errors=faults)
