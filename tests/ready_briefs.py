"""Briefs of the scenarios, read."""

from __future__ import annotations

from optimizer.briefs.reader import read_brief_file
from optimizer.briefs.scenarios import scenario_file
from optimizer.domain.brief import Brief


def load_scenario(name: str) -> Brief:
    """The brief of a scenario; BriefError when there is none of that name."""
    brief, _ = read_brief_file(scenario_file(name))
    return brief
