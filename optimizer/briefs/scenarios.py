"""Ready briefs of our own invention, kept in the project's folder `scenarios`.

A wheel carries them inside the package (`optimizer.packaging`).
"""

from __future__ import annotations

from pathlib import Path

import optimizer
from optimizer.errors import BriefError, Fault


def scenario_folder() -> Path:
    """The folder inside an installed package, or beside it in the project's own tree.

    BriefError when there is neither.
    """
    package = Path(optimizer.__file__).resolve().parent
    for folder in (package / "scenarios", package.parent / "scenarios"):
        if folder.is_dir():
            return folder
    raise BriefError(
        [Fault("", f"the scenarios are not installed: none in {package}", "no_scenarios")]
    )


def scenario_names() -> tuple[str, ...]:
    """Names of the scenarios, in alphabetical order."""
    return tuple(sorted(path.stem for path in scenario_folder().glob("*.json")))


def scenario_file(name: str) -> Path:
    """The file of a scenario; BriefError when there is none of that name."""
    names = scenario_names()
    if name not in names:
        raise BriefError(
            [
                Fault(
                    "",
                    f"there is no scenario {name[:60]!r}; scenarios: {', '.join(names)}",
                    "unknown_scenario",
                )
            ]
        )
    return scenario_folder() / f"{name}.json"
