"""Files written whole or not at all, and their names.

A file is written beside its place under another name, and takes its place in one step once all
of it is on the disk: whoever reads, or a power cut, finds the old file or the new one.
"""

from __future__ import annotations

import hashlib
import os
import re
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from optimizer.errors import OptimizerError

_LONGEST = 60


def write_file(path: Path, content: bytes) -> None:
    """Write one file, over what was there; OSError, with nothing changed, when it cannot be."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        # A temporary file is private; the one it becomes has the usual permissions.
        # The mask can only be read by setting it.
        mask = os.umask(0)
        os.umask(mask)
        temporary.chmod(0o666 & ~mask)
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)


def write_files(folder: Path | str, files: Mapping[str, bytes]) -> list[Path]:
    """Write every file into `folder`, which is made if need be; their paths in order.

    All contents are on disk before the first gets its name; OptimizerError, with nothing
    written, when one cannot be.
    """
    target = Path(folder)
    try:
        target.mkdir(parents=True, exist_ok=True)
        # In the same folder, so that a rename moves each file in one step.
        with tempfile.TemporaryDirectory(dir=target, prefix=".writing-") as name:
            ready = Path(name)
            for file, content in files.items():
                _write(ready / file, content)
            # The one refusal that would come in the midst of the renames below, with half of them
            # done.
            blocked = [file for file in files if (target / file).is_dir()]
            if blocked:
                raise OptimizerError(
                    f"cannot write {str(target / blocked[0])!r}: a folder is there"
                )
            for file in files:
                (ready / file).replace(target / file)
    except OSError as error:
        raise OptimizerError(f"cannot write into {str(target)!r}: {error.strerror}") from None
    return [target / file for file in files]


def _write(path: Path, content: bytes) -> None:
    """Write a file and wait until it is on the disk."""
    with path.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def safe_name(text: str, others: Iterable[str] = ()) -> str:
    """`text` as part of a file name on any system; different texts stay different.

    Anything but letters, digits, `-` and `_` becomes `-`; where that changed the text, or
    one of the `others` differs from it in case only, a short digest of it is added.
    """
    plain = re.sub(r"[^A-Za-z0-9_-]+", "-", text).strip("-")[:_LONGEST]
    # Some file systems take names that differ in case only for one.
    alike = any(other != text and other.casefold() == text.casefold() for other in others)
    if plain == text and not alike:
        return plain
    # Not secret, only short and the same each time.
    digest = hashlib.sha256(text.encode()).hexdigest()[:6]
    return f"{plain or 'x'}-{digest}"
