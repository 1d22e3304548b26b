"""The bibliography and the cautions that sheets name."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """A publication; `seen` says how much of it was read for the figures taken from it."""

    key: str
    title: str
    where: str
    seen: str
    authors: str = ""
    year: int | None = None

    @property
    def cited(self) -> str:
        """Authors, year, title and where, as a line."""
        parts = (self.authors, str(self.year or ""), self.title, self.where)
        return ". ".join(part for part in parts if part) + "."


@dataclass(frozen=True)
class Caution:
    """A danger and what to do about it, shown where the work is."""

    key: str
    title: str
    says: str
