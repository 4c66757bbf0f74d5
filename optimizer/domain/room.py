"""The room as surveyed: walls, openings and what is in the way.

Walls run clockwise as seen from above, the way one turns while standing inside;
positions along a wall are measured from its left end as one faces it.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, ValidationInfo, WithJsonSchema

from optimizer.domain.fields import Distance, Flag, Identifier, Record, Size, read_size

MAX_WALLS = 24
MAX_OPENINGS = 12
MAX_OBSTRUCTIONS = 60
MAX_KEEP_CLEAR = 12
MAX_READINGS = 20


def _read_readings(value: Any, info: ValidationInfo) -> float | tuple[float, ...]:
    """One length, or the readings of one length taken at several heights."""
    if not isinstance(value, list | tuple):
        return read_size(value, info)
    if not 1 <= len(value) <= MAX_READINGS:
        raise ValueError(f"give between 1 and {MAX_READINGS} readings")
    return tuple(read_size(reading, info) for reading in value)


Readings = Annotated[
    float | tuple[float, ...],
    BeforeValidator(_read_readings),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "exclusiveMinimum": 0},
                {"type": "string", "maxLength": 40},
                {
                    "type": "array",
                    "minItems": 1,
                    "maxItems": MAX_READINGS,
                    "items": {
                        "anyOf": [
                            {"type": "number", "exclusiveMinimum": 0},
                            {"type": "string", "maxLength": 40},
                        ]
                    },
                },
            ],
            "description": "One length, or readings taken at several heights: the least counts.",
        },
        mode="validation",
    ),
]


class Slope(Record):
    """A sloped ceiling line: its height at the left and at the right end of the wall."""

    left: Size
    right: Size


def _height_tag(value: Any) -> str:
    """Which form of a wall's height it is, level or sloped."""
    return "sloped" if isinstance(value, dict | Slope) else "level"


# Told apart by form before either is read: an error then speaks of the form that was given, where a
# plain union would report how it fails to be the other one as well.
Height = Annotated[
    Annotated[Size, Tag("level")] | Annotated[Slope, Tag("sloped")], Discriminator(_height_tag)
]


class Studs(Record):
    """Stud centres: either regular from the first one, or listed."""

    spacing: Size | None = None
    first: Distance | None = None
    positions: Annotated[tuple[Distance, ...], Field(max_length=100)] | None = None


class Wall(Record):
    """One straight wall; `corner` is the corner after it, to the next wall clockwise."""

    id: Identifier
    length: Readings
    height: Height | None = None
    studs: Studs | None = None
    corner: Literal["inside", "outside"] = "inside"

    @property
    def clear_length(self) -> float:
        """Least reading: what a straight piece must fit into."""
        return min(self.length) if isinstance(self.length, tuple) else self.length

    @property
    def reading_spread(self) -> float:
        """Largest minus smallest reading; 0 for a single reading."""
        if not isinstance(self.length, tuple):
            return 0.0
        return max(self.length) - min(self.length)

    def height_at(self, position: float, ceiling_height: float) -> float:
        """Clear height at `position` from the wall's left end."""
        if self.height is None:
            return ceiling_height
        if isinstance(self.height, Slope):
            # A slope runs over the wall as it counts, its least reading: positions beyond it do not
            # occur.
            share = position / self.clear_length
            return self.height.left + (self.height.right - self.height.left) * share
        return self.height


class OpeningKind(StrEnum):
    """How an opening is closed; only `hinged_in` sweeps the room's floor."""

    CASED = "cased"
    HINGED_IN = "hinged_in"
    HINGED_OUT = "hinged_out"
    BIFOLD = "bifold"
    SLIDING = "sliding"


class Opening(Record):
    """A way in: position and clear size; trim of width `casing` stays clear on each side."""

    wall: Identifier
    start: Distance
    width: Size
    height: Size = 80.0
    kind: OpeningKind = OpeningKind.CASED
    hinge: Literal["left", "right"] = Field(
        default="left", description="Side of the hinges as seen from inside."
    )
    casing: Distance = 0.0


class ObstructionKind(StrEnum):
    """What is in the way."""

    WINDOW = "window"
    OUTLET = "outlet"
    SWITCH = "switch"
    VENT = "vent"
    HATCH = "hatch"
    PIPE = "pipe"
    BEAM = "beam"
    RADIATOR = "radiator"
    LIGHT = "light"
    OTHER = "other"


class Luminaire(StrEnum):
    """Kinds of luminaire with a published clearance to storage (NEC 410.16(C))."""

    SURFACE_ENCLOSED = "surface_enclosed"
    SURFACE_FLUORESCENT = "surface_fluorescent"
    RECESSED_ENCLOSED = "recessed_enclosed"
    RECESSED_FLUORESCENT = "recessed_fluorescent"
    OPEN_LAMP = "open_lamp"


class Obstruction(Record):
    """Something on a wall that storage must keep clear of, unless it may be covered.

    `setback` is the distance from the wall to its near side and `projection` to its far
    side; both are 0 for what is flush. A ceiling light is given on the wall it is measured
    from, `bottom` being its lowest point.
    """

    wall: Identifier
    start: Distance
    width: Size
    bottom: Distance
    height: Size
    kind: ObstructionKind = ObstructionKind.OTHER
    setback: Distance = 0.0
    projection: Distance = 0.0
    may_cover: Flag = Field(default=False, description="Storage may stand in front of it.")
    luminaire: Luminaire = Luminaire.SURFACE_ENCLOSED


class KeepClear(Record):
    """A box that nothing may stand in, such as the working space before a water heater.

    Out from the wall `depth`, from `start` along it, from `bottom` up; `why` is told on
    drawings and in faults.
    """

    wall: Identifier
    start: Distance
    width: Size
    bottom: Distance = 0.0
    height: Size
    depth: Size
    why: Annotated[str, Field(max_length=80)] = ""


class Access(StrEnum):
    """How the storage is reached: through the opening from outside, or from a free floor."""

    AUTO = "auto"
    REACH_IN = "reach_in"
    WALK_IN = "walk_in"


class Room(Record):
    """Walls in order, clockwise, with what they hold."""

    ceiling_height: Size
    walls: Annotated[tuple[Wall, ...], Field(min_length=1, max_length=MAX_WALLS)]
    openings: Annotated[tuple[Opening, ...], Field(max_length=MAX_OPENINGS)] = ()
    obstructions: Annotated[tuple[Obstruction, ...], Field(max_length=MAX_OBSTRUCTIONS)] = ()
    keep_clear: Annotated[tuple[KeepClear, ...], Field(max_length=MAX_KEEP_CLEAR)] = ()
    measuring_tolerance: Distance = Field(
        default=0.0,
        description="How far off a length of a wall may be: the layout still goes in.",
    )
    access: Access = Access.AUTO

    def wall(self, wall_id: str) -> Wall:
        """The wall of that id; KeyError when there is none."""
        for wall in self.walls:
            if wall.id == wall_id:
                return wall
        raise KeyError(wall_id)
