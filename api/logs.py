"""Logs as one JSON object a line, with the ids of the request and the study at hand."""

from __future__ import annotations

import json
import logging
import logging.config
import sys
import time
from contextvars import ContextVar
from typing import Any

request_id: ContextVar[str] = ContextVar("request_id", default="")
study_id: ContextVar[str] = ContextVar("study_id", default="")

EXTRA = "fields"
"""Key of `extra` under which a record carries members of its own."""


class JsonFormatter(logging.Formatter):
    """One record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        """The record with time, level, message, ids and its own members."""
        entry: dict[str, Any] = {
            "time": time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(record.created))
            + f".{int(record.msecs):03d}Z",
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
            "process": record.process,
        }
        if request_id.get():
            entry["request_id"] = request_id.get()
        if study_id.get():
            entry["study_id"] = study_id.get()
        entry.update(getattr(record, EXTRA, {}))
        if record.exc_info:
            entry["error"] = self.formatException(record.exc_info)
        return json.dumps(entry, default=str)


def configure_logs(level: str) -> None:
    """Send every log record of this process to standard error as JSON."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonFormatter())
    root = logging.getLogger()
    # In place of whatever was there: one record is one line, once.
    root.handlers[:] = [handler]
    root.setLevel(level.upper())
    # It tells of every table of every drawing.
    logging.getLogger("ezdxf").setLevel(logging.WARNING)
    # They tell of every job, and of every attempt to reach a database that is away.
    for name in ("procrastinate", "psycopg.pool"):
        logging.getLogger(name).setLevel(logging.ERROR)
    for name in ("uvicorn", "uvicorn.error", "uvicorn.access", "alembic"):
        logger = logging.getLogger(name)
        logger.handlers.clear()
        logger.propagate = name != "uvicorn.access"
        logger.setLevel(logging.WARNING if name == "alembic" else logging.NOTSET)


def fields(**members: Any) -> dict[str, dict[str, Any]]:
    """`extra` for a log call: members of the record's own."""
    return {EXTRA: members}
