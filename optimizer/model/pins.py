"""Pins that cannot stand where they are put: told without a solve."""

from __future__ import annotations

from optimizer.domain.brief import Brief
from optimizer.errors import BriefError, Fault
from optimizer.model.mount_pins import mount_pin_faults
from optimizer.model.pin_patterns import pinned
from optimizer.model.search.lines import ladder_for
from optimizer.patterns.column import column_of
from optimizer.patterns.room_survey import surveyed_room


def pin_faults(brief: Brief) -> tuple[Fault, ...]:
    """A fault for each pin whose bay cannot stand, or whose mount cannot hang, in its place,
    whatever else is built.

    Pins that exclude each other are found by solving alone.
    """
    if brief.unpinned() is brief:
        return ()
    surveyed, catalogue = surveyed_room(brief, ladder=ladder_for(brief))
    mounts = tuple(mount_pin_faults(surveyed))
    faults: list[Fault] = []
    for stretch in surveyed.stretches:
        if stretch.pin is None:
            continue
        try:
            pinned(stretch, column_of([stretch]), catalogue)
        except BriefError as error:
            faults += error.faults
    return (*sorted(faults, key=lambda fault: int(fault.pointer.split("/")[2])), *mounts)
