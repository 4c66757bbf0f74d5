"""Files: all or none, safe names, the same bytes each time, nothing that a name could break."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from optimizer.drawing import draw_all, draw_elevation, draw_plan, drawing_files, write_drawings
from optimizer.drawing.ink.names import wall_title
from optimizer.errors import LayoutError, OptimizerError
from optimizer.files import safe_name, write_files
from tests.drawing import samples
from tests.drawing.readback import SVG, svg_root, svg_texts, texts, written


def test_plan_elevations_and_isometric_are_written(tmp_path: Path) -> None:
    """One SVG and one DXF of each; elevations only of walls that carry bays."""
    brief, layout = samples.walk_in()
    paths = write_drawings(brief, layout, tmp_path / "new" / "folder")
    stems = ["plan", "elevation-N", "elevation-E", "elevation-W", "isometric"]
    assert [path.name for path in paths] == [
        f"{stem}.{kind}" for stem in stems for kind in ("svg", "dxf")
    ]
    assert sorted((tmp_path / "new" / "folder").iterdir()) == sorted(paths)


def test_nothing_is_written_of_a_layout_that_cannot_be_drawn(tmp_path: Path) -> None:
    """The fault of the last bay leaves the folder as it was."""
    brief, layout = samples.walk_in()
    bad = layout.bays[-1].model_copy(update={"wall": "nowhere"})
    broken = layout.model_copy(update={"bays": (*layout.bays[:-1], bad)})
    with pytest.raises(LayoutError, match="nowhere"):
        write_drawings(brief, broken, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_written_when_one_file_cannot_be(tmp_path: Path) -> None:
    """A folder in the way of the second file: the first is not written either."""
    (tmp_path / "b.txt").mkdir()
    (tmp_path / "a.txt").write_bytes(b"old")
    with pytest.raises(OptimizerError, match=r"b\.txt"):
        write_files(tmp_path, {"a.txt": b"new", "b.txt": b"new"})
    assert (tmp_path / "a.txt").read_bytes() == b"old"
    assert sorted(tmp_path.iterdir()) == [tmp_path / "a.txt", tmp_path / "b.txt"]


def test_a_file_in_place_of_the_folder_is_a_clear_error(tmp_path: Path) -> None:
    """The message names the path."""
    (tmp_path / "taken").write_text("x")
    with pytest.raises(OptimizerError, match="taken"):
        write_files(tmp_path / "taken", {"a.txt": b""})


@given(st.text(min_size=1, max_size=60), st.text(min_size=1, max_size=60))
def test_safe_names_are_safe_and_different(one: str, other: str) -> None:
    """Only letters, digits, - and _; different ids give names that differ in any case."""
    first, second = safe_name(one, [other]), safe_name(other, [one])
    assert set(first) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_")
    assert first
    if one != other:
        assert first.lower() != second.lower()


def test_plain_ids_stay_as_they_are_unless_only_their_case_differs() -> None:
    """'left' is a file name; beside 'Left' both get a digest."""
    assert safe_name("left", ["left", "right"]) == "left"
    assert safe_name("left", ["left", "Left"]).startswith("left-")
    assert safe_name("../etc") == safe_name("../etc", ["B"]) != "etc"


def test_wall_titles() -> None:
    """'Wall' is put before an id unless it begins so."""
    assert wall_title("B") == "Wall B"
    assert wall_title("wall by the stairs") == "Wall by the stairs"


def test_drawings_are_the_same_each_time() -> None:
    """Another process with another hash seed writes the same SVG, DXF and PDF."""
    program = (
        "import hashlib, sys; from tests.drawing import samples; from optimizer.drawing import *;"
        "found = draw_all(*samples.walk_in());"
        "digest = hashlib.sha256();"
        "[digest.update(d.to_svg().encode() + d.to_dxf() + d.to_pdf()) for d in found];"
        "sys.stdout.write(digest.hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=Path(__file__).parents[2],
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1
    assert all(digests)


def test_hostile_names_stay_text() -> None:
    """Markup and codes in names are shown, never obeyed, in SVG and in DXF."""
    brief, layout = samples.long_names()
    for drawing in draw_all(brief, layout):
        root = svg_root(drawing)
        tags = {element.tag.removeprefix(SVG) for element in root.iter()}
        assert tags == {"svg", "title", "rect", "g", "path", "text"}
        assert "<script>alert('x')</script>" in " ".join(svg_texts(drawing))
        assert "<script>alert('x')</script>" in " ".join(texts(written(drawing)))


def test_control_characters_do_not_break_the_files() -> None:
    """Line feeds and other controls in a bay's id or the project's name become spaces."""
    brief, layout = samples.single_bay()
    named = brief.model_copy(update={"name": "two\nlines\x00\x1b[31m  0\nSECTION"})
    bay = layout.bays[0].model_copy(update={"id": "a\r\nb\x07"})
    drawing = draw_elevation(named, layout.model_copy(update={"bays": (bay,)}), "A")
    assert "a b" in svg_texts(drawing)
    assert "a b" in texts(written(drawing))
    assert "two lines [31m 0 SECTION" in texts(written(drawing))


def test_svg_is_a_sheet_of_paper_in_millimetres() -> None:
    """Size and view box are those of the paper, and texts are held to their width."""
    root = svg_root(draw_plan(*samples.metric()))
    assert root.get("width") == "297mm"
    assert root.get("height") == "210mm"
    assert root.get("viewBox") == "0 0 297 210"
    assert all(float(e.get("textLength", "0")) > 0 for e in root.iter(f"{SVG}text"))


def test_lines_have_the_weight_of_their_layer() -> None:
    """Walls are drawn 0.5 mm, dimensions 0.13 mm, clothes 0.09 mm in grey."""
    root = svg_root(draw_elevation(*samples.reach_in(), "B"))
    looks = {
        group.get("data-layer"): (group.get("stroke-width"), group.get("stroke"))
        for group in root.iter(f"{SVG}g")
    }
    assert looks["WALL"] == ("0.5", "#000000")
    assert looks["DIMENSION"] == ("0.13", "#000000")
    assert looks["CLOTHES"][0] == "0.09"
    assert looks["CLOTHES"][1] not in ("#000000", "#ffffff")


def test_pdf_holds_the_texts_as_texts() -> None:
    """One page in the paper's size, searchable."""
    drawing = draw_elevation(*samples.reach_in(), "B")
    reader = PdfReader(io.BytesIO(drawing.to_pdf()))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (round(box.width), round(box.height)) == (792, 612)
    text = reader.pages[0].extract_text()
    for word in ("B1", "B2", "hamper", "shoe box", "Hall closet", 'rod 80-1/4"'):
        assert word in text


