"""`validate`: whether a brief is sound, and how it was understood."""

from __future__ import annotations

import argparse

from optimizer.commands import exits
from optimizer.commands.arguments import BRIEF_HELP, Subparsers
from optimizer.commands.inputs import read_brief_argument
from optimizer.commands.outputs import print_json


def add_parser(subparsers: Subparsers[argparse.ArgumentParser]) -> None:
    """Add the command's parser."""
    parser = subparsers.add_parser("validate", help="check a brief and say how it was understood")
    parser.set_defaults(run=run)
    parser.add_argument("brief", metavar="BRIEF", help=BRIEF_HELP)
    parser.add_argument(
        "--resolved", action="store_true", help="print the brief with every default filled in"
    )


def run(args: argparse.Namespace) -> int:
    """Print a summary of a sound brief; exit status 0 (a faulty one raises)."""
    from optimizer.printing.brief import print_brief
    from optimizer.printing.console import make_console

    brief, warnings = read_brief_argument(args.brief)
    if args.resolved:
        print_json(brief.model_dump_json(indent=2) + "\n")
    else:
        print_brief(make_console(), brief, warnings)
    return exits.DONE
