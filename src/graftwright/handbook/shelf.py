"""A folder of handbook files, read with an eye to what can be wrong with a file itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.errors import Trouble
from graftwright.handbook import errors
from graftwright.handbook.paper import Paper

if TYPE_CHECKING:
    from pathlib import Path

PATTERNS = ("sources.toml", "cautions.toml", "values.toml", "sheets/*.toml", "species/*.toml")
MOST_BYTES = 1_000_000


@dataclass(frozen=True)
class Shelf:
    """A folder, and what it is called in complaints."""

    folder: Path
    name: str

    def files(self, pattern: str) -> list[Paper | Trouble]:
        """Each file of a kind, or why it cannot be read."""
        return [self._read(path) for path in sorted(self.folder.glob(pattern))]

    def _read(self, path: Path) -> Paper | Trouble:
        name = f"{self.name}/{path.relative_to(self.folder).as_posix()}"
        try:
            return Paper(name, read_text(path, name))
        except Trouble as trouble:
            return trouble

    def troubles(self) -> list[Trouble]:
        """Why nothing can come from this folder, if so."""
        if not self.folder.is_dir():
            return [errors.NoSuchFolder(self.name)]
        if not any(path for pattern in PATTERNS for path in self.folder.glob(pattern)):
            return [errors.NothingHere(self.name)]
        return []


def read_text(path: Path, name: str) -> str:
    """Read a file's text; complain if it is huge, unreadable or not UTF-8."""
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise errors.HugeFile(name, size, MOST_BYTES)
        content = path.read_bytes()
    except OSError as trouble:
        raise errors.NotReadable(name, trouble.strerror or "no reason given") from None
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        raise errors.NotUtf8(name, content.count(b"\n", 0, trouble.start) + 1) from None
