"""The console that tables are printed on: plain and stable when piped, ASCII where it must."""

from __future__ import annotations

import shutil
import textwrap
from typing import IO

from rich.box import Box
from rich.console import Console
from rich.measure import Measurement
from rich.table import Table

DEFAULT_WIDTH = 100
MIN_WIDTH = 60

_RULED = Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
"""No lines but a dashed one under the heads; the same whatever the terminal can show."""


class _PlainConsole(Console):
    """A console that leaves a closed pipe to whoever called it, as any other writer does."""

    def on_broken_pipe(self) -> None:
        """Pass BrokenPipeError on; rich would end the program with status 1."""
        raise BrokenPipeError


def terminal_width() -> int:
    """Columns of the terminal; 100 when there is none (a pipe or a file)."""
    return max(MIN_WIDTH, shutil.get_terminal_size((DEFAULT_WIDTH, 24)).columns)


def make_console(file: IO[str] | None = None, width: int | None = None) -> Console:
    """A console on `file` (standard output) that takes every text as it is.

    Nothing is read as markup or as an emoji code, and no colour is sent unless `file` is a
    terminal.
    """
    return _PlainConsole(
        file=file,
        width=width or terminal_width(),
        markup=False,
        emoji=False,
        highlight=False,
        soft_wrap=False,
    )


def takes_unicode(console: Console) -> bool:
    """Whether line-drawing characters can be printed on `console`."""
    return console.encoding.lower().startswith("utf")


def make_table(gap: int = 2) -> Table:
    """An empty table in the one style used everywhere, `gap` blanks between its columns."""
    return Table(
        box=_RULED,
        show_edge=False,
        header_style="bold",
        padding=(0, gap - 1, 0, 0),
        pad_edge=False,
    )


def fits(console: Console, table: Table) -> bool:
    """Whether `table` can be printed without cutting or folding a cell."""
    # Measured as if there were room for anything: within the console's own width rich would fold
    # cells and call it fitting.
    options = console.options.update(width=10_000)
    return Measurement.get(console, options, table).maximum <= console.width


def print_bullet(console: Console, text: str, mark: str = "  - ") -> None:
    """Print `text` after `mark`, further lines set under its first letter."""
    indent = " " * len(mark)
    filled = textwrap.fill(
        text, console.width, initial_indent=mark, subsequent_indent=indent, break_on_hyphens=False
    )
    # Not `print`, which would wrap the text once more.
    console.out(filled, highlight=False)
