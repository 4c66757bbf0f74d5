"""The brief: room, needs, construction and priorities, as JSON and as Python.

`Brief.model_validate` fills defaults by the brief's units; rules that look at several
fields at once (a room that does not close, say) live with the reader of briefs.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from optimizer.domain.construction import METRIC_DEFAULTS, Construction
from optimizer.domain.fields import Distance, Identifier, Record, Size, WithUnits
from optimizer.domain.layout import MAX_ZONES, Bay, Carried, Kept
from optimizer.domain.needs import MAX_MOUNTED, MAX_STORED_LINES, Needs
from optimizer.domain.room import Room
from optimizer.domain.validation import units_of_brief
from optimizer.units import Units

MAX_ALTERNATIVES = 20
MAX_PINS = 40

METRIC_NEEDS: dict[str, Any] = {
    "shelf_spacing": 300.0,
    "shelf_depth": 300.0,
    "aisle": 600.0,
    "hang_drop": {"long": 1600.0, "medium": 1300.0, "short": 940.0},
}
METRIC_OPENING_HEIGHT = 2030.0

CHILD_AGE_LIMIT = 12
"""Oldest age with a children's reach range in the 2010 ADA Standards, advisory 308.1."""

CHILD_DROP = {
    Units.INCH: {"long": 36.0, "medium": 30.0, "short": 24.0},
    Units.MILLIMETRE: {"long": 915.0, "medium": 760.0, "short": 610.0},
}
"""How far children's clothes hang; common practice, used when every user is a child."""


class Priorities(Record):
    """Weight of each score term; 0 leaves a term out, only the proportions matter."""

    hanging: Annotated[float, Field(ge=0, le=100, strict=True)] = 3.0
    shelving: Annotated[float, Field(ge=0, le=100, strict=True)] = 2.0
    open_floor: Annotated[float, Field(ge=0, le=100, strict=True)] = 1.0
    easy_reach: Annotated[float, Field(ge=0, le=100, strict=True)] = 1.0
    low_cost: Annotated[float, Field(ge=0, le=100, strict=True)] = 1.0
    simple_build: Annotated[float, Field(ge=0, le=100, strict=True)] = 1.0

    def weights(self) -> dict[str, float]:
        """Weight by term name, in the order of the fields."""
        return {name: float(getattr(self, name)) for name in type(self).model_fields}


class Shelved(Kept):
    """So many things that are counted, on the shelf that is zone `zone` of a bay, from 0."""

    zone: Annotated[int, Field(ge=0, lt=MAX_ZONES, strict=True)]


class Pin(Record):
    """A bay of an earlier layout to keep exactly; start and width are its clear space.

    `stored` is what stood on its shelves: that stays where it can, and is no condition.

    `left` and `right` are what carried its ends. A pin that starts at the wall's end with no
    room for an upright is carried by the wall there, whatever it says.
    """

    wall: Identifier
    start: Distance
    width: Size
    pattern: Annotated[str, Field(min_length=1, max_length=400)] = Field(
        description="The name of the bay's stack of zones, as a layout tells it."
    )
    left: Carried = Carried.UPRIGHT
    right: Carried = Carried.UPRIGHT
    stored: Annotated[tuple[Shelved, ...], Field(max_length=MAX_ZONES * MAX_STORED_LINES)] = ()


class MountPin(Record):
    """A row of hooks or a mirror to keep where it hangs: `mount` is its id among the needs, `start`
    its left end along the wall."""

    mount: Identifier
    wall: Identifier
    start: Distance


def shelved_in(bay: Bay) -> tuple[Shelved, ...]:
    """What stands on the shelves of a bay, as a pin of it says it."""
    return tuple(
        Shelved(zone=number, kind=kept.kind, count=kept.count)
        for number, zone in enumerate(bay.zones)
        for kept in zone.stored
    )


