"""Writing several files into a folder, all of them or none."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from optimizer.errors import OptimizerError


def write_files(folder: Path | str, files: Mapping[str, bytes]) -> list[Path]:
    """Write every file into `folder`, which is made if need be; their paths in order.

    All contents are on disk before the first gets its name; OptimizerError, with nothing
    written, when one cannot be.
    """
    target = Path(folder)
    try:
        target.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=target, prefix=".writing-") as name:
            ready = Path(name)
            for file, content in files.items():
                _write(ready / file, content)
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
    with path.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())
