"""How a wheel is built: the ready briefs of `scenarios` go along, inside the package.

They stay at the top of the repository, where people look for them, and are there once. Used by
the build alone, named in `pyproject.toml`; an editable install reads the folder itself.
"""

from __future__ import annotations

from pathlib import Path

from setuptools.command.build_py import build_py

SOURCE = Path("scenarios")
TARGET = ("optimizer", "scenarios")
"""The folder within the package that `briefs.scenarios` reads."""


class BuildWithScenarios(build_py):  # type: ignore[misc]
    """The usual step that collects modules and their data, and the ready briefs."""

    def run(self) -> None:
        """Collect everything."""
        super().run()
        # Older versions of setuptools do not know the mode.
        if getattr(self, "editable_mode", False):
            return
        for source, target in self._scenarios():
            self.mkpath(str(target.parent))
            self.copy_file(str(source), str(target), preserve_mode=False)

    def get_source_files(self) -> list[str]:
        """What a source distribution takes."""
        return [*super().get_source_files(), *(str(source) for source, _ in self._scenarios())]

    def get_outputs(self, include_bytecode: bool = True) -> list[str]:
        """What a wheel holds."""
        usual = super().get_outputs(include_bytecode)
        if getattr(self, "editable_mode", False):
            return list(usual)
        return [*usual, *(str(target) for _, target in self._scenarios())]

    def _scenarios(self) -> list[tuple[Path, Path]]:
        """Each ready brief, and where it goes."""
        folder = Path(self.build_lib, *TARGET)
        return [(path, folder / path.name) for path in sorted(SOURCE.glob("*.json"))]
