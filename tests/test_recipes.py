"""The contributor's page does not rot: files and names in its recipes are there, lists complete."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
RECIPES = (
    "A bay kind",
    "A rule",
    "A score term",
    "A deliverable",
    "A database column",
    "An endpoint",
    "A page section",
)
_QUOTED = re.compile(r"`([^`]+)`")


def _section(heading: str, level: str) -> str:
    """Text under a heading, up to the next one of its level or a higher one."""
    after = PAGE.split(f"\n{level} {heading}\n", 1)[1]
    return re.split(rf"\n#{{1,{len(level)}}} ", after, maxsplit=1)[0]


def _is_path(word: str) -> bool:
    return "/" in word or word.endswith(".md")


def _named(recipe: str) -> dict[str, list[str]]:
    """Paths of a recipe, each with the names in brackets behind it."""
    found: dict[str, list[str]] = {}
    text = _section(recipe, "###")
    for match in re.finditer(r"`([^`]+)`(?:\s+\(([^)]*)\))?", text):
        path, names = match.groups()
        if _is_path(path):
            found.setdefault(path, []).extend(_QUOTED.findall(names or ""))
    return found


@pytest.mark.parametrize("recipe", RECIPES)
def test_a_recipe_leads_to_what_is_there(recipe: str) -> None:
    """Every path exists, and each name told beside one stands in it."""
    named = _named(recipe)
    assert len(named) >= 4
    assert sum(map(len, named.values())) >= 3
    for path, names in named.items():
        place = ROOT / path
        assert place.exists(), path
        for name in names:
            assert re.search(rf"\b{re.escape(name)}\b", place.read_text(encoding="utf-8")), (
                f"{name} is not in {path}"
            )


def test_all_recipes_are_walked() -> None:
    """A new one is added to the list above."""
    headings = re.findall(r"^### (.*)$", _section("Adding things", "##"), flags=re.MULTILINE)
    assert headings == [*RECIPES, "A published value"]


def test_values_from_memory_are_listed() -> None:
    """The table names exactly the files that say so of one of their values."""
    listed = set(_QUOTED.findall(_section("Values from memory", "##")))
    said = re.compile(r"\(from\s+memory|,\s+from\s+memory|:\s+from\s+memory|both\s+from\s+memory")
    files = [*(ROOT / "optimizer").rglob("*.py"), *(ROOT / "optimizer").rglob("*.toml")]
    saying = {
        str(path.relative_to(ROOT))
        for path in files
        if said.search(re.sub(r"[\s\"#]+", " ", path.read_text(encoding="utf-8")))
    }
    assert listed == saying
