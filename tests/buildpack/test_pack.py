"""The pack put together: tables, CSV and JSON read back, cautions, notes and refusals."""

from __future__ import annotations

import csv
import json
from io import StringIO

import pytest
from pydantic import TypeAdapter

from optimizer.buildpack.tables import (
    Table,
    as_csv,
    checks_table,
    cut_list_csv,
    cut_list_json,
    cut_list_table,
    cuts_table,
    hardware_table,
    hours_table,
    markout_table,
    quote_table,
    shopping_table,
)
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout, Zone, ZoneKind
from optimizer.domain.pack import BuildPack, CutListRow, Edge
from optimizer.errors import BuildError
from optimizer.reference.prices import QuoteRates, invented_prices
from optimizer.stocking import stocked
from tests.buildpack.samples import metric, reach_in, reach_in_bays, reach_in_brief, shelf
from tests.packs import quick_pack


def _brief(**room: object) -> Brief:
    data = reach_in_brief().model_dump(mode="json")
    data["room"].update(room)
    return Brief.model_validate(data)


def test_the_pack_as_json_reads_back_equal() -> None:
    """Everything survives JSON."""
    for sample in (reach_in, metric):
        pack = quick_pack(*sample())
        assert BuildPack.model_validate_json(pack.model_dump_json()) == pack


def test_cut_list_csv_reads_back() -> None:
    """A CSV reader finds the rows, with sizes as text and as numbers, and all part ids."""
    pack = quick_pack(*reach_in())
    rows = list(csv.DictReader(StringIO(cut_list_csv(pack.cut_list, pack.units))))
    assert len(rows) == 8
    assert {key: rows[2][key] for key in ("count", "name", "length_text", "length_in")} == {
        "count": "7",
        "name": "Shelf, Top shelf",
        "length_text": '35-3/16"',
        "length_in": "35.1875",
    }
    ids = [name for row in rows for name in row["parts"].split(" ")]
    assert sorted(ids) == sorted(part.id for part in pack.parts)
    area = sum(
        int(row["count"]) * float(row["length_in"]) * float(row["width_in"])
        for row in rows
        if row["stock"] == "sheet"
    )
    assert area == 6977.25


def test_metric_cut_list_is_in_whole_millimetres() -> None:
    """Sizes as text are whole millimetres, columns say mm."""
    pack = quick_pack(*metric())
    rows = list(csv.DictReader(StringIO(cut_list_csv(pack.cut_list, pack.units))))
    assert (rows[1]["length_text"], rows[1]["length_mm"]) == ("898", "898")


def test_cut_list_json_reads_back() -> None:
    """Rows come back equal from JSON."""
    rows = quick_pack(*metric()).cut_list
    assert TypeAdapter(tuple[CutListRow, ...]).validate_json(cut_list_json(rows)) == rows
    assert json.loads(cut_list_json(rows))[0]["parts"] == ["N-U1", "N-U2"]


def test_cells_that_a_spreadsheet_would_run_are_quoted() -> None:
    """Formulas get a quote in front; plain lengths below the datum do not."""
    cells = ("=1+1", "+cmd", "-2+3", "@x", '-45-1/4"', '+21"', "-1128", "plain, cell")
    text = as_csv(Table("t", ("a",) * 8, (cells,)))
    assert next(csv.reader(StringIO(text.splitlines()[1]))) == [
        *("'=1+1", "'+cmd", "'-2+3", "'@x"),
        *('-45-1/4"', '+21"', "-1128", "plain, cell"),
    ]


def test_tables_hold_what_the_pack_holds() -> None:
    """One row for each line, sums where money and hours are added up."""
    pack = quick_pack(*reach_in(), rates=QuoteRates(labour_rate=50.0, margin=0.2, tax=0.1))
    assert len(cut_list_table(pack).rows) == len(pack.cut_list)
    assert len(cuts_table(pack).rows) == len(pack.cuts)
    assert len(hardware_table(pack).rows) == len(pack.hardware)
    assert len(markout_table(pack, "B").rows) == len(pack.markout)
    assert shopping_table(pack).rows[-1][4] == f"{pack.quote.materials:.2f}"
    assert hours_table(pack).rows[-1][1] == f"{pack.quote.hours:.2f}"
    assert [row[0].split(",")[0] for row in quote_table(pack).rows] == [
        *("Materials", "Labour", "Margin", "Tax", "Total")
    ]
    assert checks_table(pack).rows[0][0] == "pass"


def _topics(pack: BuildPack) -> set[str]:
    return {caution.topic for caution in pack.cautions}


def test_cautions_go_with_the_room_and_the_stock() -> None:
    """Boxes and lights only where there are some; dust of MDF; codes always."""
    plain = _topics(quick_pack(*reach_in()))
    assert {"saw", "dust", "sheet weight", "cables and pipes", "old paint", "fumes"} <= plain
    assert {"codes", "anchoring", "loads", "raw panels"} <= plain
    assert plain & {"electric boxes", "lights", "failed checks"} == set()
    outlet = {"wall": "D", "start": 2, "width": 3, "bottom": 12, "height": 4, "kind": "outlet"}
    light = {"wall": "D", "start": 2, "width": 3, "bottom": 90, "height": 4, "kind": "light"}
    full = _topics(quick_pack(_brief(obstructions=[outlet, light]), reach_in()[1]))
    assert full - plain == {"electric boxes", "lights"}
    pine = _topics(quick_pack(reach_in_brief(material="white_pine"), reach_in()[1]))
    assert plain - pine == {"raw panels", "sheet weight"}


