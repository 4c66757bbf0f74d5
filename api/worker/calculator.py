"""A child process that calculates as told: `python -m api.worker.calculator FD NAME`."""

from __future__ import annotations

import sys
from typing import Any

from api.settings import Settings
from api.worker.child import Stop, Work, serve
from api.worker.runners import load_runner
from api.worker.tasks import calculate


def prepare(settings: Settings) -> Work:
    """The work of a calculator; it needs no store."""
    runner = load_runner(settings.runner)

    def work(task: dict[str, Any], _stop: Stop) -> tuple[dict[str, Any], bytes | None]:
        """Do one calculation."""
        return calculate(runner, task)

    return work


def main(descriptor: int) -> None:
    """Serve the socket of that descriptor."""
    serve(descriptor, prepare)


if __name__ == "__main__":
    main(int(sys.argv[1]))
