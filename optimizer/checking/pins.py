"""R15 Pins: bays, hooks and mirrors that the brief keeps."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.checking.case import Case
from optimizer.domain.brief import MountPin, Pin
from optimizer.domain.layout import Bay, Mount
from optimizer.errors import Fault


def is_pinned(case: Case, bay: Bay) -> bool:
    """Whether a pin keeps a bay as it is."""
    return any(_matches(case, bay, pin) for pin in case.brief.pins)


def check_pins(case: Case) -> Iterator[Fault]:
    """R15: the bay that a pin keeps is there, and so is the mount."""
    for pin in case.brief.pins:
        if not any(_matches(case, bay, pin) for bay in case.layout.bays):
            yield Fault(
                "/bays",
                f"the bay pinned on wall {pin.wall} from {case.say(pin.start)}, "
                f"{case.say(pin.width)} wide, pattern {pin.pattern}, is not there",
                "pin",
            )
    for kept in case.brief.mount_pins:
        if not any(_hangs(case, mount, kept) for mount in case.layout.mounts):
            yield Fault(
                "/mounts",
                f"{kept.mount} pinned on wall {kept.wall} from {case.say(kept.start)} does not "
                "hang there",
                "pin",
            )


def _hangs(case: Case, mount: Mount, pin: MountPin) -> bool:
    """Whether a mount is the one that a pin keeps."""
    same = mount.id == pin.mount and mount.wall == pin.wall
    return same and abs(mount.start - pin.start) <= case.tolerance


def _matches(case: Case, bay: Bay, pin: Pin) -> bool:
    """Whether a bay is the one that a pin keeps."""
    same = bay.wall == pin.wall and bay.pattern == pin.pattern
    near = abs(bay.start - pin.start) <= case.tolerance
    return same and near and abs(bay.width - pin.width) <= case.tolerance
