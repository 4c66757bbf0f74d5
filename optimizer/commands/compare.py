"""`compare`: layouts of a study side by side."""

from __future__ import annotations

import argparse

from optimizer.commands import exits
from optimizer.commands.arguments import Subparsers, chosen, ranks
from optimizer.commands.inputs import read_study_argument
from optimizer.errors import Fault, LayoutError


def add_parser(subparsers: Subparsers[argparse.ArgumentParser]) -> None:
    """Add the command's parser."""
    parser = subparsers.add_parser("compare", help="compare layouts of a study side by side")
    parser.set_defaults(run=run)
    parser.add_argument("study", metavar="STUDY", help="a study (JSON)")
    parser.add_argument(
        "--layouts",
        type=ranks,
        metavar="RANKS",
        help="which, such as 1,3 or 2-4; the others are held against the first (default: all)",
    )


def run(args: argparse.Namespace) -> int:
    """Print the comparison; exit status 0."""
    from optimizer.printing.comparison import print_comparison
    from optimizer.printing.console import make_console

    study = read_study_argument(args.study)
    if not study.layouts:
        raise LayoutError([Fault("/layouts", "the study has no layouts", "no_layouts")])
    print_comparison(make_console(), study, chosen(study, args.layouts))
    return exits.DONE
