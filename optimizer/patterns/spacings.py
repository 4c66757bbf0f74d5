"""Further spacings of shelves, which things stored by count ask for.

Shelves closer together (shoes) or further apart (boots, bags) than wished are enumerated only where
the brief names something for them, and only for a few spacings: similar ones become the one of what
takes most shelf.
"""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.ladder import Spacing
from optimizer.reference.stored import Thing

FINER_SHARE = 0.8
"""Shelves are set closer for things that need no more than this part of the wished spacing; for
the rest it would not pay (our own choice)."""
NEAR_IN = 1.0
"""Spacings that differ by no more [in] are one (our own choice)."""
MOST_FINER = 2
MOST_WIDER = 2
"""Spacings of either sort that are tried; those that take most shelf come first."""


def finer_spacings(rules: BayRules) -> tuple[Spacing, ...]:
    """Spacings closer than the wished one, for things of which such shelves hold many more.

    Only those too close to count as shelf for anything else (`BayRules.is_fine`).
    """
    limit = FINER_SHARE * rules.brief.needs.shelf_spacing
    low = [t for t in rules.things if t.pitch <= limit and t.clear < rules.shelf_clear - 1e-3]
    return _spacings(low, MOST_FINER, rules)


def wider_spacings(rules: BayRules) -> tuple[Spacing, ...]:
    """Spacings wider than the wished one, for things that do not go in at that."""
    regular = rules.brief.needs.shelf_spacing - rules.panel
    return _spacings([t for t in rules.things if t.clear > regular + 1e-6], MOST_WIDER, rules)


def _spacings(things: Sequence[Thing], most: int, rules: BayRules) -> tuple[Spacing, ...]:
    """The few spacings that serve the things stored best, the closest first.

    Things whose pitches are nearly the same share one; of the groups, those with most to store
    count.
    """
    near = rules.brief.units.from_inch(NEAR_IN)
    groups: list[list[Thing]] = []
    for thing in sorted(things, key=lambda thing: -thing.pitch):
        if groups and groups[-1][0].pitch - thing.pitch <= near:
            groups[-1].append(thing)
        else:
            groups.append([thing])
    groups.sort(key=lambda group: -sum(thing.length for thing in group))
    # What is stored most of sets the pitch of its group.
    pitches = sorted(max(group, key=lambda t: t.length).pitch for group in groups[:most])
    return tuple(Spacing(pitch, pitch - rules.panel) for pitch in pitches)
