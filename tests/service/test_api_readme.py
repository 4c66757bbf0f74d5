"""The curl lines of the README run as they stand."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.service.harness import Server

ROOT = Path(__file__).resolve().parent.parent.parent
PORT = "http://127.0.0.1:8000"


def service_section() -> str:
    """The README's section on the service."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    found = re.search(r"^## The service$.*?(?=^## |\Z)", text, re.MULTILINE | re.DOTALL)
    if found is None:
        pytest.skip("the README has no section on the service")
    return found[0]


def shell_lines() -> str:
    """The section's first block of shell lines."""
    found = re.search(r"```sh\n(.*?)```", service_section(), re.DOTALL)
    assert found is not None
    return found[1]


def test_the_lines_run_as_they_stand(real_server: Server, tmp_path: Path) -> None:
    """Against a real server, in a folder with the scenarios: every line answers well."""
    if shutil.which("curl") is None:
        pytest.skip("no curl here")
    (tmp_path / "scenarios").symlink_to(ROOT / "scenarios")
    lines = shell_lines()
    assert lines.count(PORT) == 1
    script = lines.replace(PORT, real_server.url).replace("curl -s", "curl --fail-with-body -s")
    done = subprocess.run(
        [shutil.which("bash") or "bash", "-euo", "pipefail", "-c", script],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    study = json.loads((tmp_path / "study.json").read_text())
    assert study["layouts"]
    assert json.loads((tmp_path / "rerun.json").read_text())["instant"]["possible"]
    assert (tmp_path / "build-pack.pdf").read_bytes().startswith(b"%PDF")
    assert "<svg" in (tmp_path / "plan.svg").read_text()
    assert json.loads((tmp_path / "priced.json").read_text())["pack"]["quote"]["margin"] > 0
    assert (tmp_path / "priced.zip").read_bytes().startswith(b"PK")
    assert (tmp_path / "cut-list.csv").read_text().count("\n") > 3


def test_figures_of_the_section_are_those_of_the_code() -> None:
    """What the section states of times and days is what the settings say."""
    from api.settings import Settings

    section, settings = service_section(), Settings()
    assert f"within {settings.lease_s + 2 * settings.reap_s:.0f} s" in section
    assert f"after {settings.retention_days:.0f} days" in section
    assert f"after {settings.idempotency_hours:.0f} hours" in section
    assert settings.max_attempts == 3
    assert "three times at most" in section
