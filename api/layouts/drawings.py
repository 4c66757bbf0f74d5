"""Which drawings a layout has, and where they are."""

from __future__ import annotations

from api.layouts.schemas import DrawingEntry, DrawingList, layout_address
from api.studies.lookup import Chosen


def drawings_of(chosen: Chosen, rank: int) -> DrawingList:
    """Plan, an elevation of each wall with bays, in the room's order, and isometric view."""
    # Walls without bays would be drawings of bare wall.
    used = {bay["wall"] for bay in chosen.layouts[0]["bays"]}
    walls = [wall["id"] for wall in chosen.brief["room"]["walls"] if wall["id"] in used]
    here = f"{layout_address(chosen.study_id, rank)}/drawings"
    items = (
        DrawingEntry.of(here, "plan"),
        *(DrawingEntry.of(here, "elevation", wall) for wall in walls),
        DrawingEntry.of(here, "isometric"),
    )
    return DrawingList(study=chosen.study_id, layout=rank, items=items)
