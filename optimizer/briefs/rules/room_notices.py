"""Warnings about the room: what a builder should measure again or know."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.brief_view import BriefView, Notice, height_pointer
from optimizer.domain.needs import Needs
from optimizer.domain.room import ObstructionKind, OpeningKind
from optimizer.domain.study import Warned
from optimizer.geometry.access import front_distance
from optimizer.reference.lights import is_allowed
from optimizer.units import Units

SPREAD = {Units.INCH: 0.25, Units.MILLIMETRE: 6.0}
"""Spread of the readings of one wall above which it is reported: common practice."""

SQUARE_IN = 0.0625
"""Off by more than this a closed room is reported as out of square: common practice."""

STUD_SPACINGS_IN = (8.0, 32.0)
"""Studs closer or wider than this are unusual; 16 or 24 in on centre is common practice."""

TIGHT_WAY_IN = 24.0
"""Least width of the way to a bay (common practice), less 1 in of tolerance."""

CHAIR_WAY_IN = 32.0
"""Clear width of a doorway for a wheelchair: 2010 ADA Standards, 404.2.3."""

_KEEP_REACHABLE = {
    ObstructionKind.VENT,
    ObstructionKind.HATCH,
    ObstructionKind.RADIATOR,
    ObstructionKind.SWITCH,
}


def _readings(view: BriefView) -> Iterator[Warned]:
    """Readings of one wall that differ."""
    for i, wall in enumerate(view.brief.room.walls):
        if wall.reading_spread > SPREAD[view.units] + view.tolerance:
            yield Warned(
                code="reading_spread",
                pointer=f"/room/walls/{i}/length",
                detail=f"the readings of wall {wall.id} differ by "
                f"{view.say(wall.reading_spread)}, more than {view.say(SPREAD[view.units])}: the "
                f"least, {view.say(wall.clear_length)}, counts; scribe to the wall",
            )


def _square(view: BriefView) -> Iterator[Warned]:
    """A closed room that is off by a little."""
    outline = view.outline
    if outline.closed and outline.closing_gap > view.units.from_inch(SQUARE_IN) + view.tolerance:
        yield Warned(
            code="out_of_square",
            pointer="/room/walls",
            detail=f"the walls miss closing by {view.say(outline.closing_gap)}, so the room is "
            "out of square or a wall is mis-measured; the smaller of the facing distances counts",
        )


def _heights(view: BriefView) -> Iterator[Warned]:
    """A wall that is higher than the ceiling."""
    ceiling = view.brief.room.ceiling_height
    for i, wall in enumerate(view.brief.room.walls):
        top = view.heights(wall)[1]
        if top > ceiling + view.tolerance:
            yield Warned(
                code="above_ceiling",
                pointer=height_pointer(i, wall),
                detail=f"wall {wall.id} is {view.say(top)} high under a ceiling of "
                f"{view.say(ceiling)}; the wall's own height counts",
            )


def _studs(view: BriefView) -> Iterator[Warned]:
    """Walls whose studs were not located, or lie in an unusual rhythm."""
    walls = view.brief.room.walls
    assumed = [wall.id for wall in walls if wall.studs is None]
    if assumed:
        yield Warned(
            code="studs_assumed",
            pointer="/room/walls",
            detail=f"studs of {', '.join(assumed)} are taken as "
            f"{view.say(round(view.units.from_inch(16.0)))} on centre; find and mark them before "
            "driving a fastener",
        )
    for i, wall in enumerate(walls):
        if wall.studs is None or wall.studs.spacing is None:
            continue
        spacing = wall.studs.spacing
        low, high = (view.units.from_inch(limit) for limit in STUD_SPACINGS_IN)
        if not low <= spacing <= high:
            yield Warned(
                code="stud_spacing",
                pointer=f"/room/walls/{i}/studs/spacing",
                detail=f"studs {view.say(spacing)} on centre are unusual; 16 or 24 in is common",
            )
        if wall.studs.first is None:
            yield Warned(
                code="stud_first_unknown",
                pointer=f"/room/walls/{i}/studs",
                detail=f"where the first stud of wall {wall.id} is was not given; find it first",
            )


def _lights(view: BriefView) -> Iterator[Warned]:
    """Luminaires that may not be in a clothes closet."""
    for i, thing in enumerate(view.brief.room.obstructions):
        if thing.kind is ObstructionKind.LIGHT and not is_allowed(thing.luminaire):
            yield Warned(
                code="light_not_allowed",
                pointer=f"/room/obstructions/{i}/luminaire",
                detail="an open or partly enclosed lamp, or a pendant, is not allowed in a clothes "
                "closet (NEC 410.16(B)): have it replaced by an enclosed one",
            )


def _covered(view: BriefView) -> Iterator[Warned]:
    """Things that must stay reachable but may be covered."""
    for i, thing in enumerate(view.brief.room.obstructions):
        if thing.may_cover and thing.kind in _KEEP_REACHABLE:
            yield Warned(
                code="covered",
                pointer=f"/room/obstructions/{i}/may_cover",
                detail=f"storage may stand in front of the {thing.kind.value} on wall "
                f"{thing.wall}; a vent, radiator, hatch or switch should stay free",
            )


def _casings(view: BriefView) -> Iterator[Warned]:
    """Casing that runs past its wall or into another opening."""
    for i, opening, wall in view.openings:
        left, right = (
            opening.start - opening.casing,
            (opening.start + opening.width + opening.casing),
        )
        others = [o for j, o, _ in view.openings if j != i and o.wall == opening.wall]
        in_way = any(left < o.start + o.width and o.start < right for o in others)
        past = left < -view.tolerance or right > wall.clear_length + view.tolerance
        if in_way or past:
            yield Warned(
                code="casing_in_the_way",
                pointer=f"/room/openings/{i}/casing",
                detail=f"casing {view.say(opening.casing)} wide runs from {view.say(left)} to "
                f"{view.say(right)}, "
                + ("into the next opening" if in_way else f"past the end of wall {wall.id}")
                + "; measure it",
            )


def _doors(view: BriefView) -> Iterator[Warned]:
    """Doors that cannot swing, and ways in that are too narrow to walk through."""
    walk_in = not view.is_reach_in
    aisle = min(view.brief.needs.aisle, view.units.from_inch(TIGHT_WAY_IN))
    least = aisle - view.units.from_inch(1.0)
    for i, opening, wall in view.openings:
        ahead = front_distance(
            view.outline, view.wall_index[wall.id], opening.start + opening.width / 2
        )
        if opening.kind is OpeningKind.HINGED_IN and opening.width > ahead + view.tolerance:
            yield Warned(
                code="door_swing",
                pointer=f"/room/openings/{i}/kind",
                detail=f"a door {view.say(opening.width)} wide hinged inwards cannot swing in a "
                f"room {view.say(ahead)} deep there",
            )
        if walk_in and opening.width < least - view.tolerance:
            yield Warned(
                code="narrow_way_in",
                pointer=f"/room/openings/{i}/width",
                detail=f"an opening {view.say(opening.width)} wide is narrower than the "
                f"{view.say(least)} that the way to a bay takes",
            )


def needs_chair(needs: Needs) -> bool:
    """Whether accessible reach is asked for or someone uses the closet seated."""
    return needs.accessible_reach or any(user.posture == "seated" for user in needs.users)


def _chair(view: BriefView) -> Iterator[Warned]:
    """Doorways too narrow for someone who comes in seated."""
    if not needs_chair(view.brief.needs) or view.is_reach_in:
        return
    for i, opening, _ in view.openings:
        if opening.width < view.units.from_inch(CHAIR_WAY_IN) - view.tolerance:
            yield Warned(
                code="narrow_for_chair",
                pointer=f"/room/openings/{i}/width",
                detail=f"an opening {view.say(opening.width)} wide is narrower than the "
                f"{view.say(round(view.units.from_inch(CHAIR_WAY_IN)))} a wheelchair takes (2010 "
                "ADA Standards, 404.2.3)",
            )


NOTICES = tuple(
    Notice(check)
    for check in (
        _readings,
        _square,
        _heights,
        _studs,
        _lights,
        _covered,
        _casings,
        _doors,
        _chair,
    )
)
