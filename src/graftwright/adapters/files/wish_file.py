"""Reads the text of a wish file, with an eye to what can be wrong with a file itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.errors import ContentComplaint
from graftwright.handbook.paper import Paper
from graftwright.handbook.shelf import MOST_BYTES, read_text

if TYPE_CHECKING:
    from pathlib import Path


class TooLargeForWishes(ContentComplaint):
    """A file far larger than anybody's wishes."""

    def __init__(self, where: str, size: int) -> None:
        super().__init__(
            f"The file has {size:,} bytes; a wish file has at most {MOST_BYTES:,}.",
            where=where,
            do="Check that it is the right file.",
        )


def read_paper(path: Path) -> Paper:
    """Read a file's text under its name."""
    if path.is_file() and path.stat().st_size > MOST_BYTES:
        raise TooLargeForWishes(path.name, path.stat().st_size)
    return Paper(path.name, read_text(path, path.name))
