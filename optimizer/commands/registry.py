"""Every command there is.

A command is a module with `add_parser(subparsers)`, which adds its parser and sets `run`
as its default, and `run(args) -> int`, which gives the exit status. Such a module imports
what is heavy inside `run`, so that `--help` answers at once. To add a command, write the
module and name it here.
"""

from __future__ import annotations

import argparse
from typing import Protocol

from optimizer.commands import build, check, compare, propose, scenarios, show, survey, validate


class Command(Protocol):
    """What the module of each command offers: a parser, and a function that runs it."""

    def add_parser(self, subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
        """Add the command's parser, its `run` set as the default."""

    def run(self, args: argparse.Namespace) -> int:
        """Run the command and give its exit status."""


COMMANDS: tuple[Command, ...] = (propose, show, compare, check, build, survey, validate, scenarios)
"""In the order the help lists them."""
