"""The command line's entry: parser, dispatch, and what each error says and exits with."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence

from optimizer import __version__
from optimizer.commands import exits
from optimizer.commands.outputs import OutputError
from optimizer.commands.registry import COMMANDS
from optimizer.errors import InputError, NothingBuildableError, OptimizerError

_EPILOG = """\
exit status: 0 done, 1 a check found something or a result could not be made,
2 a faulty brief or command line, 3 nothing can be built under the brief's rules"""


def make_parser() -> argparse.ArgumentParser:
    """The parser with every registered command."""
    parser = argparse.ArgumentParser(
        prog="python -m optimizer",
        description="Closet layouts from a brief: ranked, proved and checked.",
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    subparsers = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in COMMANDS:
        command.add_parser(subparsers)
    return parser


def _say(message: str) -> None:
    """Write a message to standard error, unable to drive the terminal."""
    for line in message.splitlines():
        plain = "".join(letter if letter.isprintable() else " " for letter in line)
        sys.stderr.write(f"{plain}\n")


def _accept_any_text() -> None:
    """Let texts print where the terminal lacks a character, instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _run(args: argparse.Namespace) -> int:
    """Run the command; errors raised on purpose become a message and a status."""
    try:
        status: int = args.run(args)
    except InputError as error:
        _say(str(error))
        return exits.BAD_INPUT
    except NothingBuildableError as error:
        _say(f"nothing can be built: {error}")
        return exits.NOTHING_BUILDABLE
    # Last, since the errors above are among these; what was not raised on purpose keeps its
    # traceback.
    except (OptimizerError, OutputError) as error:
        _say(f"error: {error}")
        return exits.FAILED
    return status


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command line and give its exit status; SystemExit on a faulty one, as argparse."""
    _accept_any_text()
    # Outside of the try: argparse exits by itself, with status 2 as `exits.BAD_INPUT`.
    args = make_parser().parse_args(argv)
    try:
        status = _run(args)
        # Here and not at exit, so that a closed pipe is still met by what follows.
        sys.stdout.flush()
    except KeyboardInterrupt:
        _say("interrupted")
        return exits.INTERRUPTED
    except BrokenPipeError:
        # Python would complain once more when it flushes standard output at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return exits.CLOSED_PIPE
    return status
