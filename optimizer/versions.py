"""Versions that an answer depends on."""

from __future__ import annotations

from functools import cache
from importlib.metadata import PackageNotFoundError, version

from optimizer import __version__

PACKAGES = {"highs": "highspy", "cbc": "pulp"}
"""The package that a solver comes with."""


@cache
def _installed(package: str) -> str:
    """Version of a package, or that it is absent: a solver can be left out of an installation."""
    try:
        return version(package)
    except PackageNotFoundError:
        return "absent"


def versions(solver: str = "highs") -> dict[str, str]:
    """Of the program, the solver and what the model is written in."""
    return {
        "program": __version__,
        "solver": f"{solver} {_installed(PACKAGES[solver])}",
        "pulp": _installed("pulp"),
    }
