"""Writing results: all of a file or nothing of it, refused before the work where possible."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

from optimizer.files import write_file


class OutputError(Exception):
    """A result cannot be written; the message names the path and the reason."""

    def __init__(self, path: Path, reason: str) -> None:
        """`reason` in plain words, such as the system's own."""
        super().__init__(f"cannot write {str(path)!r}: {reason}")


def _reason(error: OSError) -> str:
    """Why the system refused."""
    return error.strerror or str(error)


def require_file(path: Path) -> None:
    """Raise OutputError when no file can be written at `path`, before any work is spent on it."""
    if path.is_dir():
        raise OutputError(path, "that is a folder")
    _require_folder_of(path, path.parent)


def require_folder(path: Path) -> None:
    """Raise OutputError when `path` is no folder to write in and cannot become one."""
    if path.exists() and not path.is_dir():
        raise OutputError(path, "that is no folder")
    here = path
    while not here.exists():
        here = here.parent
    _require_folder_of(path, here)


def _require_folder_of(path: Path, folder: Path) -> None:
    """OutputError where a file could not be written into the folder."""
    if not folder.is_dir():
        raise OutputError(path, f"there is no folder {str(folder)!r}")
    if not os.access(folder, os.W_OK | os.X_OK):
        raise OutputError(path, f"no permission to write in {str(folder)!r}")


def print_json(text: str) -> None:
    """Print JSON on standard output, in UTF-8 whatever the terminal's encoding (RFC 8259)."""
    # What was printed as text is in a buffer of its own, and would come out after these bytes.
    sys.stdout.flush()
    sys.stdout.buffer.write(text.encode())
    sys.stdout.buffer.flush()


def write_text(path: Path, text: str) -> None:
    """Write `text` at `path` in UTF-8, all at once. Raises OutputError."""
    write_bytes(path, text.encode())


def write_bytes(path: Path, content: bytes) -> None:
    """Write `content` at `path`, all at once. Raises OutputError."""
    try:
        write_file(path, content)
    except OSError as error:
        raise OutputError(path, _reason(error)) from error


def write_folder(folder: Path, write: Callable[[Path], Sequence[Path]]) -> list[Path]:
    """Let `write` fill a temporary folder, then move its files into `folder`.

    A failure on the way leaves `folder` as it was; each file comes whole. Raises OutputError.
    """
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        # Beside the folder and so on its file system: from another one a file could not be moved in
        # one step.
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name}.") as name:
            temporary = Path(name)
            made = [path.relative_to(temporary) for path in write(temporary)]
            for path in made:
                target = folder / path
                target.parent.mkdir(parents=True, exist_ok=True)
                (temporary / path).replace(target)
    except OSError as error:
        raise OutputError(folder, _reason(error)) from error
    return [folder / path for path in made]
