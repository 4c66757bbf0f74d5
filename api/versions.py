"""Versions that what the service answers depends on."""

from __future__ import annotations

from functools import cache
from importlib.metadata import PackageNotFoundError, version

from optimizer import __version__ as program_version

API_VERSION = "1.3.0"
"""Version of the HTTP interface; its first number is the `/v1` of every path."""


@cache
def _installed(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return "absent"


@cache
def _versions() -> tuple[tuple[str, str], ...]:
    solver = f"highspy {_installed('highspy')}, pulp {_installed('pulp')}"
    return (("program", program_version), ("solver", solver))


def versions() -> dict[str, str]:
    """Program and solver, as a study names them."""
    return dict(_versions())
