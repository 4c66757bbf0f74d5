"""Bays of a layout asked for again: what must hold of any study."""

from __future__ import annotations

import time
from collections.abc import Sequence

from optimizer.checking import check_study
from optimizer.domain.brief import Brief, MountPin, Pin
from optimizer.domain.layout import Bay, Layout
from optimizer.domain.study import Study
from optimizer.explaining.pins import pin_of, possible
from tests.layouts import propose_layouts


def _pins(bays: Sequence[Bay]) -> tuple[Pin, ...]:
    return tuple(map(pin_of, bays))


def require_own_bays_stand(
    brief: Brief,
    study: Study,
    layout: Layout,
    patience_s: float,
    *,
    alone: Sequence[Bay] | None = None,
) -> None:
    """Some layout has each bay of one of the study's, and all of them together, with what hangs
    beside them, one as good.

    A question about one bay may take `patience_s` seconds; it is asked of the bays in `alone`,
    of all where none are given.
    """
    pins = _pins(layout.bays)
    for pin in pins if alone is None else _pins(alone):
        until = time.monotonic() + patience_s
        assert possible(brief, [pin, *brief.mount_pins], until, yardstick=study.yardstick), pin
    hung = tuple(MountPin(mount=m.id, wall=m.wall, start=m.start) for m in layout.mounts)
    held = brief.model_copy(update={"pins": pins, "mount_pins": hung})
    again = propose_layouts(held, yardstick=study.yardstick)
    assert again.layouts
    assert again.layouts[0].bound >= layout.score - 1e-6
    assert check_study(held, again) == ()
