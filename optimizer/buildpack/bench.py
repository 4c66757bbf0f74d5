"""Work at the bench: cutting, drilling and edges, with their sizes. Common practice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from optimizer.buildpack.finish import edge_length
from optimizer.domain.construction import Material
from optimizer.domain.layout import Carried
from optimizer.domain.pack import Part, PartKind
from optimizer.parts.job import Job
from optimizer.units import Units

DRILLS = {
    Units.INCH: {
        "#8": ("7/64 in", "11/64 in", "11/32 in"),
        "#10": ("1/8 in", "3/16 in", "3/8 in"),
    },
    Units.MILLIMETRE: {
        "#8": ("3 mm", "4.5 mm", "9 mm"),
        "#10": ("3.5 mm", "5 mm", "10 mm"),
    },
}
"""Pilot hole, clearance hole through the piece that is drawn up, countersink: sizes that drill
tables give for softwood and panels (common practice, from memory)."""

FLANGE_IN = 2.25
"""Flange of an ordinary rod socket [in]: common practice."""

_Step = tuple[str, tuple[str, ...]]
"""A sentence for the builder, and the ids of the parts that it is about."""


def cut_later(job: Job, parts: Sequence[Part]) -> tuple[str, ...]:
    """Ids of boards that reach a side wall whose readings differ by more than caulk fills.

    They are cut to length on site, once their cleats are up.
    """
    uneven = {
        bay.id
        for bays in job.bays_by_wall.values()
        for bay in bays
        if job.measured_on_site(bay) > 0.0
    }
    # Boards alone: cleats are cut to the drawing, and put up before the boards are measured.
    boards = (PartKind.SHELF, PartKind.TOP_SHELF)
    return tuple(p.id for p in parts if p.kind in boards and uneven & set(p.bays))


def cutting(job: Job, parts: Sequence[Part], later: tuple[str, ...]) -> Iterator[_Step]:
    """Steps at the saw: what is cut now, what waits for the site, what is notched."""
    wait = ""
    if later or any(part.kind is PartKind.SCRIBE for part in parts):
        wait = " Leave for later what is measured on site: rip it to width only."
    yield (
        f"Cut by the cut list and the sheet layouts; cut one, try it, then cut its like.{wait}",
        later,
    )
    yield from _notching(job, parts)


_NOTCHES = {
    "back_bottom": "Notch the back of the feet over the baseboard",
    "back_top": "Notch the back of the tops over the back cleat that runs through",
}


def _notching(job: Job, parts: Sequence[Part]) -> Iterator[_Step]:
    """A step for each place where uprights are notched."""
    for corner, words in _NOTCHES.items():
        cut = [(part, notch) for part in parts for notch in part.notches if notch.corner == corner]
        if cut:
            notch = cut[0][1]
            yield (
                f"{words}, {job.short(notch.depth)} deep and {job.short(notch.height)} high; try "
                "the notch on the wall first.",
                tuple(part.id for part, _ in cut),
            )


def drilling(job: Job, parts: Sequence[Part]) -> Iterator[_Step]:
    """Steps at the drill: pilot holes, screws that would meet, the template for sockets."""
    pilot, clear, sink = DRILLS[job.units]["#8"]
    ten = DRILLS[job.units]["#10"]
    edge = "1 in" if job.units is Units.INCH else "25 mm"
    yield (
        f"Drill for every screw: #8 pilot {pilot}, clearance {clear} through the piece that is "
        f"drawn up, countersink {sink} (#10: {ten[0]}, {ten[1]}, {ten[2]}); keep {edge} from ends, "
        "or panels and cleats split.",
        (),
    )
    both = met_from_both_faces(job, parts)
    if both:
        shift = "1 in" if job.units is Units.INCH else "25 mm"
        yield (
            "Cleats on both faces at one height: set the screws of the right-hand cleat "
            f"{shift} further forward than those of the left-hand one, so that they do not meet "
            "in the panel.",
            both,
        )
    if any(part.kind is PartKind.ROD for part in parts):
        yield _template(job), tuple(part.id for part in parts if part.kind is PartKind.ROD_CLEAT)


def met_from_both_faces(job: Job, parts: Sequence[Part]) -> tuple[str, ...]:
    """Uprights with cleats on both faces at heights where their screws could meet."""
    found = []
    for part in parts:
        if part.kind is not PartKind.UPRIGHT:
            continue
        # Only heights matter: screws of two cleats on one panel come from both sides.
        sides = [_on_face(part, face, parts, job) for face in (part.box.along, part.box.end)]
        if any(low < high2 and low2 < high for low, high in sides[0] for low2, high2 in sides[1]):
            found.append(part.id)
    return tuple(found)


def _on_face(
    upright: Part, face: float, parts: Sequence[Part], job: Job
) -> list[tuple[float, float]]:
    """The heights from and to of the cleats on one face of an upright.

    `face` is where that face is along the wall.
    """
    left = face == upright.box.along
    return [
        (cleat.box.bottom, cleat.box.top)
        for cleat in parts
        if cleat.kind is PartKind.SIDE_CLEAT
        and cleat.wall == upright.wall
        and abs((cleat.box.end if left else cleat.box.along) - face) <= job.tolerance
    ]


def _template(job: Job) -> str:
    """How to make the template by which rod sockets are screwed on."""
    rules = job.construction
    setback, flange = job.short(rules.rod_setback), job.units.from_inch(FLANGE_IN)
    on_walls = any(
        Carried.WALL in (bay.left, bay.right) for bays in job.bays_by_wall.values() for bay in bays
    )
    words = (
        f"Make a template for the sockets from scrap: centre {setback} from the back edge, screw "
        "holes marked through from a socket."
    )
    if on_walls:
        words += (
            f" On a rod cleat the flange ({job.short(flange)}, measure yours) stays clear of both "
            "edges."
        )
    return words


def edges(job: Job, parts: Sequence[Part]) -> Iterator[_Step]:
    """Steps for edges that show, which each material wants treated in its own way."""
    length = job.short(round(edge_length(parts), 0))
    material = job.construction.material
    # Layers and chips show at a cut edge; pine has nothing to hide there.
    if material in (Material.PLYWOOD, Material.PARTICLEBOARD):
        thick = job.short(job.units.from_inch(0.25))
        yield (
            f"Band the edges that show, {length} in all, with iron-on edge band, trimmed and "
            f"eased; or with a {thick} solid nosing, and then cut those parts {thick} narrower.",
            (),
        )
    elif material is Material.MDF:
        yield (
            f"Fill the cut edges that show, {length} in all, with thinned filler or a second coat "
            "of primer; they drink.",
            (),
        )
    water = "after a water-based primer, which raises the fibres, again with 220 grit"
    yield f"Sand faces and edges with 120, then 180 grit, break sharp edges; {water}.", ()
