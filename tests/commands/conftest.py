"""Runs of the command line in this process, and files for them."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from optimizer.commands.main import main
from optimizer.domain.study import Study


@dataclass(frozen=True)
class Ran:
    """What a command line came to."""

    status: int
    out: str
    err: str


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """A runner of command lines; a faulty one gives its status too."""

    def call(*words: str | Path) -> Ran:
        try:
            status = main([str(word) for word in words])
        except SystemExit as stop:
            status = int(stop.code or 0)
        captured = capsys.readouterr()
        return Ran(status, captured.out, captured.err)

    return call


@pytest.fixture
def hall_study_file(tmp_path: Path, hall_data: dict[str, Any]) -> Path:
    """The hall study as a file."""
    path = tmp_path / "hall-study.json"
    path.write_text(json.dumps(hall_data))
    return path


@pytest.fixture
def hall_brief_file(tmp_path: Path, hall_data: dict[str, Any]) -> Path:
    """The hall brief as a file."""
    path = tmp_path / "hall.json"
    path.write_text(json.dumps(hall_data["brief"]))
    return path


class StandIn(ModuleType):
    """Stands in for the proposing package: gives a ready study, keeps what it was asked."""

    def __init__(self, study: Study) -> None:
        super().__init__("optimizer.proposing")
        self.study = study
        self.asked: dict[str, Any] = {}

    def propose(self, brief: Any, **options: Any) -> Study:
        """The ready study over the brief that was handed in."""
        self.asked = {"brief": brief, **options}
        return self.study.model_copy(update={"brief": brief})

    def rerun(self, earlier: Any, brief: Any, **options: Any) -> Study:
        """As `propose`, keeping the earlier study too."""
        study = self.propose(brief, **options)
        self.asked["earlier"] = earlier
        return study


@pytest.fixture
def proposing(monkeypatch: pytest.MonkeyPatch, hall_study: Study) -> StandIn:
    """A stand-in for solving, so that these tests are of the command line alone."""
    stand_in = StandIn(hall_study)
    monkeypatch.setitem(sys.modules, "optimizer.proposing", stand_in)
    return stand_in
