"""`survey`: a sheet to print and fill in on site, blank or as far as a room is described."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from optimizer.commands import exits
from optimizer.commands.arguments import BRIEF_HELP, Subparsers
from optimizer.commands.inputs import read_brief_argument
from optimizer.commands.outputs import require_file, write_bytes

_MOST_WALLS = 16


def add_parser(subparsers: Subparsers[argparse.ArgumentParser]) -> None:
    """Add the command's parser."""
    parser = subparsers.add_parser("survey", help="write a survey sheet (PDF) to fill in on site")
    parser.set_defaults(run=run)
    parser.add_argument(
        "brief",
        metavar="BRIEF",
        nargs="?",
        help=f"{BRIEF_HELP}; its readings are filled in, what it assumes stays blank",
    )
    parser.add_argument("--out", type=Path, default=Path("survey.pdf"), metavar="PDF")
    parser.add_argument("--units", choices=("in", "mm"), default="in", help="of a blank sheet")
    parser.add_argument(
        "--walls", type=_walls, default=4, metavar="N", help="rows for walls of a blank sheet"
    )


def _walls(text: str) -> int:
    """A number of walls on the command line."""
    if not (text.isdecimal() and 1 <= int(text) <= _MOST_WALLS):
        raise argparse.ArgumentTypeError(f"{text!r} is no number from 1 to {_MOST_WALLS}")
    return int(text)


def run(args: argparse.Namespace) -> int:
    """Write the sheet; exit status 0."""
    from optimizer.delivery import survey_document
    from optimizer.units import Units

    brief = read_brief_argument(args.brief)[0] if args.brief else None
    require_file(args.out)
    write_bytes(args.out, survey_document(brief, units=Units(args.units), walls=args.walls))
    sys.stdout.write(f"{args.out}\n")
    return exits.DONE
