"""Writing JSON files whole or not at all."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from optimizer.errors import OptimizerError


def json_text(content: BaseModel | Mapping[str, Any]) -> str:
    """Indented JSON of a brief, a study or plain data, ending in a line feed."""
    data = content.model_dump(mode="json") if isinstance(content, BaseModel) else content
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def write_json(path: Path | str, content: BaseModel | Mapping[str, Any]) -> None:
    """Write content as JSON; the file is complete or as it was. OptimizerError otherwise."""
    write_text(path, json_text(content))


def write_text(path: Path | str, text: str) -> None:
    """Write a text file in UTF-8, complete or not at all; OptimizerError when it cannot be."""
    target = Path(path)
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
        # A temporary file is private; the one it becomes has the usual permissions.
        Path(temporary).chmod(0o666 & ~_umask())
        Path(temporary).replace(target)
    except (OSError, ValueError) as error:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise OptimizerError(f"cannot write {str(target)!r}: {reason}") from None


def _umask() -> int:
    """The process's file mode mask, which can only be read by setting it."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
