"""`check`: the independent checker over the layouts of a study."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from optimizer.commands import exits
from optimizer.commands.arguments import BRIEF_HELP, Subparsers, chosen
from optimizer.commands.inputs import read_brief_argument, read_study_argument
from optimizer.errors import Fault


def add_parser(subparsers: Subparsers[argparse.ArgumentParser]) -> None:
    """Add the command's parser."""
    parser = subparsers.add_parser("check", help="check layouts against every rule of the brief")
    parser.set_defaults(run=run)
    parser.add_argument("brief", metavar="BRIEF", help=BRIEF_HELP)
    parser.add_argument("study", metavar="STUDY", help="a study (JSON), edited by hand perhaps")
    parser.add_argument("--layout", type=int, metavar="RANK", help="check this layout only")


def run(args: argparse.Namespace) -> int:
    """Print what was found; exit status 0 when that is nothing, else 1."""
    from optimizer.checking import check_layout, check_study

    brief, _ = read_brief_argument(args.brief)
    study = read_study_argument(args.study)
    if args.layout is None:
        return _report(f"{len(study.layouts)} layout(s)", check_study(brief, study))
    (rank,) = chosen(study, (args.layout,))
    layout = next(layout for layout in study.layouts if layout.rank == rank)
    return _report(f"layout {rank}", check_layout(brief, layout))


def _report(subject: str, findings: Sequence[Fault]) -> int:
    """Print the findings, if any; the exit status."""
    from optimizer.printing.words import clean

    if not findings:
        sys.stdout.write(f"{subject}: every rule is kept\n")
        return exits.DONE
    sys.stdout.write(f"{subject}: {len(findings)} finding(s)\n")
    for finding in findings:
        sys.stdout.write(f"  {clean(str(finding))}\n")
    return exits.FAILED
