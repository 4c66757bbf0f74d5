"""`show`: a study again, with the layouts asked for in full."""

from __future__ import annotations

import argparse

from optimizer.commands import exits
from optimizer.commands.arguments import Subparsers, add_show, chosen
from optimizer.commands.inputs import read_study_argument


def add_parser(subparsers: Subparsers[argparse.ArgumentParser]) -> None:
    """Add the command's parser."""
    parser = subparsers.add_parser("show", help="print a study again")
    parser.set_defaults(run=run)
    parser.add_argument("study", metavar="STUDY", help="a study (JSON)")
    add_show(parser)


def run(args: argparse.Namespace) -> int:
    """Print the study; exit status 0."""
    from optimizer.printing.console import make_console
    from optimizer.printing.report import print_study

    study = read_study_argument(args.study)
    wanted = args.show if study.layouts else ()
    print_study(make_console(), study, chosen(study, wanted))
    return exits.DONE