def test_every_caution_names_its_source() -> None:
    """None without a text and a source."""
    cautions = quick_pack(*reach_in()).cautions
    assert [c.topic for c in cautions if not c.text or not c.source] == []


def test_failed_checks_are_cautioned_by_part() -> None:
    """Boards that fail are put in a caution of the structure page."""
    pack = quick_pack(reach_in_brief(max_plain_span=35), reach_in()[1])
    caution = next(c for c in pack.cautions if c.topic == "failed checks")
    assert caution.where == "structure"
    assert "B2-S1, B2-S2" in caution.text


def test_notes_say_what_to_verify() -> None:
    """Assumed studs, uneven readings, and uprights that cannot be tilted up."""
    walls = reach_in_brief().model_dump(mode="json")["room"]["walls"]
    walls[1] = {"id": "B", "length": [72.5, 72], "height": 82}
    notes = " ".join(quick_pack(_brief(walls=walls), Layout(bays=reach_in_bays())).notes)
    assert "wall B: studs are assumed" in notes
    assert 'its readings differ by 1/2"' in notes
    # Upright 81-3/4 x 14: diagonal 82.94 under 82; the third, 75-1/2 x 12, goes up.
    assert "upright B-U1 cannot be tilted up" in notes
    assert "B-U3 cannot" not in notes
    assert "Invented prices" in notes


def _with_trunk(height: float, width: float, *, stiffened: bool = False) -> tuple[str, ...]:
    """Notes of a bay 30 wide with a trunk under a board whose underside is at 30."""
    data = reach_in_brief().model_dump(mode="json")
    data["needs"]["items"] = [{"id": "trunk", "width": width, "depth": 12, "height": height}]
    floor = Zone(kind=ZoneKind.FLOOR, bottom=0, top=30, depth=16, items=("trunk",))
    bay = reach_in_bays()[0].model_copy(
        update={
            "width": 30.0,
            "depth": 16.0,
            "zones": (floor, shelf(30.75, 90.0, 16.0)),
            "height": 30.75,
            "stiffened": stiffened,
        }
    )
    return quick_pack(Brief.model_validate(data), Layout(bays=(bay,))).notes


def test_items_that_meet_cleats_are_noted() -> None:
    """Clear 30, cleats 2, air 1/2: a trunk of 28 lies between cleats 28-1/2 apart if it is no
    wider than 27-1/2; one of 27-1/2 passes under them; a stiffener of 1-1/2 stops one of 28-1/4.
    """
    assert not any("trunk" in note for note in _with_trunk(27.5, 29))
    assert not any("trunk" in note for note in _with_trunk(28, 27.5))
    assert any("trunk in bay B1 meets the cleats" in note for note in _with_trunk(28, 28))
    stopped = _with_trunk(28.25, 20, stiffened=True)
    assert any("does not pass under the stiffener of B1-S1" in note for note in stopped)


def test_nothing_to_build_is_an_error() -> None:
    """A layout without bays is refused."""
    with pytest.raises(BuildError) as caught:
        stocked(reach_in_brief(), Layout(), invented_prices())
    assert str(caught.value) == "the layout has no bays: there is nothing to build"


def test_an_unknown_price_names_what_needs_it() -> None:
    """Without a price for sockets the rod is named; without one for the stock, the sheets."""
    book = invented_prices()
    bare = book.model_copy(
        update={"piece": tuple(line for line in book.piece if line.key != "rod_socket")}
    )
    with pytest.raises(BuildError) as caught:
        quick_pack(*reach_in(), book=bare)
    assert str(caught.value) == "part B1-R1: the price book has no price for rod_socket"
    with pytest.raises(BuildError) as caught:
        quick_pack(reach_in_brief(), reach_in()[1], book=book.model_copy(update={"sheet": ()}))
    assert str(caught.value) == (
        "part B-U1: the price book has no sheet of mdf 0.75 in (19 mm) thick"
    )
    with pytest.raises(BuildError) as caught:
        quick_pack(reach_in_brief(), reach_in()[1], book=book.model_copy(update={"rod": ()}))
    assert str(caught.value) == "part B1-R1: the price book has no rod of steel_tube"


def test_a_stiffener_over_a_rod_stands_up() -> None:
    """Over a rod the stiffener stands on the board's front edge, so that hangers lift off."""
    bay = reach_in_bays()[0].model_copy(update={"stiffened": True})
    parts = {p.id: p for p in quick_pack(reach_in_brief(), Layout(bays=(bay,))).parts}
    over_rod = next(zone for zone in bay.zones if zone.kind is ZoneKind.SHELF)
    assert parts["B1-N1"].box.bottom == over_rod.bottom
    assert parts["B1-N1"].shown == (Edge.TOP,)
    assert "upright on the front edge of B1-S1" in parts["B1-N1"].note
