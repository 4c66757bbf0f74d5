"""Reach of grown-ups, children and people who sit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.construction import Construction
from optimizer.domain.needs import Needs, User
from optimizer.reference.reach import Reach, reach_of
from optimizer.units import MM_PER_INCH, Units

RULES = Construction()


def _reach(*users: User, accessible: bool = False, rules: Construction = RULES) -> Reach:
    return reach_of(Needs(users=users, accessible_reach=accessible), rules, Units.INCH)


def _bands(reach: Reach) -> tuple[float, float, float]:
    return (reach.easy_low, reach.easy_high, reach.highest_rod)


def test_without_users() -> None:
    """15 in (2010 ADA Standards, 308.3.1), 72 in (Panero and Zelnik 2.3), and the rod rule."""
    assert _bands(_reach()) == (15.0, 72.0, 84.0)


def test_standing_adult() -> None:
    """Stature 65 in: 1.1 x 65 with ease, 1.18 x 65 + 4 in for a hanger (from memory)."""
    assert _bands(_reach(User(stature=65.0))) == pytest.approx((15.0, 71.5, 80.7))


def test_tall_adult_keeps_the_high_shelf() -> None:
    """72 in stays the highest easy shelf, and the rod rule the highest rod."""
    assert _bands(_reach(User(stature=76.0))) == (15.0, 72.0, 84.0)


@pytest.mark.parametrize(
    ("age", "low", "high"),
    [
        (2, 20, 36),
        (3, 20, 36),
        (4, 20, 36),
        (5, 18, 40),
        (8, 18, 40),
        (9, 16, 44),
        (12, 16, 44),
    ],
)
def test_children(age: int, low: float, high: float) -> None:
    """2010 ADA Standards, advisory 308.1: ages 3-4 20-36 in, 5-8 18-40, 9-12 16-44."""
    assert _bands(_reach(User(age=age))) == (low, high, high)


def test_child_counts_by_age_even_with_a_stature_or_a_seat() -> None:
    """The published range stands; it is meant for children in wheelchairs too."""
    seated = User(age=6, stature=45.0, posture="seated")
    assert _bands(_reach(seated)) == (18.0, 40.0, 40.0)


@pytest.mark.parametrize("user", [User(), User(age=13), User(age=80)])
def test_unknown_stature_is_the_short_woman(user: User) -> None:
    """US women, 5th percentile: 59.8 in (anthropometric tables)."""
    assert _reach(user) == _reach(User(stature=59.8))
    assert _bands(_reach(user)) == pytest.approx((15.0, 65.78, 74.564))


def test_grown_up_of_known_age_and_stature_counts_by_stature() -> None:
    """From 13 on the stature decides."""
    assert _reach(User(age=15, stature=66.0)) == _reach(User(stature=66.0))


def test_seated() -> None:
    """2010 ADA Standards, 308.2.1 and 308.3.1: 15-48 in."""
    assert _bands(_reach(User(posture="seated", stature=70.0))) == (15.0, 48.0, 48.0)


def test_accessible_reach_caps_everybody() -> None:
    """Asked for, the ADA range holds for a standing adult and without users."""
    assert _bands(_reach(User(stature=70.0), accessible=True)) == (15.0, 48.0, 48.0)
    assert _bands(_reach(accessible=True)) == (15.0, 48.0, 48.0)


def test_accessible_reach_does_not_raise_a_childs() -> None:
    """A child of 4 still reaches 36 in only."""
    assert _bands(_reach(User(age=4), accessible=True)) == (20.0, 36.0, 36.0)


def test_several_users_share_the_band_and_the_tallest_sets_the_rod() -> None:
    """A child of 4 and an adult of 65 in: easy for both 20-36 in, rod up to 80.7 in."""
    assert _bands(_reach(User(age=4), User(stature=65.0))) == pytest.approx((20.0, 36.0, 80.7))


def test_rod_rule_binds() -> None:
    """Nobody's reach lifts a rod above `max_rod_height`, accessible or not."""
    low = Construction(max_rod_height=40.0)
    assert _reach(User(stature=70.0), rules=low).highest_rod == 40.0
    assert _reach(accessible=True, rules=low).highest_rod == 40.0


def test_tiny_stature_has_an_empty_band() -> None:
    """An absurdly small stature gives an empty band, never one upside down."""
    assert _bands(_reach(User(stature=10.0)))[:2] == (15.0, 15.0)


USERS = st.lists(
    st.builds(
        User,
        stature=st.none() | st.floats(30.0, 84.0),
        age=st.none() | st.integers(2, 120),
        posture=st.sampled_from(["standing", "seated"]),
    ),
    max_size=5,
)


@given(USERS, st.booleans())
def test_units_agree(users: list[User], accessible: bool) -> None:
    """The same people in millimetres reach as far to 1e-6."""
    inch = _reach(*users, accessible=accessible)
    metric_users = tuple(
        User.model_construct(
            **{
                **user.__dict__,
                "stature": None if user.stature is None else user.stature * MM_PER_INCH,
            }
        )
        for user in users
    )
    needs = Needs.model_construct(
        **{**Needs(accessible_reach=accessible).__dict__, "users": metric_users}
    )
    rules = Construction.model_construct(**{**RULES.__dict__, "max_rod_height": 84.0 * MM_PER_INCH})
    metric = _bands(reach_of(needs, rules, Units.MILLIMETRE))
    assert metric == pytest.approx([x * MM_PER_INCH for x in _bands(inch)], rel=1e-6)


@given(USERS, USERS)
def test_more_users_narrow_the_band_and_never_lower_the_rod(
    some: list[User], others: list[User]
) -> None:
    """Adding people to at least one user can only narrow what all reach."""
    first = [User(stature=64.0), *some]
    fewer, more = _reach(*first), _reach(*first, *others)
    assert more.easy_low >= fewer.easy_low
    assert more.easy_high <= fewer.easy_high
    assert more.highest_rod >= fewer.highest_rod
