"""The project's own rules as tests: lint, format, types and who may import whom."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TOOLS = Path(sys.executable).parent

CHECKS = {
    "lint": [sys.executable, "-m", "ruff", "check", "--no-cache", "."],
    "format": [sys.executable, "-m", "ruff", "format", "--check", "--no-cache", "."],
    "types": [sys.executable, "-m", "mypy", f"--cache-dir={os.devnull}"],
    "imports": [str(TOOLS / "lint-imports"), "--no-cache"],
}


@pytest.mark.parametrize("check", CHECKS)
def test_the_project_keeps_its_own_rules(check: str) -> None:
    """Each tool finds nothing; what it finds is printed as it says it."""
    done = subprocess.run(
        CHECKS[check], cwd=ROOT, capture_output=True, text=True, timeout=600, check=False
    )
    if done.returncode:
        pytest.fail(f"{' '.join(CHECKS[check])}\n{done.stdout}{done.stderr}", pytrace=False)
