"""Ordinary rooms by the hundred: does anything crash, is every study sound, do own bays stand?

    python tests/bench/sweep_rooms.py [--rooms 200] [--from 0]

Each study is held against what `tests/properties` asks of any study, its build packs included, and
the bays of its last layout are asked for again as pins. Prints a line a room; the exit status is 1
where one failed. About three seconds a room.
"""

from __future__ import annotations

import argparse
import json
import sys
import traceback
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from rich.console import Console

from optimizer.briefs.reader import read_brief
from optimizer.errors import BriefError
from optimizer.proposing import propose
from tests.bench.ordinary_rooms import ordinary_brief
from tests.pins import require_own_bays_stand
from tests.properties.test_layouts import require_sound

SAY = Console(highlight=False, soft_wrap=True, markup=False)
PATIENCE_S = 20.0
ALONE = 2
"""Bays asked for one at a time."""


def swept(seed: int) -> str:
    """What became of one room: refused, failed, or the status of its study."""
    raw = ordinary_brief(seed)
    try:
        brief, _ = read_brief(raw)
    except BriefError as error:
        SAY.print(seed, "refused:", error.faults[0])
        return "refused"
    try:
        study = propose(brief, repairs=False)
        require_sound(study)
        for layout in study.layouts[-1:]:
            alone = layout.bays[:ALONE]
            require_own_bays_stand(brief, study, layout, PATIENCE_S, alone=alone)
    except Exception:  # whatever it is, the other rooms are looked at too
        SAY.print(seed, "FAILED:", json.dumps(raw), traceback.format_exc(limit=-3), sep="\n")
        return "failed"
    scores = ", ".join(f"{layout.score:.1f}" for layout in study.layouts)
    SAY.print(seed, f"{study.status}: {scores}")
    return study.status


def main() -> int:
    """Sweep, and count what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rooms", type=int, default=200)
    parser.add_argument("--from", dest="first", type=int, default=0, help="seed of the first room")
    given = parser.parse_args()
    ends = Counter(swept(seed) for seed in range(given.first, given.first + given.rooms))
    SAY.print(", ".join(f"{count} {end}" for end, count in sorted(ends.items())))
    return 1 if ends["failed"] else 0


if __name__ == "__main__":
    raise SystemExit(main())
