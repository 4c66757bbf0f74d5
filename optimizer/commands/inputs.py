"""Reading what a command is given: a brief by path, by scenario or from a pipe; a study."""

from __future__ import annotations

import sys
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any

from optimizer.errors import BriefError, Fault

if TYPE_CHECKING:
    from optimizer.domain.brief import Brief
    from optimizer.domain.study import Study, Warned

STANDARD_INPUT = "-"


def read_brief_argument(given: str) -> tuple[Brief, tuple[Warned, ...]]:
    """The brief of a path, of a scenario's name where no such file exists, or of `-`.

    Raises BriefError with every fault found.
    """
    from optimizer.briefs.json_text import MAX_BRIEF_BYTES
    from optimizer.briefs.reader import read_brief_file, read_brief_text

    if given == STANDARD_INPUT:
        # Bytes and no text: the reader decodes UTF-8 whatever the terminal's encoding. One byte too
        # many is enough to refuse.
        return read_brief_text(sys.stdin.buffer.read(MAX_BRIEF_BYTES + 1))
    if Path(given).exists() or not _may_be_scenario(given):
        return read_brief_file(given)
    return read_brief_file(scenario_path(given))


def _may_be_scenario(given: str) -> bool:
    """Whether a text is a bare name, without a folder or an ending."""
    return bool(given) and Path(given).name == given and not Path(given).suffix


def scenario_path(name: str) -> Path:
    """Path of a scenario's brief. Raises BriefError, naming what comes close."""
    from optimizer.briefs.scenarios import scenario_file, scenario_names

    names = scenario_names()
    if name not in names:
        near = get_close_matches(name, names, n=3)
        hint = f"did you mean {', '.join(near)}?" if near else f"scenarios: {', '.join(names)}"
        detail = f"no file and no scenario is called {name!r}; {hint}"
        raise BriefError([Fault("", detail, "unreadable")])
    return scenario_file(name)


def read_study_argument(given: str) -> Study:
    """The study of a path. Raises LayoutError with every fault found."""
    from optimizer.briefs.studies import read_study_file

    return read_study_file(given)


def with_overrides(
    brief: Brief, options: dict[str, Any], priorities: dict[str, float]
) -> tuple[Brief, tuple[Warned, ...]]:
    """The brief with some options and weights replaced, and its warnings.

    Raises BriefError, since what comes from the command line obeys the brief's rules too.
    """
    from optimizer.briefs.reader import read_brief

    # Through the reader again: a changed field may break a rule that spans several.
    data = brief.model_dump(mode="json")
    data["options"].update(options)
    data["priorities"].update(priorities)
    return read_brief(data)
