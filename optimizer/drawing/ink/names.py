"""Titles made of ids that people chose."""

from __future__ import annotations


def wall_title(wall_id: str) -> str:
    """A wall's id as a title: 'Wall B', but 'Wall by the stairs' as it is."""
    if wall_id.lower().startswith("wall"):
        return wall_id[:1].upper() + wall_id[1:]
    return f"Wall {wall_id}"
