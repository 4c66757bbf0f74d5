"""Exit statuses of the command line."""

from __future__ import annotations

DONE = 0
FAILED = 1
"""Findings of a check, an output that cannot be written, a solver that failed."""

BAD_INPUT = 2
"""A faulty brief, study or command line."""

NOTHING_BUILDABLE = 3
INTERRUPTED = 130
"""128 and the number of SIGINT, as shells count it."""

CLOSED_PIPE = 141
"""128 and the number of SIGPIPE: whoever read the output has stopped reading."""