class Options(Record):
    """How the study is run."""

    alternatives: Annotated[int, Field(ge=1, le=MAX_ALTERNATIVES, strict=True)] = 5
    max_quality_loss: Annotated[float, Field(ge=0, le=1, strict=True)] = 0.15
    min_difference: Annotated[float, Field(ge=0.02, le=1, strict=True)] = 0.2
    time_limit_s: Annotated[float, Field(gt=0, le=3600, strict=True)] = 10.0
    gap: Annotated[float, Field(ge=0, le=0.5, strict=True)] = 0.005
    solver: Literal["highs", "cbc"] = "highs"
    seed: Annotated[int, Field(ge=0, le=2**31 - 1, strict=True)] = 0


def _with_defaults(given: Any, defaults: Mapping[str, Any]) -> Any:
    """`given` with missing keys from `defaults`, one level of nesting deep."""
    if not isinstance(given, Mapping):
        return given
    # A key that is given as null stays null, for its field to refuse: a default in its place would
    # hide the slip.
    merged = {**defaults, **given}
    for key, value in defaults.items():
        if isinstance(value, Mapping):
            merged[key] = _with_defaults(given.get(key, {}), value)
    return merged


def _with_metric_defaults(raw: Mapping[str, Any]) -> dict[str, Any]:
    """A raw millimetre brief with the metric defaults put in."""
    filled = dict(raw)
    # Put in before the fields are read, since a field's own default cannot depend on the units of
    # the brief around it.
    filled["construction"] = _with_defaults(raw.get("construction", {}), METRIC_DEFAULTS)
    filled["needs"] = _with_defaults(raw.get("needs", {}), METRIC_NEEDS)
    room = raw.get("room")
    if isinstance(room, Mapping) and isinstance(room.get("openings"), list | tuple):
        openings = [
            _with_defaults(opening, {"height": METRIC_OPENING_HEIGHT})
            for opening in room["openings"]
        ]
        filled["room"] = {**room, "openings": openings}
    return filled


def _with_child_drop(raw: Mapping[str, Any], units: Units) -> Mapping[str, Any]:
    """A raw brief whose hang drops suit children when only children use the closet."""
    needs = raw.get("needs")
    if not isinstance(needs, Mapping) or "hang_drop" in needs:
        return raw
    users = needs.get("users")
    if not isinstance(users, list | tuple) or not users:
        return raw
    ages = [user.get("age") if isinstance(user, Mapping) else None for user in users]
    # Also where an age is none: reading the field tells that.
    if not all(isinstance(age, int) and age <= CHILD_AGE_LIMIT for age in ages):
        return raw
    return {**raw, "needs": {**needs, "hang_drop": CHILD_DROP[units]}}


class Brief(WithUnits):
    """Everything a study starts from."""

    name: Annotated[str, Field(max_length=200)] = "Closet"
    units: Units = Units.INCH
    room: Room
    needs: Needs = Needs()
    construction: Construction = Construction()
    priorities: Priorities = Priorities()
    pins: Annotated[tuple[Pin, ...], Field(max_length=MAX_PINS)] = ()
    mount_pins: Annotated[tuple[MountPin, ...], Field(max_length=2 * MAX_MOUNTED)] = ()
    options: Options = Options()

    @classmethod
    def units_of(cls, data: Mapping[str, Any]) -> Units:
        """The units that the brief names; inches where it names none."""
        return units_of_brief(data)

    @model_validator(mode="before")
    @classmethod
    def _fill_defaults(cls, data: Any) -> Any:
        """Put in the defaults that depend on the units or on who uses the closet."""
        if not isinstance(data, Mapping):
            return data
        units = units_of_brief(data)
        # Children's drops first, in either system: the metric table holds drops too, and once they
        # are in the brief they count as given.
        data = _with_child_drop(data, units)
        return _with_metric_defaults(data) if units is Units.MILLIMETRE else data

    def unpinned(self) -> Brief:
        """The brief without anything that it keeps in its place."""
        kept = self.pins or self.mount_pins
        return self.model_copy(update={"pins": (), "mount_pins": ()}) if kept else self
