"""A wheel, installed somewhere else, serves the ready briefs and a page that offers them."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from optimizer.briefs.scenarios import scenario_names
from tests.service.harness import Server

ROOT = Path(__file__).parents[1]
TAKEN = ("optimizer", "api", "scenarios", "pyproject.toml", "README.md")
NO_NETWORK = ("No matching distribution", "Connection", "Temporary failure", "Network is")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project's wheel; skips, saying why, where nothing can be fetched to build it with."""
    folder = tmp_path_factory.mktemp("wheel")
    tree = folder / "tree"
    tree.mkdir()
    for name in TAKEN:
        source = ROOT / name
        if source.is_dir():
            ignored = shutil.ignore_patterns("__pycache__")
            shutil.copytree(source, tree / name, ignore=ignored)
        else:
            shutil.copy(source, tree / name)
    done = subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--no-deps", "-w", str(folder), str(tree)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    if done.returncode:
        if any(word in done.stdout + done.stderr for word in NO_NETWORK) and not os.environ.get(
            "CI"
        ):
            pytest.skip("setuptools cannot be fetched here to build a wheel with")
        pytest.fail(done.stderr)
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that the wheel was unpacked into."""
    site = tmp_path_factory.mktemp("site")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    return site


def test_the_wheel_carries_every_ready_brief_once(wheel: Path) -> None:
    """Inside the package, and nothing else of the repository's top level."""
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
    briefs = sorted(name for name in names if name.endswith(".json") and "scenarios/" in name)
    assert briefs == [f"optimizer/scenarios/{name}.json" for name in scenario_names()]
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"optimizer", "api"}


def test_the_command_line_lists_them(installed: Path, tmp_path: Path) -> None:
    """`scenarios` and `--show`, far from the repository."""
    command = [sys.executable, "-m", "optimizer", "scenarios", "--show", "hall-reach-in"]
    env = {**os.environ, "PYTHONPATH": str(installed)}
    done = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, check=True)
    shown = json.loads(done.stdout)
    assert shown == json.loads((ROOT / "scenarios" / "hall-reach-in.json").read_text("utf-8"))


@pytest.fixture
def server(installed: Path, tmp_path: Path) -> Iterator[Server]:
    """The installed service."""
    runner = "api.worker.optimizer_runner:OptimizerRunner"
    server = Server(tmp_path, runner=runner, fresh=True)
    server.environment["PYTHONPATH"] = str(installed)
    try:
        yield server.start()
    finally:
        server.close()


def test_the_installed_service_serves_them(server: Server, installed: Path) -> None:
    """The list, each brief of it, and the page that offers them."""
    items = server.client.get("/v1/scenarios").raise_for_status().json()["items"]
    assert [item["name"] for item in items] == list(scenario_names())
    one = server.client.get("/v1/scenarios/pantry").raise_for_status().json()
    assert one["brief"] == json.loads((ROOT / "scenarios" / "pantry.json").read_text("utf-8"))
    page = httpx.get(f"{server.url}/", headers={"Accept": "text/html"}).raise_for_status()
    found = re.search(r'"(/page/v[0-9a-f]+/js/)main\.js"', page.text)
    assert found is not None
    script = server.client.get(f"{found[1]}lengths.js").raise_for_status()
    assert "readLength" in script.text
