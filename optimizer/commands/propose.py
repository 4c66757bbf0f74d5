"""`propose`: ranked layouts for a brief, with what the needs could not get."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from optimizer.commands import exits
from optimizer.commands.arguments import BRIEF_HELP, Subparsers, add_show, weight
from optimizer.commands.inputs import (
    STANDARD_INPUT,
    read_brief_argument,
    read_study_argument,
    with_overrides,
)
from optimizer.commands.monitor import RunMonitor
from optimizer.commands.outputs import (
    OutputError,
    print_json,
    require_file,
    require_folder,
    write_folder,
    write_text,
)
from optimizer.errors import OptimizerError

if TYPE_CHECKING:
    from optimizer.domain.brief import Brief
    from optimizer.domain.layout import Layout
    from optimizer.domain.study import Study, Warned

_OPTIONS = ("alternatives", "time_limit_s", "gap", "solver", "seed")


def add_parser(subparsers: Subparsers[argparse.ArgumentParser]) -> None:
    """Add the command's parser."""
    parser = subparsers.add_parser("propose", help="propose ranked layouts for a brief")
    parser.set_defaults(run=run)
    parser.add_argument("brief", metavar="BRIEF", help=BRIEF_HELP)
    study = parser.add_argument_group("in place of what the brief says")
    study.add_argument("--alternatives", type=int, metavar="N", help="layouts at most")
    study.add_argument(
        "--priority",
        type=weight,
        action="append",
        default=[],
        metavar="NAME=WEIGHT",
        help="weight of a score term, such as hanging=5; may be given several times",
    )
    study.add_argument("--time-limit", dest="time_limit_s", type=float, metavar="SECONDS")
    study.add_argument("--gap", type=float, metavar="SHARE", help="good enough: 0.005 is 0.5%%")
    study.add_argument("--solver", choices=("highs", "cbc"))
    study.add_argument("--seed", type=int, metavar="N", help="seed of the solver")
    parser.add_argument(
        "--from", dest="earlier", metavar="STUDY", help="rerun: keep to an earlier study (JSON)"
    )
    parser.add_argument("--no-repairs", action="store_true", help="look for no repairs")
    output = parser.add_argument_group("output")
    output.add_argument(
        "--json", metavar="OUT", help="write the study as JSON; - prints it and nothing else"
    )
    output.add_argument("--drawings", type=Path, metavar="DIR", help="write SVG and DXF drawings")
    output.add_argument(
        "--quiet", action="store_true", help="no progress, and no layout printed in full"
    )
    add_show(parser)


def run(args: argparse.Namespace) -> int:
    """Propose, write what was asked for, print the rest; exit status 0, 1 or 3."""
    brief, warnings = _brief(args)
    earlier = read_study_argument(args.earlier) if args.earlier else None
    _require_outputs(args)
    # Only now: reading and refusing take no time, this may take minutes.
    study = _solve(args, brief, warnings, earlier)
    # Written first: whoever reads the report may stop reading, the files are still wanted.
    failed = _write(args, study)
    if args.json == STANDARD_INPUT:
        print_json(_json_of(study))
    else:
        _print(args, study)
    if failed:
        raise failed
    return _status(study)


def _brief(args: argparse.Namespace) -> tuple[Brief, tuple[Warned, ...]]:
    """The brief with what the command line puts in place of its own."""
    brief, warnings = read_brief_argument(args.brief)
    # None tells that an option was not given; 0 is a value like any other.
    options = {name: getattr(args, name) for name in _OPTIONS if getattr(args, name) is not None}
    priorities = dict(args.priority)
    if options or priorities:
        return with_overrides(brief, options, priorities)
    return brief, warnings


def _require_outputs(args: argparse.Namespace) -> None:
    """Refuse outputs that cannot be written before any time is spent."""
    if args.json and args.json != STANDARD_INPUT:
        require_file(Path(args.json))
    if args.drawings:
        require_folder(args.drawings)


def _solve(
    args: argparse.Namespace, brief: Brief, warnings: tuple[Warned, ...], earlier: Study | None
) -> Study:
    """The study, watched: Ctrl-C ends it with the best so far."""
    from optimizer.proposing import propose, rerun

    solve = partial(rerun, earlier) if earlier else propose
    with RunMonitor(sys.stderr, quiet=args.quiet).watching() as watch:
        return solve(
            brief,
            warnings=warnings,
            progress=watch.progress,
            should_stop=watch.should_stop,
            repairs=not args.no_repairs,
        )


def _json_of(study: Study) -> str:
    """The study as a JSON file."""
    return study.model_dump_json(indent=2) + "\n"


def _write(args: argparse.Namespace, study: Study) -> OutputError | None:
    """Write the files asked for; an error is given back, so that the report still prints."""
    try:
        if args.json and args.json != STANDARD_INPUT:
            write_text(Path(args.json), _json_of(study))
        if args.drawings and study.layouts:
            write_folder(args.drawings, partial(_draw, study.brief, study.layouts))
    except OutputError as error:
        return error
    except OptimizerError as error:
        return OutputError(args.drawings, str(error))
    return None


def _draw(brief: Brief, layouts: Sequence[Layout], folder: Path) -> list[Path]:
    """Draw every layout into a folder of its own."""
    from optimizer.drawing import write_drawings

    made: list[Path] = []
    for layout in layouts:
        own = folder / f"layout-{layout.rank}"
        own.mkdir()
        made += write_drawings(brief, layout, own)
    return made


def _print(args: argparse.Namespace, study: Study) -> None:
    """Print the report, with pictures of the layouts asked for."""
    from optimizer.printing.console import make_console
    from optimizer.printing.report import print_study

    # A rank beyond those found is no mistake here: who asked could not know how many come.
    shown = [layout.rank for layout in study.layouts] if args.show is None else args.show
    print_study(make_console(), study, () if args.quiet else shown)


def _status(study: Study) -> int:
    """0 with layouts; 3 when there can be none; 1 when that was not settled."""
    from optimizer.domain.study import Status

    if study.layouts:
        return exits.DONE
    if study.status is Status.INFEASIBLE:
        sys.stderr.write("nothing can be built under the hard rules of this brief\n")
        return exits.NOTHING_BUILDABLE
    sys.stderr.write(f"stopped before any layout was found ({study.status.value})\n")
    return exits.INTERRUPTED if study.status is Status.CANCELLED else exits.FAILED