def test_pdf_survives_letters_of_other_scripts() -> None:
    """Chinese, Greek, Cyrillic and Korean are set in fonts that readers bring along."""
    brief, layout = samples.single_bay()
    name = "壁橱 Ντουλάπα Шкаф 옷장 \N{OGHAM LETTER BEITH}"
    drawing = draw_plan(brief.model_copy(update={"name": name}), layout)
    page = PdfReader(io.BytesIO(drawing.to_pdf())).pages[0]
    fonts = {font.get_object()["/BaseFont"] for font in page["/Resources"]["/Font"].values()}
    assert any("STSong" in font for font in fonts)
    assert any("HYGothic" in font for font in fonts)


def test_files_are_named_after_drawings() -> None:
    """Each drawing gives an SVG and a DXF, which other programs read: ElementTree the one, ezdxf
    the other, with that drawing's own words in both."""
    brief, layout = samples.single_bay()
    wall = layout.bays[0].wall
    files = drawing_files([draw_plan(brief, layout), draw_elevation(brief, layout, wall)])
    assert sorted(files) == [
        f"elevation-{wall}.dxf",
        f"elevation-{wall}.svg",
        "plan.dxf",
        "plan.svg",
    ]
    heads = {}
    for name, data in files.items():
        if name.endswith(".svg"):
            root = ElementTree.fromstring(data)  # noqa: S314 - our own file
            shown = [element.text or "" for element in root.iter(f"{SVG}text")]
        else:
            shown = texts(ezdxf.read(io.StringIO(data.decode())))
        assert layout.bays[0].id in shown
        heads[name] = " ".join(shown)
    assert heads["plan.svg"] != heads[f"elevation-{wall}.svg"]
    assert heads["plan.dxf"] != heads[f"elevation-{wall}.dxf"]
