"""The top boards of a level line: one part over neighbouring bays, lying on their uprights.

A run goes over bays of equal height and equal depth of the top board that share uprights. It
starts flush with the outer face of its end upright, or at the side wall or the corner that
carries it, and is cut over an upright, or else over a mid support, where it is longer than a
sheet. Where the next bay is higher, its upright goes on: the board ends at its face, on a cleat.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from optimizer.domain.layout import Bay, Carried, Zone, ZoneKind

Ids = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TopRun:
    """One top board from `start` to `end` of a wall, over `bays` from left to right.

    `rests_left` and `rests_right` say whether its end lies on the whole edge of an upright;
    a joint with the next board of the line lies on half of one, or of a mid support.
    """

    bays: tuple[Bay, ...]
    start: float
    end: float
    rests_left: bool
    rests_right: bool
    joint_left: bool = False
    joint_right: bool = False

    @property
    def length(self) -> float:
        """From end to end."""
        return self.end - self.start


def top_board(bay: Bay, touch: float) -> Zone | None:
    """The zone on a bay's highest board, where that is the bay's height."""
    shelves = [zone for zone in bay.zones if zone.kind is ZoneKind.SHELF]
    highest = max(shelves, key=lambda zone: zone.bottom, default=None)
    if highest is None or abs(highest.bottom - bay.height) > touch:
        return None
    return highest


def _depth(bay: Bay, zone: Zone) -> float:
    """How far a zone reaches out from the wall."""
    return bay.depth if zone.depth is None else zone.depth


def share_upright(left: Bay, right: Bay, panel: float, touch: float) -> bool:
    """Whether one upright stands between two neighbours."""
    both = left.right is Carried.UPRIGHT and right.left is Carried.UPRIGHT
    # Nearer than a panel is a fault that the checker finds; here it still counts as shared.
    return both and right.start - left.end <= panel + touch


def one_board(left: Bay, right: Bay, panel: float, touch: float) -> bool:
    """Whether the top board of one goes on over the other."""
    if not share_upright(left, right, panel, touch) or abs(left.height - right.height) > touch:
        return False
    first, second = top_board(left, touch), top_board(right, touch)
    if first is None or second is None:
        return False
    return abs(_depth(left, first) - _depth(right, second)) <= touch


@dataclass(frozen=True, slots=True)
class _End:
    """Where a line of boards ends along the wall: on an upright's edge, at a joint, or neither."""

    at: float
    rests: bool
    joint: bool = False


def _end(bay: Bay, other: Bay | None, panel: float, touch: float, *, left: bool) -> _End:
    """The end of a line at its outermost bay; `other` is the next bay on the wall there."""
    face = bay.start if left else bay.end
    outward = -panel if left else panel
    # On a wall or in a corner the board ends at the clear space of its bay.
    if (bay.left if left else bay.right) is not Carried.UPRIGHT:
        return _End(face, rests=False)
    shares = other is not None and (
        share_upright(other, bay, panel, touch) if left else share_upright(bay, other, panel, touch)
    )
    if other is None or not shares:
        return _End(face + outward, rests=True)
    if other.height > bay.height + touch:
        return _End(face, rests=False)
    if other.height < bay.height - touch or top_board(other, touch) is None:
        return _End(face + outward, rests=True)
    # Boards of another depth at the same height meet over the middle of the upright.
    return _End(face + outward / 2.0, rests=False, joint=True)


def top_runs(
    bays: Sequence[Bay], *, panel: float, longest: float, touch: float
) -> Iterator[TopRun]:
    """Top boards of one wall, `bays` from left to right, none longer than `longest`.

    Bays whose height is not that of a board have none.
    """
    group: list[Bay] = []
    for index, bay in enumerate(bays):
        if top_board(bay, touch) is None:
            continue
        group.append(bay)
        after = bays[index + 1] if index + 1 < len(bays) else None
        # The run goes on over the next bay.
        if after is not None and one_board(bay, after, panel, touch):
            continue
        first = bays.index(group[0])
        before = bays[first - 1] if first else None
        # It ends here; cut where it is longer than a board may be.
        yield from _cut(
            group,
            _end(group[0], before, panel, touch, left=True),
            _end(bay, after, panel, touch, left=False),
            panel=panel,
            longest=longest,
        )
        group = []


def _joints(group: Sequence[Bay], panel: float) -> list[float]:
    """Where a line may be cut: over the middle of its uprights, and over mid supports."""
    over = [bay.end + panel / 2.0 for bay in group[:-1]]
    mids = [at for bay in group for at in bay.mid_supports if bay.start < at < bay.end]
    return sorted([*over, *mids])


def _cut(
    group: Sequence[Bay], left: _End, right: _End, *, panel: float, longest: float
) -> Iterator[TopRun]:
    """A line of boards cut into runs no longer than a sheet.

    Each cut is as far from the one before as the sheet allows, over an upright where there is one.
    """
    uprights = {bay.end + panel / 2.0 for bay in group[:-1]}
    borders = [left]
    while right.at - borders[-1].at > longest + 1e-9:
        within = [
            at for at in _joints(group, panel) if borders[-1].at < at <= borders[-1].at + longest
        ]
        if not within:
            break  # a board longer than any sheet: refused where parts are cut
        # An upright carries both ends of a joint; a mid support does where nothing better is in
        # reach.
        best = [at for at in within if at in uprights] or within
        borders.append(_End(max(best), rests=False, joint=True))
    borders.append(right)
    for low, high in pairwise(borders):
        yield TopRun(
            bays=tuple(bay for bay in group if bay.end > low.at and bay.start < high.at),
            start=low.at,
            end=high.at,
            rests_left=low.rests,
            rests_right=high.rests,
            joint_left=low.joint,
            joint_right=high.joint,
        )
