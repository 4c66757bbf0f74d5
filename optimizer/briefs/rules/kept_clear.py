"""Rules of the boxes that nothing may stand in: each lies before a wall that exists."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.brief_view import BriefView, Rule
from optimizer.briefs.rules.features import beyond_wall, name_of, unknown_wall
from optimizer.errors import Fault


def _walls(view: BriefView) -> Iterator[Fault]:
    """Boxes name walls that exist."""
    for i, box in enumerate(view.brief.room.keep_clear):
        if view.wall(box.wall) is None:
            yield unknown_wall(view, f"/room/keep_clear/{i}", box.wall)


def _inside(view: BriefView) -> Iterator[Fault]:
    """Boxes lie along their wall and begin under its ceiling.

    How high and how far out a box reaches is left open: clear up to the ceiling and out
    through a door is what people mean.
    """
    for i, box in enumerate(view.brief.room.keep_clear):
        wall = view.wall(box.wall)
        if wall is None:
            continue
        pointer = f"/room/keep_clear/{i}"
        yield from beyond_wall(view, pointer, box, wall)
        _, top = view.heights(wall, box.start, box.start + box.width)
        if box.bottom >= top - view.tolerance:
            yield Fault(
                f"{pointer}/bottom",
                f"{name_of(box)} begins at {view.say(box.bottom)}; wall {wall.id} is "
                f"{view.say(top)} high there",
                "too_high",
            )


RULES = (
    Rule(_walls, ("room.walls", "room.keep_clear")),
    Rule(_inside, ("room.walls", "room.keep_clear", "room.ceiling_height")),
)
