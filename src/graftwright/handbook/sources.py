"""The bibliography and the cautions that sheets name."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """A publication; `about` is in our words, `seen` says how much of it was read."""

    key: str
    about: str
    where: str
    seen: str
    authors: str = ""
    year: int | None = None
    title: str = ""

    @property
    def cited(self) -> str:
        """Authors, year, title, where and what about, as a line."""
        parts = (self.authors, str(self.year or ""), self.title, self.where, f"About: {self.about}")
        return ". ".join(part for part in parts if part) + "."


@dataclass(frozen=True)
class Caution:
    """A danger and what to do about it, shown where the work is."""

    key: str
    title: str
    says: str
