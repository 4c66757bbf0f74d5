"""Hooks and mirrors that the brief keeps where they hang."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.brief import MountPin
from optimizer.errors import Fault
from optimizer.geometry.mount_space import free_for
from optimizer.geometry.stretches import Surveyed
from optimizer.reference.mounted import Mounted, mounted_of
from optimizer.tolerances import FINE
from optimizer.units import state_length


def mount_pin_faults(surveyed: Surveyed) -> Iterator[Fault]:
    """A fault for each mount whose place the room does not leave free, whatever is built."""
    brief = surveyed.brief
    mounts = {mount.id: mount for mount in mounted_of(brief)}
    for number, pin in enumerate(brief.mount_pins):
        mount = mounts[pin.mount]
        if not _is_free(surveyed, mount, pin):
            at = state_length(pin.start, brief.units)
            yield Fault(
                f"/mount_pins/{number}",
                f"the pin cannot be kept: {mount.kind} {mount.id} cannot hang {at} from the left "
                f"end of wall {pin.wall}: something is in its way",
                "pin_refused",
            )


def _is_free(surveyed: Surveyed, mount: Mounted, pin: MountPin) -> bool:
    """Whether a mount's whole width fits in one free piece of its wall at the pin's start."""
    wall = [wall.id for wall in surveyed.brief.room.walls].index(pin.wall)
    return any(
        low <= pin.start + FINE and high >= pin.start + mount.width - FINE
        for low, high in free_for(mount, surveyed.cut, wall)
    )
