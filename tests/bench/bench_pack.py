"""The build pack by stage: processor seconds, as shares of the whole.

    python -m tests.bench.bench_pack [SCENARIO ...]

For each scenario the first layout is proposed, then its pack made: parts and stock with prices,
drawings, the document, the customer's document and labels, SVG and DXF of every drawing.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from typing import Any

from optimizer.briefs.scenarios import scenario_names
from optimizer.delivery import build_pack, pack_document
from optimizer.delivery.customer import customer_document
from optimizer.delivery.labels import labels_document
from optimizer.drawing import drawing_files
from optimizer.proposing import propose
from tests.ready_briefs import load_scenario

STAGES = ("pack", "drawings", "document", "customer", "labels", "svg, dxf")


def timed(make: Callable[[], Any]) -> tuple[Any, float]:
    """What is made, and the processor seconds that it takes."""
    started = time.process_time()
    made = make()
    return made, time.process_time() - started


def measure(name: str) -> list[float] | None:
    """Seconds of each stage; None where no layout is found."""
    brief = load_scenario(name)
    options = brief.options.model_copy(update={"alternatives": 1})
    study = propose(brief.model_copy(update={"options": options}), repairs=False)
    if not study.layouts:
        return None
    delivery, packing = timed(lambda: build_pack(brief, study.layouts[0]))
    stages: list[Callable[[], Any]] = [
        lambda: delivery.drawings,
        lambda: pack_document(delivery),
        lambda: customer_document(delivery),
        lambda: labels_document(delivery),
        lambda: drawing_files(delivery.drawings),
    ]
    return [packing, *(timed(stage)[1] for stage in stages)]


def main() -> None:
    """Print a line for each scenario."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("scenarios", nargs="*", default=scenario_names())
    head = "".join(f"{stage:>10s}" for stage in STAGES)
    sys.stdout.write(f"{'':22s}{'whole s':>9s}{head}\n")
    for name in parser.parse_args().scenarios:
        seconds = measure(name)
        if seconds is None:
            sys.stdout.write(f"{name:22s} no layout in time\n")
            continue
        whole = sum(seconds)
        shares = "".join(f"{second / whole:10.0%}" for second in seconds)
        sys.stdout.write(f"{name:22s}{whole:9.2f}{shares}\n")


if __name__ == "__main__":
    main()
