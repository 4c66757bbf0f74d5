"""Writes what the page's files say of each other, and the pictures of its examples.

`python tests/browser/make_page_files.py` writes `files.json` (what is kept for when there is no
line) and the preloads of `index.html`; with `--examples` it proposes the examples anew and draws
each one's first layout.
"""

from __future__ import annotations

import json
import re
import shutil
import sys
from importlib.resources import files
from pathlib import Path

from playwright.sync_api import sync_playwright

from optimizer.drawing import draw_isometric
from optimizer.proposing import propose
from tests.browser.steps import OPTIONS
from tests.ready_briefs import load_scenario

PAGE = Path(str(files("api"))) / "page"
APART = {"index.html", "files.json", "sw.js"}
_PRELOAD = re.compile(r'(<link rel="modulepreload" href="[^"]*">\n)+')
_ENTRY = '<script type="module"'


def listed() -> list[str]:
    """Every file of the page that the service worker keeps, beside its entry."""
    there = (path for path in PAGE.rglob("*") if path.is_file())
    kept = (path for path in there if path.suffix != ".txt" and path.name != "LICENSE")
    return sorted({path.relative_to(PAGE).as_posix() for path in kept} - APART)


def entry(markup: str) -> str:
    """The entry with a preload of each module, so that none waits for another to be read."""
    modules = (name for name in listed() if name.endswith(".js"))
    lines = "".join(f'<link rel="modulepreload" href="/page/{name}">\n' for name in modules)
    bare = _PRELOAD.sub("", markup)
    return bare.replace(_ENTRY, lines + _ENTRY, 1)


_CROP = """text => {
  const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  for (const part of [...svg.children]) {
    const layer = part.dataset.layer ?? "";
    const named = ["rect", "title"].includes(part.tagName);
    if (["FRAME", "TITLE"].includes(layer) || named) part.remove();
  }
  document.body.replaceChildren(document.importNode(svg, true));
  const { x, y, width, height } = document.body.firstChild.getBBox();
  const box = [x - 2, y - 2, width + 4, height + 4].map((one) => one.toFixed(1));
  svg.setAttribute("viewBox", box.join(" "));
  for (const name of ["width", "height"]) svg.removeAttribute(name);
  return new XMLSerializer().serializeToString(svg);
}"""
"""Takes a drawing's frame and title away and leaves what is drawn, to its edges."""


def _draw_examples() -> None:
    """The isometric view of the first layout of each example that the page shows."""
    named = re.findall(r'^  \["([a-z-]+)",', (PAGE / "js" / "welcome.js").read_text(), re.M)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=list(OPTIONS)
        )
        page = browser.new_page()
        for name in named:
            study = propose(load_scenario(name))
            drawn = draw_isometric(study.brief, study.layouts[0]).to_svg()
            picture = page.evaluate(_CROP, drawn)
            (PAGE / "examples" / f"{name}.svg").write_text(f"{picture}\n", encoding="utf-8")
        browser.close()


def main() -> None:
    """Write them."""
    if "--examples" in sys.argv:
        _draw_examples()
    lines = ",\n".join(json.dumps(name) for name in listed())
    (PAGE / "files.json").write_text(f"[\n{lines}\n]\n", encoding="utf-8")
    file = PAGE / "index.html"
    file.write_text(entry(file.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
