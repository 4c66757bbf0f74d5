"""Files are written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from optimizer.files import write_file


def test_written_file_is_whole_and_readable(tmp_path: Path) -> None:
    """It has the usual permissions, over what was there."""
    path = tmp_path / "out.json"
    path.write_text("old", encoding="utf-8")
    write_file(path, b"new")
    assert path.read_bytes() == b"new"
    mask = os.umask(0)
    os.umask(mask)
    assert path.stat().st_mode & 0o777 == 0o666 & ~mask
    assert [entry.name for entry in tmp_path.iterdir()] == ["out.json"]


def test_failed_write_leaves_nothing_behind(tmp_path: Path) -> None:
    """Where a file cannot be put, an error says so and no half of it stays."""
    (tmp_path / "folder").mkdir()
    for path in (tmp_path / "none" / "out.json", tmp_path / "folder"):
        with pytest.raises(OSError, match=path.name):
            write_file(path, b"{}")
    assert [entry.name for entry in tmp_path.iterdir()] == ["folder"]
