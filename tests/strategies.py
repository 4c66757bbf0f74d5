"""Strategies for briefs: every feature of a room and its needs, valid by construction.

`raw_briefs()` gives JSON data, `briefs()` the brief read from it. Shapes and the number of
items can be limited, so that tests with a solver in them stay small. `arbitrary_json()` and
`mutated()` give what a reader must survive.
"""

from __future__ import annotations

import copy
import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from hypothesis import strategies as st

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.reference.garments import garment_kinds
from optimizer.reference.stored import stored_kinds
from optimizer.units import Units, format_feet

Draw = Callable[[st.SearchStrategy[Any]], Any]
Raw = dict[str, Any]

SHAPES = ("single", "ell", "u", "pier_run", "reach_in", "walk_in", "ell_room", "pier_room")
SMALL_SHAPES = ("single", "ell", "reach_in")
OPEN_SHAPES = ("single", "ell", "u", "pier_run")

_PER_INCH = {Units.INCH: 8, Units.MILLIMETRE: 1}


def lengths(units: Units, low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths from `low` to `high` [in] in 1/8 in, or in whole millimetres."""
    per = _PER_INCH[units]
    least, most = (round(units.from_inch(value) * per) for value in (low, high))
    return st.integers(least, most).map(lambda n: n / per)


@dataclass
class Plan:
    """Walls of a room being made: length and whether the corner after it is outside."""

    lengths: list[float]
    outside: set[int] = field(default_factory=set)
    door_walls: tuple[int, ...] = ()
    depth: float = 0.0


def _rectangle(draw: Draw, units: Units, across: tuple[float, float], deep: tuple[float, float]):
    width, depth = draw(lengths(units, *across)), draw(lengths(units, *deep))
    return Plan([width, depth, width, depth], depth=depth)


def _plan(draw: Draw, units: Units, shape: str) -> Plan:
    """Walls of one shape; the sums of a closed one are exact."""

    def size(low: float, high: float) -> float:
        return float(draw(lengths(units, low, high)))

    if shape in ("single", "ell", "u"):
        count = ("single", "ell", "u").index(shape) + 1
        return Plan([size(36, 110) for _ in range(count)])
    if shape == "pier_run":
        out = size(4, 12)
        return Plan([size(30, 60), out, size(6, 20), out, size(30, 60)], outside={1, 2})
    if shape == "reach_in":
        plan = _rectangle(draw, units, (40, 110), (22, 32))
        plan.door_walls = (2,)
        return plan
    if shape == "walk_in":
        plan = _rectangle(draw, units, (72, 120), (72, 130))
        plan.door_walls = (0, 1, 2, 3)
        return plan
    if shape == "ell_room":
        a, b, c, d = size(48, 70), size(48, 70), size(36, 60), size(36, 60)
        return Plan([a + c, b, c, d, a, b + d], outside={2}, door_walls=(4,))
    out, left, face, right = size(4, 12), size(30, 50), size(6, 20), size(30, 50)
    deep = size(72, 110)
    across = left + face + right
    return Plan([left, out, face, out, right, deep, across, deep], {1, 2}, door_walls=(6,))


@st.composite
def raw_briefs(
    draw: Draw,
    *,
    shapes: Sequence[str] = SHAPES,
    units: Units | None = None,
    max_items: int = 4,
    max_obstructions: int = 3,
    slopes: bool = True,
    pins: bool = False,
    mount_pins: bool = False,
    options: Raw | None = None,
) -> Raw:
    """A valid brief as JSON data.

    `pins` adds a pin now and then, whose pattern no program need know; `mount_pins` a mirror to
    keep where it hangs. `options`, when given, are taken as they are.
    """
    system = units or draw(st.sampled_from(Units))
    plan = _plan(draw, system, draw(st.sampled_from(shapes)))
    ceiling = draw(lengths(system, 84, 108))
    openings = _openings(draw, system, plan)
    walls = _walls(draw, system, plan, ceiling, openings if slopes else None)
    room: Raw = {"ceiling_height": ceiling, "walls": walls}
    if openings:
        room["openings"] = openings
    if things := _obstructions(draw, system, walls, openings, max_obstructions):
        room["obstructions"] = things
    room |= _cares(draw, system, plan)
    brief: Raw = {"room": room, "needs": _needs(draw, system, max_items)}
    if system is Units.MILLIMETRE or draw(st.booleans()):
        brief["units"] = system.value
    if construction := _construction(draw, system):
        brief["construction"] = construction
    if draw(st.booleans()):
        brief["priorities"] = _priorities(draw)
    if options is not None:
        brief["options"] = options
    elif draw(st.booleans()):
        brief["options"] = {"alternatives": draw(st.integers(1, 3))}
    if pins and draw(st.booleans()):
        brief["pins"] = _pins(draw, system, walls, openings)
    if mount_pins:
        _keep_mirror(draw, system, brief)
    return brief


def briefs(**limits: Any) -> st.SearchStrategy[Brief]:
    """Briefs as `raw_briefs` with the same limits gives them, read."""
    return raw_briefs(**limits).map(lambda raw: read_brief(raw)[0])


def _letter(number: int) -> str:
    return "ABCDEFGHIJKL"[number]


def _openings(draw: Draw, units: Units, plan: Plan) -> list[Raw]:
    """The way into a closed room."""
    if not plan.door_walls:
        return []
    wall = draw(st.sampled_from(plan.door_walls))
    length = plan.lengths[wall]
    most = units.to_inch(length)
    width = draw(lengths(units, min(26.0, most - 6), min(most - 6, 72.0 if plan.depth else 36.0)))
    start = draw(st.sampled_from([0.0, 0.5, 1.0])) * (length - width)
    start = float(int(start))
    opening: Raw = {"wall": _letter(wall), "start": start, "width": width}
    opening["height"] = draw(lengths(units, 72, 80))
    opening["kind"] = draw(
        st.sampled_from(["cased", "hinged_in", "hinged_out", "bifold", "sliding"])
    )
    if draw(st.booleans()):
        opening["casing"] = draw(lengths(units, 0, 3))
    if draw(st.booleans()):
        opening["hinge"] = draw(st.sampled_from(["left", "right"]))
    return [opening]


def _walls(
    draw: Draw, units: Units, plan: Plan, ceiling: float, openings: list[Raw] | None
) -> list[Raw]:
    """Walls with readings, heights, slopes and studs; `openings` is None to keep all level."""
    heights = [None] * len(plan.lengths)
    if openings is not None:
        heights = _heights(draw, units, plan, ceiling, {o["wall"] for o in openings})
    walls = []
    for number, length in enumerate(plan.lengths):
        wall: Raw = {"id": _letter(number), "length": _written(draw, units, length)}
        if number in plan.outside:
            wall["corner"] = "outside"
        if heights[number] is not None:
            wall["height"] = heights[number]
        if draw(st.integers(0, 2)) == 0:
            wall["studs"] = _studs(draw, units, length)
        walls.append(wall)
    return walls


def _heights(
    draw: Draw, units: Units, plan: Plan, ceiling: float, with_door: set[str]
) -> list[Any]:
    """Heights of the walls, None where it is the ceiling's: mostly level, else a roof or soffits.

    A roof slopes evenly over the room, lowest away from the door; a soffit lowers one wall a
    little. Either way walls agree at their corners as far as a brief asks for it.
    """
    kind, count = draw(st.integers(0, 5)), len(plan.lengths)
    if kind == 0:
        return _roof(draw(lengths(units, 50, 80)), ceiling, plan, draw, with_door)
    if kind > 1:
        return [None] * count
    drops = [draw(lengths(units, 0, 5.9)) for _ in range(count)]
    level = [_letter(number) in with_door or draw(st.booleans()) for number in range(count)]
    return [None if flat else ceiling - drop for flat, drop in zip(level, drops, strict=True)]


def _roof(low: float, high: float, plan: Plan, draw: Draw, with_door: set[str]) -> list[Any]:
    """Heights under a roof that rises from `low` to `high` along one direction of the plan."""
    corners = _corners(plan)
    doors = [number for number in range(len(plan.lengths)) if _letter(number) in with_door]
    choices = []
    for axis in (0, 1):
        places = [corner[axis] for corner in corners]
        for lowest, highest in ((min(places), max(places)), (max(places), min(places))):
            at_door = [places[end] for door in doors for end in (door, door + 1)]
            if lowest != highest and all(place == highest for place in at_door):
                shares = [(place - lowest) / (highest - lowest) for place in places]
                choices.append([low + share * (high - low) for share in shares])
    if not choices:
        return [None] * len(plan.lengths)
    tops = draw(st.sampled_from(choices))
    ends = itertools.pairwise(tops)
    return [_height(left, right, high) for left, right in ends]


def _height(left: float, right: float, ceiling: float) -> Any:
    """The height of a wall between two corners as a brief gives it."""
    if left != right:
        return {"left": left, "right": right}
    return None if left == ceiling else left


def _corners(plan: Plan) -> list[tuple[float, float]]:
    """Where walls begin in plan, and where the last one ends."""
    (x, y), (dx, dy) = (0.0, 0.0), (1, 0)
    corners = [(x, y)]
    for number, length in enumerate(plan.lengths):
        x, y = x + dx * length, y + dy * length
        corners.append((round(x, 6), round(y, 6)))
        dx, dy = (-dy, dx) if number in plan.outside else (dy, -dx)
    return corners


def _written(draw: Draw, units: Units, length: float) -> Any:
    """A length as people write it: a number, a text, or readings of which it is the least."""
    style = draw(st.integers(0, 5))
    if style == 0:
        return format_feet(length) if units is Units.INCH else f"{length:g} mm"
    if style == 1:
        more = draw(st.lists(lengths(units, 0, 0.5), max_size=3))
        return draw(st.permutations([length, *(length + extra for extra in more)]))
    return length


def _studs(draw: Draw, units: Units, length: float) -> Raw:
    """Studs in one of the two forms."""
    spacing = units.from_inch(draw(st.sampled_from([16, 24])))
    first = min(draw(lengths(units, 0, 16)), length)
    if draw(st.booleans()):
        return {"spacing": spacing, "first": first}
    count = int((length - first) // spacing) + 1
    return {"positions": [first + i * spacing for i in range(count)]}


def _low(wall: Raw, ceiling: float) -> float:
    """Least height of a raw wall."""
    height = wall.get("height", ceiling)
    return float(min(height.values()) if isinstance(height, dict) else height)


def _least(length: Any, units: Units) -> float:
    """Least reading of a raw length, 0 for one written as text."""
    if isinstance(length, list):
        return float(min(length))
    return 0.0 if isinstance(length, str) else float(length)


def _obstructions(
    draw: Draw, units: Units, walls: list[Raw], openings: list[Raw], most: int
) -> list[Raw]:
    """Things on walls without an opening, and ceiling lights."""
    with_door = {opening["wall"] for opening in openings}
    room_for = units.from_inch(30)
    places = [
        (wall["id"], _least(wall["length"], units), _low(wall, units.from_inch(84)))
        for wall in walls
        if wall["id"] not in with_door and _least(wall["length"], units) >= room_for
    ]
    if not places:
        return []
    things = []
    for _ in range(draw(st.integers(0, most))):
        wall, length, low = draw(st.sampled_from(places))
        width = draw(lengths(units, 2, 24))
        thing: Raw = {
            "wall": wall,
            "start": draw(lengths(units, 0, units.to_inch(length - width))),
            "width": width,
        }
        if draw(st.integers(0, 4)) == 0:
            _as_light(draw, units, thing, low)
        else:
            _as_fixture(draw, units, thing, low)
        things.append(thing)
    return things


def _cares(draw: Draw, units: Units, plan: Plan) -> Raw:
    """Now and then a box that nothing may stand in, and what the tape may be off."""
    cares: Raw = {}
    if draw(st.integers(0, 3)) == 0:
        cares["keep_clear"] = [_kept_clear(draw, units, plan)]
    if draw(st.integers(0, 3)) == 0:
        cares["measuring_tolerance"] = draw(lengths(units, 0, 0.5))
    return cares


def _kept_clear(draw: Draw, units: Units, plan: Plan) -> Raw:
    """A box that nothing may stand in, before any wall."""
    wall = draw(st.integers(0, len(plan.lengths) - 1))
    length = units.to_inch(plan.lengths[wall])
    width = draw(lengths(units, 2, min(30.0, length)))
    return {
        "wall": _letter(wall),
        "start": draw(lengths(units, 0, length - units.to_inch(width))),
        "width": width,
        "bottom": draw(lengths(units, 0, 40)),
        "height": draw(lengths(units, 10, 96)),
        "depth": draw(lengths(units, 2, 36)),
        "why": draw(st.sampled_from(["", "heater", "panel"])),
    }


def _as_light(draw: Draw, units: Units, thing: Raw, low: float) -> None:
    """Make a ceiling light of an obstruction."""
    near, deep = draw(lengths(units, 6, 10)), draw(lengths(units, 3, 6))
    height = units.from_inch(4)
    kinds = ["surface_enclosed", "surface_fluorescent", "recessed_enclosed", "open_lamp"]
    thing |= {
        "kind": "light",
        "bottom": low - height,
        "height": height,
        "setback": near,
        "projection": near + deep,
        "luminaire": draw(st.sampled_from(kinds)),
    }


def _as_fixture(draw: Draw, units: Units, thing: Raw, low: float) -> None:
    """Make something on the wall of an obstruction."""
    height = draw(lengths(units, 2, 30))
    kinds = ["window", "outlet", "switch", "vent", "hatch", "pipe", "beam", "radiator", "other"]
    thing |= {
        "kind": draw(st.sampled_from(kinds)),
        "bottom": draw(lengths(units, 0, units.to_inch(low - height))),
        "height": height,
    }
    if draw(st.booleans()):
        thing["projection"] = draw(lengths(units, 0, 4))
    if draw(st.integers(0, 3)) == 0:
        thing["may_cover"] = True


def _needs(draw: Draw, units: Units, max_items: int) -> Raw:
    """Needs of every kind, now and then none at all."""
    kinds = st.sampled_from(garment_kinds())
    line = st.fixed_dictionaries({"kind": kinds, "count": st.integers(1, 20)})
    wishes: Raw = {
        name: lengths(units, 0, 80)
        for name in ("long_hang", "medium_hang", "short_hang", "shelf_length")
    }
    manners: Raw = {
        "shelf_spacing": lengths(units, 8, 18),
        "shelf_depth": lengths(units, 8, 20),
        "aisle": lengths(units, 22, 40),
        "users": st.lists(_users(units), min_size=1, max_size=3),
        "accessible_reach": st.booleans(),
    }
    needs: Raw = draw(
        st.fixed_dictionaries({}, optional={**wishes, "garments": st.lists(line, max_size=3)})
    )
    if draw(st.integers(0, 2)) == 0:
        kinds = draw(st.lists(st.sampled_from(stored_kinds()), min_size=1, max_size=3, unique=True))
        needs["stored"] = [{"kind": kind, "count": draw(st.integers(1, 40))} for kind in kinds]
    if draw(st.integers(0, 3)) == 0:
        # 32 in of board at most: every room made here has a wall as long as that.
        needs["hooks"] = [{"id": "coats", "count": draw(st.integers(1, 4))}]
        sizes = {"width": draw(lengths(units, 10, 30)), "height": draw(lengths(units, 20, 40))}
        needs["mirrors"] = [{"id": "glass", **sizes, "bottom": draw(lengths(units, 4, 20))}]
    items = [_item(draw, units, number) for number in range(draw(st.integers(0, max_items)))]
    if items:
        needs["items"] = items
    if not any(needs.values()) and draw(st.booleans()):
        needs["shelf_length"] = units.from_inch(40)
    return needs | draw(st.fixed_dictionaries({}, optional=manners))


def _users(units: Units) -> st.SearchStrategy[Raw]:
    """Grown-ups, children and people who sit."""
    return st.one_of(
        st.fixed_dictionaries({"stature": lengths(units, 55, 78)}),
        st.fixed_dictionaries({"age": st.integers(3, 14)}),
        st.just({"posture": "seated"}),
    )


def _item(draw: Draw, units: Units, number: int) -> Raw:
    """A bulky thing that can be carried into every room made here."""
    item: Raw = {
        "id": f"item {number}",
        "width": draw(lengths(units, 6, 24)),
        "depth": draw(lengths(units, 6, 20)),
        "height": draw(lengths(units, 4, 30)),
    }
    if draw(st.booleans()):
        item["count"] = draw(st.integers(1, 4))
    if draw(st.booleans()):
        item["place"] = draw(st.sampled_from(["floor", "shelf", "any"]))
    if draw(st.booleans()):
        item["use"] = draw(st.sampled_from(["daily", "weekly", "seldom"]))
    if draw(st.booleans()):
        item["weight_lb" if units is Units.INCH else "weight_kg"] = draw(st.integers(1, 40))
    if draw(st.integers(0, 4)) == 0:
        item["width"] = draw(lengths(units, 14, 20))
        least = item["width"] + units.from_inch(0.5)
        item["fits_between"] = {"least": least, "most": least + draw(lengths(units, 0.5, 6))}
    return item


def _construction(draw: Draw, units: Units) -> Raw:
    """A few rules of construction of the caller's own."""
    inch = units is Units.INCH
    choices: dict[str, st.SearchStrategy[Any]] = {
        "material": st.sampled_from(["mdf", "particleboard", "plywood", "white_pine"]),
        "panel_thickness": st.sampled_from([0.75, 0.625] if inch else [16, 18, 19]),
        "sheet": st.sampled_from([[97, 49], [96, 48]] if inch else [[2800, 2070], [2440, 1220]]),
        "kerf": lengths(units, 0, 0.25),
        "hang_depth": lengths(units, 22, 27),
        "max_bay_width": lengths(units, 30, 48),
        "min_bay_width": lengths(units, 8, 14),
        "rod_stock": st.sampled_from(["steel_tube", "wood_dowel"]),
        "stiffener_allowed": st.booleans(),
        "baseboard_height": lengths(units, 0, 6),
        "top_line": st.sampled_from(["level", "free"]),
        "wall_ends": st.sampled_from(["cleats", "uprights"]),
        "mid_support": st.sampled_from(["triangle", "bracket", "none"]),
        "max_plain_span": lengths(units, 20, 48),
        "min_hang_width": lengths(units, 12, 24),
    }
    names = draw(st.lists(st.sampled_from(sorted(choices)), unique=True, max_size=3))
    return {name: draw(choices[name]) for name in names}


def _priorities(draw: Draw) -> Raw:
    """Some priorities, the first of them above 0."""
    names = ["hanging", "shelving", "open_floor", "easy_reach", "low_cost", "simple_build"]
    chosen = draw(st.lists(st.sampled_from(names), unique=True, min_size=1))
    weights = {name: draw(st.integers(0, 5)) for name in chosen}
    weights[chosen[0]] += 1
    return weights


def _pins(draw: Draw, units: Units, walls: list[Raw], openings: list[Raw]) -> list[Raw]:
    """One bay to keep, on a wall without an opening."""
    with_door = {opening["wall"] for opening in openings}
    width, margin = draw(lengths(units, 15, 26)), units.from_inch(1)
    for wall in walls:
        room = _least(wall["length"], units) - width - 2 * margin
        if wall["id"] not in with_door and room > 0:
            start = draw(lengths(units, 1, 1 + units.to_inch(room)))
            return [{"wall": wall["id"], "start": start, "width": width, "pattern": "any"}]
    return []


def _keep_mirror(draw: Draw, units: Units, brief: Raw) -> None:
    """Ask for a mirror that hangs where it is, on a wall without a bay to keep or an opening."""
    others = (*brief["room"].get("openings", ()), *brief.get("pins", ()))
    taken = [thing["wall"] for thing in others]
    width, margin = draw(lengths(units, 10, 20)), units.from_inch(1)
    rooms = {
        wall["id"]: _least(wall["length"], units) - width - 2 * margin
        for wall in brief["room"]["walls"]
        if wall["id"] not in taken
    }
    wide = [wall for wall, room in rooms.items() if room > 0]
    if wide:
        wall = draw(st.sampled_from(wide))
        start = draw(lengths(units, 1, 1 + units.to_inch(rooms[wall])))
        glass = {"id": "kept", "width": width, "height": draw(lengths(units, 20, 40))}
        brief["needs"]["mirrors"] = [*brief["needs"].get("mirrors", ()), glass]
        brief["mount_pins"] = [{"mount": "kept", "wall": wall, "start": start}]


def arbitrary_json(max_leaves: int = 20) -> st.SearchStrategy[Any]:
    """Any JSON data, with the names of a brief's fields among the keys."""
    names = st.sampled_from(
        ["room", "walls", "needs", "units", "items", "length", "id", "openings", "height", "\ud800"]
    )
    leaves = st.one_of(
        st.none(),
        st.booleans(),
        st.integers(),
        st.floats(),
        st.text(max_size=20),
        st.sampled_from(["in", "mm", "A", "86 1/2", "7' 2-1/2\"", 10**400, -1, 0, "\ud800"]),
    )
    return st.recursive(
        leaves,
        lambda inner: st.one_of(
            st.lists(inner, max_size=4),
            st.dictionaries(names | st.text(max_size=8), inner, max_size=5),
        ),
        max_leaves=max_leaves,
    )


def places_of(data: Any, steps: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Steps to every value in JSON data, the data itself left out."""
    found = [steps] if steps else []
    inner = data.items() if isinstance(data, dict) else enumerate(data) if _is_list(data) else ()
    for key, value in inner:
        found += places_of(value, (*steps, key))
    return found


def _is_list(data: Any) -> bool:
    return isinstance(data, list)


@st.composite
def mutated(draw: Draw, base: st.SearchStrategy[Raw] | None = None) -> Raw:
    """A valid brief in which up to four values were removed, doubled or replaced."""
    data = copy.deepcopy(draw(base if base is not None else raw_briefs(pins=True)))
    for _ in range(draw(st.integers(1, 4))):
        places = places_of(data)
        if not places:
            break
        # Most changes go deep, so that the rest stays sound and the rules are reached.
        deep = [steps for steps in places if len(steps) > 2] if draw(st.integers(0, 7)) else []
        steps = draw(st.sampled_from(deep or places))
        holder = data
        for step in steps[:-1]:
            holder = holder[step]
        _mutate(draw, holder, steps[-1])
    return data


def _mutate(draw: Draw, holder: Any, key: Any) -> None:
    """Change one value inside its object or list."""
    how = draw(st.sampled_from(["remove", "replace", "scale", "scale", "double", "add"]))
    value = holder[key]
    if how == "remove":
        del holder[key]
    elif how == "scale" and isinstance(value, int | float) and not isinstance(value, bool):
        holder[key] = value * draw(st.sampled_from([-1, 0, 0.04, 2, 25.4, 1000]))
    elif how == "double" and isinstance(holder, list):
        holder.append(copy.deepcopy(value))
    elif how == "add" and isinstance(holder, dict):
        holder[draw(st.text(max_size=5))] = draw(arbitrary_json(3))
    else:
        holder[key] = draw(arbitrary_json(5))
