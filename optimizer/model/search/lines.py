"""The height of the top boards of a room, where several are possible.

It is settled before anything else and depends on room, needs and construction alone: reruns with
other priorities, pins, and questions about single needs then all compare the same set of layouts.
Of several candidates, the one whose linear relaxation scores most is taken.
"""

from __future__ import annotations

from functools import lru_cache

from optimizer.domain.brief import Brief, Options, Priorities
from optimizer.domain.room import Slope
from optimizer.domain.study import Yardstick
from optimizer.model.formulation import Formulation
from optimizer.model.merged_stretches import merged
from optimizer.model.objective import Objective
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.ladder import Ladder
from optimizer.patterns.room_survey import possible_ladders, surveyed_room
from optimizer.scoring.terms import Frame
from optimizer.solving import lp_optima

MOST_LINES = 3
"""Lines of a room with sloped ceilings that are compared by their relaxations."""


def ladder_for(brief: Brief) -> Ladder:
    """The ladder (line and levels of shelves) of a room, independent of priorities, pins and
    options."""
    # Whatever must not change the line is set to one value, so that it cannot.
    bare = brief.unpinned().model_copy(
        update={"name": "", "priorities": Priorities(), "options": Options()}
    )
    return _settled(bare.model_dump_json())


@lru_cache(maxsize=64)
def _settled(bare: str) -> Ladder:
    """The ladder of a brief in JSON: text, since what a cache is asked by has to be hashable."""
    brief = Brief.model_validate_json(bare)
    ladders = possible_ladders(brief)
    sloped = any(isinstance(wall.height, Slope) for wall in brief.room.walls)
    if len(ladders) == 1 or not sloped or brief.construction.top_line != "level":
        return ladders[0]
    return _best(brief, ladders[:MOST_LINES])


def _best(brief: Brief, ladders: list[Ladder]) -> Ladder:
    """The ladder whose relaxation scores most on the first one's scale."""
    rules, yardstick = BayRules(brief), None
    scores = []
    for ladder in ladders:
        score, yardstick = _score(brief, rules, ladder, yardstick)
        scores.append(score)
    # Ties go to the first, which is the best one by itself.
    return ladders[max(range(len(ladders)), key=lambda index: (scores[index], -index))]


def _score(
    brief: Brief, rules: BayRules, ladder: Ladder, yardstick: Yardstick | None
) -> tuple[float, Yardstick]:
    """Score of a ladder's linear relaxation, and the scale it is on: the first ladder's, which
    the others are given, as their scores have to be comparable."""
    surveyed, catalogue = surveyed_room(brief, rules, ladder)
    model = Formulation(merged(surveyed, catalogue), catalogue)
    objective = Objective(model, Frame(rules))
    yardstick = yardstick or objective.yardstick()
    best = lp_optima(model.problem, [objective.score(yardstick)])[0]
    return best or 0.0, yardstick
