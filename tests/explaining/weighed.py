"""Made-up studies whose layouts have any values and shortfalls one likes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, Term, TermName, Unmet
from optimizer.domain.study import Status, Study
from optimizer.explaining.weighted_scores import NAMES, WeightedScores

REQUIRED = {"long_hang": 40.0, "shelf_length": 60.0, "item:trunk": 1.0}


def brief_of(weights: Mapping[str, float]) -> Brief:
    """A brief with a need of each sort and these weights."""
    return Brief.model_validate(
        {
            "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 120}]},
            "needs": {
                "long_hang": REQUIRED["long_hang"],
                "shelf_length": REQUIRED["shelf_length"],
                "items": [{"id": "trunk", "width": 30, "depth": 16, "height": 18}],
            },
            "priorities": dict(weights),
        }
    )


def study_of(
    weights: Mapping[str, float],
    values: Sequence[Mapping[str, float]],
    short: Sequence[Mapping[str, float]] = (),
) -> Study:
    """A study of layouts with these values of terms and these shortfalls, best first."""
    brief = brief_of(weights)
    bare = Study(
        brief=brief,
        status=Status.OPTIMAL,
        layouts=tuple(
            _layout(rank, own, dict(short[rank - 1]) if short else {})
            for rank, own in enumerate(values, 1)
        ),
    )
    weighing = WeightedScores(bare)
    order = sorted(weighing.ranks, key=lambda rank: -weighing.score(rank, weights))
    ranked = tuple(
        bare.layouts[old - 1].model_copy(
            update={"rank": new, "score": weighing.score(old, weights)}
        )
        for new, old in enumerate(order, 1)
    )
    return bare.model_copy(update={"layouts": ranked})


def _layout(rank: int, values: Mapping[str, float], short: Mapping[str, float]) -> Layout:
    return Layout(
        rank=rank,
        terms=tuple(
            Term(name=TermName(name), weight=1, value=values[name], points=0) for name in NAMES
        ),
        unmet=tuple(
            Unmet(
                need=need,
                required=REQUIRED[need],
                achieved=REQUIRED[need] - amount,
                shortfall=amount,
                reason="unknown",
                detail="",
            )
            for need, amount in short.items()
        ),
    )


def weightings() -> st.SearchStrategy[dict[str, float]]:
    """Weights as people give them."""
    weight = st.sampled_from([0.0, 0.1, 0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0])
    return st.fixed_dictionaries(dict.fromkeys(NAMES, weight)).filter(
        lambda weights: sum(weights.values()) > 0
    )


@st.composite
def studies(draw: st.DrawFn) -> Study:
    """Studies of two to four layouts."""
    number = draw(st.integers(2, 4))
    value = st.floats(0, 1).map(lambda x: round(x, 3))
    short = {need: st.floats(0, most).map(lambda x: round(x, 2)) for need, most in REQUIRED.items()}
    return study_of(
        draw(weightings()),
        [draw(st.fixed_dictionaries(dict.fromkeys(NAMES, value))) for _ in range(number)],
        [draw(st.fixed_dictionaries({}, optional=short)) for _ in range(number)],
    )
