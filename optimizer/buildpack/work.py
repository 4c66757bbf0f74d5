"""The order of work: the room, the bench, the wall, the finish. Common practice throughout."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from optimizer.buildpack import bench
from optimizer.domain.construction import Material
from optimizer.domain.pack import (
    AreaUnit,
    BaseboardCut,
    CarpetCut,
    Part,
    PartKind,
    RoomSurface,
    WorkStage,
    WorkStep,
)
from optimizer.parts.job import Job

PAINT_COVER: dict[AreaUnit, tuple[float, str]] = {"sq ft": (400.0, "gal"), "m2": (10.0, "l")}
"""Wall that a gallon or a litre of paint covers, in one coat: common practice."""


@dataclass(frozen=True)
class RoomWork:
    """What is done to the room itself."""

    baseboard: Sequence[BaseboardCut] = ()
    carpet: Sequence[CarpetCut] = ()
    surfaces: Sequence[RoomSurface] = ()


@dataclass(frozen=True)
class _Shop:
    """A job with its parts sorted by what they are."""

    job: Job
    parts: Sequence[Part]
    room: RoomWork

    def ids(self, *kinds: PartKind) -> tuple[str, ...]:
        """Parts of these kinds."""
        return tuple(part.id for part in self.parts if part.kind in kinds)


_Step = tuple[str, tuple[str, ...]]
"""A sentence for the builder, and the ids of the parts that it is about."""


def order_of_work(job: Job, parts: Sequence[Part], room: RoomWork) -> tuple[WorkStep, ...]:
    """Steps in their order with the parts that each is about; what does not occur is left out."""
    shop = _Shop(job, parts, room)
    stages: tuple[tuple[WorkStage, Iterator[_Step]], ...] = (
        ("room", _room(shop)),
        ("bench", _bench(shop)),
        ("wall", _wall(shop)),
        ("finish", _finish(shop)),
    )
    found = [(stage, *step) for stage, steps in stages for step in steps]
    return tuple(
        WorkStep(step=number, stage=stage, text=text, parts=ids)
        for number, (stage, text, ids) in enumerate(found, 1)
    )


def _room(shop: _Shop) -> Iterator[_Step]:
    """Steps before anything is cut."""
    job = shop.job
    yield (
        "Empty the closet; take down old rods, shelves and cleats, and draw or cut off what held "
        "them.",
        (),
    )
    for cut in shop.room.baseboard:
        yield (
            f"Cut the baseboard of wall {cut.wall} from {job.short(cut.start)} to "
            f"{job.short(cut.end)} of its left end and take off the {job.short(cut.length)}: "
            f"{cut.part} stands there flat against the wall.",
            (cut.part,),
        )
    if shop.room.carpet:
        yield _carpet(shop), shop.ids(PartKind.UPRIGHT)
    yield from _walls(shop.room.surfaces)
    yield (
        "Strike the level line, find and mark the studs, tick the checks before the first cut.",
        (),
    )


def _carpet(shop: _Shop) -> str:
    """What becomes of the carpet, and where it would be cut."""
    job = shop.job
    places = "; ".join(
        f"wall {cut.wall} {job.short(cut.start)} to {job.short(cut.end)}, {job.short(cut.depth)} "
        "out"
        for cut in shop.room.carpet
    )
    return (
        f"Leave the carpet lying: uprights are cut {job.short(job.construction.carpet_thickness)} "
        "shorter and press it. Where their feet are to stand on the floor instead, cut them that "
        f"much longer and cut carpet and pad out under them: {places}."
    )


def _walls(surfaces: Sequence[RoomSurface]) -> Iterator[_Step]:
    """Patching where storage is fixed, then paint, with areas."""
    carrying = [surface for surface in surfaces if surface.carries]
    if not carrying:
        return
    unit = carrying[0].area_unit
    places = ", ".join(f"{one.wall} {one.area:.{_DIGITS[unit]}f}" for one in carrying)
    yield (
        "Fill holes and dents in the walls and sand them flush, flat where cleats and uprights lie "
        f"[{unit}]: {places}.",
        (),
    )
    walls = sum(one.area for one in surfaces if one.wall is not None)
    ceiling = sum(one.area for one in surfaces if one.wall is None)
    cover, can = PAINT_COVER[unit]
    above = f" and ceiling, {walls:.{_DIGITS[unit]}f} and {ceiling:.{_DIGITS[unit]}f} {unit}"
    told = above if ceiling else f", {walls:.{_DIGITS[unit]}f} {unit}"
    yield (
        f"Spot-prime, then paint walls{told}, before anything is fixed to them: about "
        f"{(walls + ceiling) / cover:.1f} {can} a coat. Paint and hours for the room are not in "
        "the quote. Let each coat dry as its maker says.",
        (),
    )


_DIGITS: dict[AreaUnit, int] = {"sq ft": 0, "m2": 1}


def _bench(shop: _Shop) -> Iterator[_Step]:
    """Steps at the bench."""
    later = bench.cut_later(shop.job, shop.parts)
    yield from bench.cutting(shop.job, shop.parts, later)
    yield from bench.drilling(shop.job, shop.parts)
    yield from bench.edges(shop.job, shop.parts)
    stiffeners = shop.ids(PartKind.STIFFENER)
    if stiffeners:
        yield (
            "Glue the stiffeners to the front of their boards, flush, and screw them through "
            "pilot holes: under the board, or on top of it where a rod is right below (as drawn).",
            stiffeners,
        )
    yield (
        "Prime, sand smooth, and paint all parts before they go up, one coat of primer and two of "
        "paint; leave bare what is glued. Let each coat dry as its maker says; stack with slips "
        "between.",
        (),
    )
    yield "Stick the label of each part on a face that will not show.", ()


_WALL = (
    (
        (PartKind.BACK_CLEAT,),
        "Fasten the back cleats into the studs, top edges on their lines, shims behind them where "
        "the wall is hollow.",
    ),
    (
        (PartKind.SIDE_CLEAT,),
        "Fasten the side cleats: those of side walls level with the back cleats, those of uprights "
        "on the bench, before the upright stands.",
    ),
    ((PartKind.ROD_CLEAT,), "Fasten the rod cleats to the side walls."),
    (
        (PartKind.UPRIGHT,),
        "Stand the uprights on their marks, shim their feet until they are plumb both ways and "
        "their tops are level, bracket their back edges to the wall and screw the ends of the back "
        "cleats to them, notched ones over the cleat that runs through; cut the shims off flush.",
    ),
    (
        (PartKind.TRIANGLE,),
        "Notch the triangles over the back cleats, where there is one, and screw them to their "
        "studs.",
    ),
)
_BOARDS = (
    (
        (PartKind.SHELF,),
        "Lay the shelves from the bottom up and fasten them to their cleats, back corners first; "
        "in a corner, the boards that run through before those that butt on them.",
    ),
    (
        (PartKind.JOINT_CLEAT,),
        "Glue and screw the joint cleats half under the front of the boards that run through; lay "
        "the boards that butt on the other half.",
    ),
    ((PartKind.TOP_SHELF,), "Lay the top shelves and fasten them down."),
    ((PartKind.FILLER,), "Fit the fillers."),
    ((PartKind.SCRIBE,), "Scribe the strips to the wall, plane to the line, fit them."),
)


def _wall(shop: _Shop) -> Iterator[_Step]:
    """Steps at the wall, in the order in which parts go up."""
    yield "Mark cleat lines, uprights and mid supports on every wall by the mark-out schedule.", ()
    yield from _fixing(shop, _WALL)
    later = bench.cut_later(shop.job, shop.parts)
    if later:
        yield (
            "Now measure, at the back and at the front, the places of the boards that reach an "
            "uneven wall, cut each to its own lengths, finish its ends.",
            later,
        )
    yield from _fixing(shop, _BOARDS)


def _fixing(shop: _Shop, steps: Sequence[tuple[tuple[PartKind, ...], str]]) -> Iterator[_Step]:
    """Of these steps those for which there are parts."""
    for kinds, text in steps:
        ids = shop.ids(*kinds)
        if ids:
            yield text, ids


def _finish(shop: _Shop) -> Iterator[_Step]:
    """Steps once everything is up."""
    yield "Fill nail and screw heads, sand them, caulk the joints with walls and cleats.", ()
    raw = shop.job.construction.material in (Material.MDF, Material.PARTICLEBOARD)
    edges = " and any raw edge" if raw else ""
    yield f"Touch up{edges} when filler and caulk have dried as their makers say.", ()
    boards = shop.ids(PartKind.HOOK_BOARD)
    if boards:
        yield (
            "Screw the hook boards to their studs, then the hooks onto the boards; hang mirrors "
            "last.",
            boards,
        )
    rods = shop.ids(PartKind.ROD)
    if rods:
        yield "Last, screw the sockets on by the template and hang the rods.", rods
    yield "Load the shelves only when the paint has cured as its maker says.", ()
