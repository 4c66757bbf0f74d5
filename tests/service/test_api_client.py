"""A typed client made from the page by a general generator does the whole journey."""

from __future__ import annotations

import importlib
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from tests.service.harness import Server, patient

PACKAGE = "generated_closet_client"
OVERRIDES = """\
post_hooks: []
content_type_overrides:
  application/problem+json: application/json
  image/svg+xml: text/plain
  image/vnd.dxf: application/octet-stream
  application/pdf: application/octet-stream
  application/zip: application/octet-stream
"""
ROOM = {
    "name": "Guest closet",
    "room": {
        "ceiling_height": 96,
        "walls": [{"id": "A", "length": 24}, {"id": "B", "length": 60}],
    },
    "needs": {"short_hang": 30, "shelf_length": 60},
    "options": {"alternatives": 3, "time_limit_s": 10},
}


@pytest.fixture(scope="module")
def client_package(
    real_server: Server, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[ModuleType]:
    """The generated package, imported."""
    folder = tmp_path_factory.mktemp("client")
    (folder / "config.yaml").write_text(OVERRIDES)
    real_server.client.get("/openapi.json")  # ready, since the generator waits for 5 s alone
    tools = Path(sys.executable).parent
    done = subprocess.run(
        [
            str(tools / "openapi-python-client"),
            "generate",
            "--url",
            f"{real_server.url}/openapi.json",
            "--config",
            "config.yaml",
            "--output-path",
            PACKAGE,
            "--meta",
            "none",
            "--fail-on-warning",
        ],
        cwd=folder,
        env={**os.environ, "PATH": f"{tools}{os.pathsep}{os.environ.get('PATH', '')}"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    sys.path.insert(0, str(folder))
    try:
        yield importlib.import_module(PACKAGE)
    finally:
        sys.path.remove(str(folder))


def load(package: ModuleType, name: str) -> Any:
    """A module of the package."""
    return importlib.import_module(f"{package.__name__}.{name}")


def test_propose_compare_rerun_build(client_package: ModuleType, real_server: Server) -> None:
    """Everything a front end does, in the client's own types and with its own checks."""
    made = client_package.Client(
        base_url=real_server.url, timeout=60, raise_on_unexpected_status=True
    )
    with made as client:
        journey(client_package, client)


def journey(client_package: ModuleType, client: Any) -> None:
    """Propose, compare, rerun, draw, build."""
    models = load(client_package, "models")
    create = load(client_package, "api.studies.create_study")
    study = create.sync(client=client, body=models.BriefInput.from_dict(ROOM), prefer="wait=25")
    assert isinstance(study, models.StudyResource)
    assert (study.state.value, study.brief.name) == ("done", "Guest closet")
    assert len(study.layouts) >= 2

    compare = load(client_package, "api.explanations.compare_layouts")
    comparison = compare.sync(study.id, client=client, layouts="1,2")
    assert isinstance(comparison, models.Comparison)
    assert [layout.rank for layout in comparison.layouts] == [1, 2]
    assert comparison.layouts[1].moved

    rerun = load(client_package, "api.studies.create_rerun")
    patch = {"priorities": {"shelving": 9, "hanging": 1}}
    asked = models.RerunRequest.from_dict({"patch": patch})
    again = rerun.sync(study.id, client=client, body=asked)
    assert isinstance(again, models.StudyResource)
    assert again.instant.possible
    read = load(client_package, "api.studies.get_study")
    until = time.monotonic() + patient(40)
    while again.state.value != "done":
        assert time.monotonic() < until
        time.sleep(0.2)
        again = read.sync(again.id, client=client)
    assert again.layouts[0].score >= again.instant.score - 1e-6

    drawing = load(client_package, "api.drawings.get_drawing_svg")
    svg = drawing.sync_detailed(again.id, 1, models.GetDrawingSvgView("plan"), client=client)
    assert svg.content.lstrip().startswith(b"<")
    assert b"<svg" in svg.content

    build = load(client_package, "api.build.get_build_pack")
    pack = build.sync(again.id, 1, client=client)
    assert isinstance(pack, models.BuildPackResource)
    assert pack.pack.parts
    assert pack.pack.cut_list


def test_refusals_arrive_typed(client_package: ModuleType, real_server: Server) -> None:
    """A problem is a model of the client as well, with its code and its pointers."""
    models = load(client_package, "models")
    create = load(client_package, "api.studies.create_study")
    bad = models.BriefInput.from_dict({**ROOM, "needs": {"short_hang": -3}})
    with client_package.Client(base_url=real_server.url) as client:
        problem = create.sync(client=client, body=bad)
    assert isinstance(problem, models.Problem)
    assert (problem.status, problem.code) == (422, "invalid_brief")
    assert [entry.pointer for entry in problem.errors] == ["/needs/short_hang"]


TYPED = f"""
from {PACKAGE} import Client
from {PACKAGE}.api.explanations import compare_layouts
from {PACKAGE}.api.studies import create_study
from {PACKAGE}.models import BriefInput, Comparison, Problem, StudyResource

def best(client: Client, brief: BriefInput) -> float:
    study = create_study.sync(client=client, body=brief, prefer="wait=5")
    if isinstance(study, StudyResource):
        compared = compare_layouts.sync(study.id, client=client)
        if isinstance(compared, Comparison):
            return compared.layouts[0].score
        return study.layouts[0].score
    if isinstance(study, Problem):
        raise ValueError(study.errors[0].pointer)
    raise ValueError(study)

def wrong(study: StudyResource) -> int:
    return study.layouts[0].trade_off
"""


def test_the_client_is_typed(client_package: ModuleType) -> None:
    """A type checker follows the client's types through a use of it, and finds the mistake."""
    assert client_package.__file__ is not None
    folder = Path(client_package.__file__).parent.parent
    (folder / "use.py").write_text(TYPED)
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--follow-imports=silent", "use.py"],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    errors = [line for line in done.stdout.splitlines() if ": error:" in line]
    assert len(errors) == 1, done.stdout
    assert 'got "str", expected "int"' in errors[0]
