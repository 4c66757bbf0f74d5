"""Fewer sheets: found by making boards a trifle shallower, checked, and true of the pack."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

from optimizer.checking import check_layout
from optimizer.commands.main import main
from optimizer.delivery import build_pack
from optimizer.domain.study import Study
from optimizer.patterns.rips import dividing_depth
from optimizer.proposing import propose
from optimizer.proposing.leaner import MOST_LOSS, MOST_SHALLOWER
from tests.ready_briefs import load_scenario


@pytest.mark.parametrize(
    ("depth", "divides"),
    [(16.0, 15.875), (14.0, 11.875), (12.0, 11.875), (11.875, 9.5), (24.5, 23.875)],
)
def test_depths_that_divide_a_sheet(depth: float, divides: float) -> None:
    """By hand, 48 in wide, 1/8 in blade, sixteenths: 3 x 15-7/8 + 2/8 = 47-7/8, 4 x 11-7/8 + 3/8
    = 47-7/8, 5 x 9-1/2 + 4/8 = 48, 2 x 23-7/8 + 1/8 = 47-7/8; a sixteenth more does not go."""
    brief = load_scenario("linen-closet")
    rules = brief.construction.model_copy(
        update={"sheet": (96.0, 48.0), "kerf": 0.125, "edge_trim": 0.0}
    )
    brief = brief.model_copy(update={"construction": rules})
    assert dividing_depth(brief, depth) == pytest.approx(divides, abs=0.0626)
    found = dividing_depth(brief, depth)
    many = int((48.0 + 0.125) // (depth + 0.125)) + 1
    assert many * found + (many - 1) * 0.125 <= 48.0
    assert many * (found + 0.0625) + (many - 1) * 0.125 > 48.0


def test_shelves_a_trifle_shallower_save_a_sheet(tmp_path: Path) -> None:
    """Shelves 16-1/4 in deep leave half of every sheet; at 15-7/8 in they do not. The pack says so
    on its cover, and `build --fewer-sheets` builds the other."""
    brief = load_scenario("linen-closet")
    options = brief.options.model_copy(update={"alternatives": 2})
    needs = brief.needs.model_copy(update={"shelf_depth": 16.25})
    brief = brief.model_copy(update={"options": options, "needs": needs})
    study = propose(brief, repairs=False)
    assert study.leaner
    for one in study.leaner:
        before = study.layouts[one.rank - 1]
        assert before.metrics is not None
        assert not check_layout(brief, one.layout)
        pack = build_pack(brief, one.layout)
        assert pack.plan.sheets is not None
        assert pack.plan.sheets.bought == one.sheets == before.metrics.sheets - one.saved
        assert pack.pack.quote.materials < before.metrics.material_cost
        assert one.loss == pytest.approx(max(0.0, before.score - one.layout.score))
        assert one.loss <= MOST_LOSS
        assert all(d.before * (1.0 - MOST_SHALLOWER) <= d.now < d.before for d in one.depths)
        assert {need.need for need in one.layout.unmet} <= {need.need for need in before.unmet}
    assert any(depth.now == 15.875 for one in study.leaner for depth in one.depths)
    first = next(one for one in study.leaner if one.rank == 1)
    assert built(study, tmp_path).count(f"{first.sheets} sheet in place of") == 1
    fewer = built(study, tmp_path, "--fewer-sheets")
    assert f"Sheets {first.sheets} sheet, " in fewer and "in place of" not in fewer


def built(study: Study, folder: Path, *options: str) -> str:
    """The cover of the pack that the command writes for the first layout."""
    files = {"brief.json": study.brief, "study.json": study}
    for name, record in files.items():
        (folder / name).write_text(record.model_dump_json(), encoding="utf-8")
    out = folder / f"pack{len(options)}"
    brief, kept = (str(folder / name) for name in files)
    assert main(["build", brief, kept, "--out", str(out), *options]) == 0
    cover = PdfReader(out / "build-pack.pdf").pages[0].extract_text()
    return " ".join(cover.split())
