"""`scenarios`: the ready briefs that come with the program."""

from __future__ import annotations

import argparse

from optimizer.commands import exits
from optimizer.commands.arguments import Subparsers
from optimizer.commands.inputs import read_brief_argument, scenario_path
from optimizer.commands.outputs import print_json


def add_parser(subparsers: Subparsers[argparse.ArgumentParser]) -> None:
    """Add the command's parser."""
    parser = subparsers.add_parser("scenarios", help="list the ready briefs, or print one")
    parser.set_defaults(run=run)
    parser.add_argument("--show", metavar="NAME", help="print this scenario's JSON")


def run(args: argparse.Namespace) -> int:
    """Print the list or the scenario asked for; exit status 0."""
    if args.show is not None:
        print_json(scenario_path(args.show).read_text(encoding="utf-8"))
        return exits.DONE
    from optimizer.briefs.scenarios import scenario_names
    from optimizer.printing.brief import print_briefs
    from optimizer.printing.console import make_console

    briefs = {name: read_brief_argument(str(scenario_path(name)))[0] for name in scenario_names()}
    print_briefs(make_console(), briefs)
    return exits.DONE
