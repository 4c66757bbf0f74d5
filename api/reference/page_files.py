"""Static files for browsers: asked for again each time, or kept for good under their version."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

AGAIN = "no-cache"
"""Kept, but asked for again: files of two versions must not meet in one page."""
FOR_GOOD = "public, max-age=31536000, immutable"
"""Kept for a year and never asked for again (RFC 8246)."""
_VERSIONED = re.compile(r"v([0-9a-f]{16})/(.+)")
_OWN_FILES = re.compile(r'(?<=")/page/(?=(?:css|js|vendor)/)')


class Folder:
    """A folder of files whose version is a digest of all that is in it."""

    def __init__(self, path: Path) -> None:
        """Nothing is read before a version is asked for."""
        self.path = path
        self._seen: tuple[tuple[str, int, int], ...] = ()
        self._version = ""

    def version(self) -> str:
        """The digest of the files as they are now; they are read again only where one changed."""
        there = sorted(path for path in self.path.rglob("*") if path.is_file())
        found = [(path.as_posix(), path.stat()) for path in there]
        seen = tuple((name, stat.st_mtime_ns, stat.st_size) for name, stat in found)
        if seen != self._seen:
            digest = hashlib.sha256()
            for path in there:
                content = path.read_bytes()
                name = path.relative_to(self.path).as_posix()
                digest.update(f"{name}\0{len(content)}\0".encode() + content)
            self._seen, self._version = seen, digest.hexdigest()[:16]
        return self._version

    def told_last(self, version: str) -> bool:
        """Whether a version is the one that was told last."""
        return version == self._version

    def entry(self, name: str) -> str:
        """A document of the folder, whose styles and modules have the version in their addresses.

        Modules import one another by relative addresses, and so stay within it.
        """
        markup = (self.path / name).read_text(encoding="utf-8")
        return _OWN_FILES.sub(f"/page/v{self.version()}/", markup)


class PageFiles(StaticFiles):
    """Files that a browser asks for again by ETag; under the version of a `Folder` it keeps them.

    Files of another version than the folder's are served as they are now, and asked for again.
    """

    def __init__(self, folder: Folder) -> None:
        """Serves what is in `folder`."""
        super().__init__(directory=folder.path)
        self._folder = folder

    async def get_response(self, path: str, scope: Scope) -> Response:
        """The file, with its caching rule."""
        versioned = _VERSIONED.fullmatch(Path(path).as_posix())
        response = await super().get_response(versioned[2] if versioned else path, scope)
        kept = versioned is not None and self._folder.told_last(versioned[1])
        response.headers["Cache-Control"] = FOR_GOOD if kept else AGAIN
        if path.endswith(".js"):
            # A service worker kept under /page/ may serve the page at / without a network.
            response.headers["Service-Worker-Allowed"] = "/"
        return response
