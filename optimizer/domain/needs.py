"""What has to go in: hanging, folded things, bulky items, and who uses it."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from optimizer.domain.fields import Distance, Flag, Identifier, Record, Size

MAX_GARMENT_LINES = 100
MAX_ITEMS = 40
MAX_PIECES = 60
MAX_USERS = 12
MAX_STORED_LINES = 12
MAX_MOUNTED = 6
MAX_HOOKS = 40


class Hang(StrEnum):
    """Hang class of a rod: how far the clothes on it reach down."""

    LONG = "long"
    MEDIUM = "medium"
    SHORT = "short"


class Garments(Record):
    """So many garments of one kind; the kind sets hang class and rod length each."""

    kind: Annotated[str, Field(min_length=1, max_length=40)]
    count: Annotated[int, Field(ge=1, le=2000, strict=True)]


class Stored(Record):
    """So many things of one kind to be kept on shelves, in people's units: pairs, pieces, sets.

    Sizes come from the table of kinds unless given: `width` along the shelf of one row or stack
    and `depth` of it, `pitch` from the top of one shelf for it to the next, and how many share
    the width, one on the other or one behind the other (`together`).
    """

    kind: Annotated[str, Field(min_length=1, max_length=40)]
    count: Annotated[int, Field(ge=1, le=2000, strict=True)]
    width: Size | None = None
    depth: Size | None = None
    pitch: Size | None = Field(
        default=None, description="From the top of one shelf for it to the top of the next."
    )
    together: Annotated[int, Field(ge=1, le=100, strict=True)] | None = None

    @property
    def sized(self) -> bool:
        """Whether it brings all sizes of its own."""
        return None not in (self.width, self.depth, self.pitch)


class Place(StrEnum):
    """Where a bulky item may stand."""

    FLOOR = "floor"
    SHELF = "shelf"
    ANY = "any"


class Use(StrEnum):
    """How often a bulky item is wanted."""

    DAILY = "daily"
    WEEKLY = "weekly"
    SELDOM = "seldom"


class Between(Record):
    """The inside width that a bought unit asks for, between uprights or a wall and an upright."""

    least: Size
    most: Size


class Item(Record):
    """A bulky thing to be housed; `width` runs along the wall, pieces are interchangeable.

    One that `fits_between` is a bought unit of drawers or baskets: it fills the width of its bay,
    with nothing beside it, on the floor or hung over a shelf as `place` says; shelves go above.
    """

    id: Identifier
    width: Size
    depth: Size
    height: Size
    count: Annotated[int, Field(ge=1, le=MAX_PIECES, strict=True)] = 1
    place: Place = Place.FLOOR
    weight_lb: Annotated[float, Field(ge=0, le=2000, strict=True)] | None = None
    weight_kg: Annotated[float, Field(ge=0, le=1000, strict=True)] | None = None
    use: Use = Use.WEEKLY
    fits_between: Between | None = None
    price: Annotated[float, Field(ge=0, le=1e6, strict=True)] | None = Field(
        default=None, description="Of one bought unit, for the shopping list."
    )


class Hooks(Record):
    """A row of hooks on a board, with a stretch of wall kept for what hangs on them.

    The stretch is count x `spacing` long. `height` is that of the hooks above the floor, `depth`
    how far what hangs on them stands out; common practice unless given (`reference.mounted`).
    """

    id: Identifier
    count: Annotated[int, Field(ge=1, le=MAX_HOOKS, strict=True)]
    spacing: Size | None = None
    height: Size | None = Field(default=None, description="Of the hooks above the floor.")
    depth: Size | None = None


class Mirror(Record):
    """A mirror on a wall, `bottom` above the floor, with nothing in front of it."""

    id: Identifier
    width: Size
    height: Size
    bottom: Distance | None = None


class User(Record):
    """Someone who must reach the storage: by stature, by age (a child), or seated."""

    stature: Size | None = None
    age: Annotated[int, Field(ge=2, le=120, strict=True)] | None = None
    posture: Literal["standing", "seated"] = "standing"


class HangDrop(Record):
    """How far clothes of each class reach below the rod's centre [length].

    Defaults put a lone rod at 40, 54 and 66 in with 3 in of air below the clothes: the
    low end of the handbook ranges for short, medium and long hang.
    """

    long: Size = 63.0
    medium: Size = 51.0
    short: Size = 37.0

    def of(self, hang: Hang) -> float:
        """Drop of one class."""
        return {Hang.LONG: self.long, Hang.MEDIUM: self.medium, Hang.SHORT: self.short}[hang]


class Needs(Record):
    """Rod and shelf lengths wanted, garments to be counted in, things to be stored by count,
    bulky items, hooks, mirrors and users. Without any amount as much goes in as the priorities
    favour."""

    long_hang: Distance = 0.0
    medium_hang: Distance = 0.0
    short_hang: Distance = 0.0
    garments: Annotated[tuple[Garments, ...], Field(max_length=MAX_GARMENT_LINES)] = ()
    shelf_length: Distance = 0.0
    shelf_spacing: Size = Field(
        default=12.0, description="From the top of one shelf to the top of the next."
    )
    shelf_depth: Size = 12.0
    stored: Annotated[tuple[Stored, ...], Field(max_length=MAX_STORED_LINES)] = ()
    items: Annotated[tuple[Item, ...], Field(max_length=MAX_ITEMS)] = ()
    hooks: Annotated[tuple[Hooks, ...], Field(max_length=MAX_MOUNTED)] = ()
    mirrors: Annotated[tuple[Mirror, ...], Field(max_length=MAX_MOUNTED)] = ()
    users: Annotated[tuple[User, ...], Field(max_length=MAX_USERS)] = ()
    aisle: Distance = 24.0
    hang_drop: HangDrop = HangDrop()
    accessible_reach: Flag = Field(
        default=False, description="Keep rods and daily things within the ADA reach ranges."
    )

    @property
    def amounts(self) -> bool:
        """Whether anything is asked for by amount."""
        lengths = self.long_hang + self.medium_hang + self.short_hang + self.shelf_length
        mounted = self.hooks or self.mirrors
        return bool(lengths or self.garments or self.stored or self.items or mounted)

    def explicit_hang(self, hang: Hang) -> float:
        """Rod length asked for outright, garments not counted."""
        return {
            Hang.LONG: self.long_hang,
            Hang.MEDIUM: self.medium_hang,
            Hang.SHORT: self.short_hang,
        }[hang]
