"""`build`: the build pack of a layout, written into a folder."""

from __future__ import annotations

import argparse
import datetime
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from optimizer.commands import exits
from optimizer.commands.arguments import BRIEF_HELP, Subparsers, chosen
from optimizer.commands.inputs import read_brief_argument, read_study_argument
from optimizer.commands.outputs import require_folder, write_folder
from optimizer.errors import NothingBuildableError

if TYPE_CHECKING:
    from optimizer.delivery import Delivery
    from optimizer.domain.brief import Brief
    from optimizer.domain.layout import Layout
    from optimizer.domain.study import Study
    from optimizer.reference.prices import PriceBook, QuoteRates

_RATES = ("labour_rate", "margin", "tax")


def add_parser(subparsers: Subparsers[argparse.ArgumentParser]) -> None:
    """Add the command's parser."""
    parser = subparsers.add_parser(
        "build", help="write the build pack of a layout: parts, sheets, drawings, one PDF"
    )
    parser.set_defaults(run=run)
    parser.add_argument("brief", metavar="BRIEF", help=BRIEF_HELP)
    parser.add_argument(
        "study",
        metavar="STUDY",
        nargs="?",
        help="a study (JSON), edited by hand perhaps; without one a layout is proposed first",
    )
    parser.add_argument(
        "--layout", type=int, default=1, metavar="RANK", help="layout to build (default: 1)"
    )
    parser.add_argument(
        "--fewer-sheets",
        action="store_true",
        help="build the nearest layout of that study which takes a sheet less",
    )
    parser.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder for the pack"
    )
    parser.add_argument("--prices", type=Path, metavar="TOML", help="price book of your own shop")
    parser.add_argument(
        "--date", type=_date, metavar="YYYY-MM-DD", help="date on the drawings (default: blank)"
    )
    parser.add_argument(
        "--steps",
        type=int,
        default=2500,
        metavar="N",
        help="work put into laying out the sheets, about a millisecond each (default: 2500)",
    )
    quote = parser.add_argument_group("quote, in place of what the price book says")
    quote.add_argument("--labour-rate", type=_share, metavar="MONEY", help="for an hour")
    quote.add_argument("--margin", type=_share, metavar="SHARE", help="0.2 is 20%%")
    quote.add_argument("--tax", type=_share, metavar="SHARE")


def _date(text: str) -> datetime.date:
    """A date on the command line."""
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no date such as 2026-03-14") from None


def _share(text: str) -> float:
    """A share or a rate on the command line."""
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0.0 <= value <= 1e6:
        raise argparse.ArgumentTypeError(f"{text!r} is no number from 0 up")
    return value


def run(args: argparse.Namespace) -> int:
    """Build, write everything or nothing, and say what was written.

    Exit status 0; 1 where a structural check fails, named on standard error.
    """
    brief, _ = read_brief_argument(args.brief)
    study = read_study_argument(args.study) if args.study else None
    book = _book(args.prices)
    rates = _rates(args, book)
    # Before the search and the nesting, which may take minutes.
    require_folder(args.out)
    if study is None:
        study = _propose(brief)
    (rank,) = chosen(study, (args.layout,))
    layout, fewer = _layout(study, rank, fewer_sheets=args.fewer_sheets)
    delivery = _deliver(args, brief, layout, book=book, rates=rates, fewer_sheets=fewer)
    paths = _write(args.out, delivery)
    _report(delivery, paths)
    return _verdict(delivery)


def _book(path: Path | None) -> PriceBook:
    """The price book in a file, or the one shipped."""
    from optimizer.reference.prices import invented_prices, load_price_book

    return load_price_book(path) if path else invented_prices()


def _rates(args: argparse.Namespace, book: PriceBook) -> QuoteRates:
    """The book's rates with those of the command line put in; PriceBookError when too large."""
    from pydantic import ValidationError

    from optimizer.domain.validation import faults_of
    from optimizer.errors import PriceBookError
    from optimizer.reference.prices import QuoteRates

    given = {name: getattr(args, name) for name in _RATES if getattr(args, name) is not None}
    data = {**book.quote.model_dump(), **given}
    try:
        return QuoteRates.model_validate(data)
    except ValidationError as error:
        raise PriceBookError(faults_of(error, data)) from None


def _layout(study: Study, rank: int, *, fewer_sheets: bool) -> tuple[Layout, str]:
    """The layout of that rank, with a word on the nearest that takes fewer sheets; or that one."""
    leaner = next((one for one in study.leaner if one.rank == rank), None)
    if not fewer_sheets:
        layout = next(layout for layout in study.layouts if layout.rank == rank)
        return layout, leaner.told if leaner else ""
    if leaner is None:
        raise NothingBuildableError(f"the study has no layout near {rank} that takes fewer sheets")
    # With the rank of its neighbour, which is what was asked for; drawings and file names show it.
    return leaner.layout.model_copy(update={"rank": rank}), ""


def _propose(brief: Brief) -> Study:
    """A study of the brief, for whoever hands over a brief without layouts."""
    from optimizer.commands.monitor import RunMonitor
    from optimizer.proposing import propose

    with RunMonitor(sys.stderr).watching() as watch:
        study = propose(
            brief, progress=watch.progress, should_stop=watch.should_stop, repairs=False
        )
    if not study.layouts:
        raise NothingBuildableError(f"no layout was found ({study.status.value})")
    return study


def _deliver(
    args: argparse.Namespace,
    brief: Brief,
    layout: Layout,
    *,
    book: PriceBook,
    rates: QuoteRates,
    fewer_sheets: str,
) -> Delivery:
    """The build pack with its drawings."""
    from optimizer.delivery import build_pack

    return build_pack(
        brief,
        layout,
        book=book,
        rates=rates,
        date=args.date,
        steps=args.steps,
        fewer_sheets=fewer_sheets,
    )


def _write(folder: Path, delivery: Delivery) -> list[Path]:
    """Every file of the pack, or none."""
    from optimizer.delivery import pack_files
    from optimizer.files import write_files

    files = pack_files(delivery)
    return write_folder(folder, lambda temporary: write_files(temporary, files))


def _report(delivery: Delivery, paths: list[Path]) -> None:
    """What was written and what it comes to."""
    from optimizer.printing.words import clean

    pack, plan = delivery.pack, delivery.plan
    lines = [f"build pack of layout {delivery.layout.rank}: {len(paths)} files"]
    lines.append(f"  {paths[0]}")
    lines.append(f"  {sum(part.count for part in pack.parts)} parts")
    if plan.sheets is not None:
        lines.append(f"  {plan.sheets.statement}")
    money = f" {pack.quote.currency}" if pack.quote.currency else ""
    lines.append(f"  materials {pack.quote.materials:.2f}{money}, quote {pack.quote.total:.2f}")
    lines += [f"  verify: {note}" for note in pack.notes]
    for line in lines:
        sys.stdout.write(f"{clean(line)}\n")


def _verdict(delivery: Delivery) -> int:
    """Exit status; every failed check is named on standard error."""
    from optimizer.printing.words import clean

    for check in delivery.failed:
        mends = f" (mend: {check.mends[0]})" if check.mends else ""
        line = (
            f"FAILS: {check.part}, {check.kind}: {check.check}, {check.use:.0%} of the limit{mends}"
        )
        sys.stderr.write(f"{clean(line)}\n")
    if delivery.failed:
        sys.stderr.write("not to be built as drawn: see the structural checks\n")
    return exits.FAILED if delivery.failed else exits.DONE
