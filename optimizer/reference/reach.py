"""How low and how high the users of a closet reach."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.brief import CHILD_AGE_LIMIT
from optimizer.domain.construction import Construction
from optimizer.domain.needs import Needs, User
from optimizer.units import Units

LOW_REACH_IN = 15.0
"""Lowest reach: 2010 ADA Standards, 308.2.1 and 308.3.1."""

ACCESSIBLE_HIGH_IN = 48.0
"""Highest reach from a seat, nothing in the way: 2010 ADA Standards, 308.2.1 and 308.3.1."""

HIGH_SHELF_IN = 72.0
"""High shelf for a short woman; above it seldom-used things: Panero and Zelnik, Human
Dimension and Interior Space, 2.3."""

SHORT_WOMAN_IN = 59.8
"""Stature of the 5th percentile US woman: anthropometric tables."""

GRIP_REACH_RATIO = 1.18
"""Upward grip reach over stature: from memory."""

EASY_REACH_RATIO = 1.1
"""Height reached without stretching over stature: a working value of our own, below the
grip reach."""

HANGER_HELP_IN = 4.0
"""A hanger is held below the rod, so the rod may be this far above the grip: common practice."""

CHILD_RANGES_IN: tuple[tuple[int, float, float], ...] = (
    (4, 20.0, 36.0),
    (8, 18.0, 40.0),
    (CHILD_AGE_LIMIT, 16.0, 44.0),
)
"""Oldest age and reach range for ages 3-4, 5-8 and 9-12: 2010 ADA Standards, advisory 308.1.
A child of 2 is taken as one of 3, which is on the generous side."""


@dataclass(frozen=True, slots=True)
class Reach:
    """The band all users reach with ease, and the highest rod [brief units]."""

    easy_low: float
    easy_high: float
    highest_rod: float


_ACCESSIBLE = Reach(LOW_REACH_IN, ACCESSIBLE_HIGH_IN, ACCESSIBLE_HIGH_IN)


def _child_reach(age: int) -> Reach:
    """Reach of a child [in]; `age` at most CHILD_AGE_LIMIT."""
    low, high = next((low, high) for oldest, low, high in CHILD_RANGES_IN if age <= oldest)
    return Reach(low, high, high)


def _standing_reach(stature: float) -> Reach:
    """Reach of someone standing [in], of `stature` [in]."""
    high = min(HIGH_SHELF_IN, EASY_REACH_RATIO * stature)
    return Reach(LOW_REACH_IN, high, GRIP_REACH_RATIO * stature + HANGER_HELP_IN)


def reach_of_user(user: User, units: Units) -> Reach:
    """Reach of one user [in].

    A child counts by age, seated or not: the ranges of the advisory are for both. A grown-up
    of unknown stature counts as the 5th percentile woman.
    """
    if user.age is not None and user.age <= CHILD_AGE_LIMIT:
        return _child_reach(user.age)
    if user.posture == "seated":
        return _ACCESSIBLE
    stature = SHORT_WOMAN_IN if user.stature is None else units.to_inch(user.stature)
    return _standing_reach(stature)


def reach_of(needs: Needs, construction: Construction, units: Units) -> Reach:
    """What the users of a brief reach [brief units].

    The easy band is what all of them reach with ease, the highest rod that of the one who
    reaches highest, never above `max_rod_height`. `accessible_reach` caps both at the ADA
    range. Without users: 15 in to the 72 in high shelf, and `max_rod_height`.
    """
    reaches = [reach_of_user(user, units) for user in needs.users]
    low = max((reach.easy_low for reach in reaches), default=LOW_REACH_IN)
    high = min((reach.easy_high for reach in reaches), default=HIGH_SHELF_IN)
    rod = construction.max_rod_height
    if reaches:
        rod = min(rod, units.from_inch(max(reach.highest_rod for reach in reaches)))
    if needs.accessible_reach:
        low, high = max(low, LOW_REACH_IN), min(high, ACCESSIBLE_HIGH_IN)
        rod = min(rod, units.from_inch(ACCESSIBLE_HIGH_IN))
    # Someone too short for the low limit has an empty band, not one turned upside down.
    return Reach(units.from_inch(low), units.from_inch(max(low, high)), rod)
