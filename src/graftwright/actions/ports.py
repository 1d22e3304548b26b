"""What the actions need of the world outside: a notebook that can be read and written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

from graftwright.ledger.book import Source

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from contextlib import AbstractContextManager

    from graftwright.ledger.aside import KeptAside
    from graftwright.ledger.book import Change
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line
    from graftwright.ledger.things import Thing
    from graftwright.ledger.windows import Forecast


@dataclass(frozen=True)
class Sheet:
    """A method sheet as it is stored in a notebook: what replay and forecast rest on."""

    version: str
    text: str
    species: Mapping[str, str]


class Page(Source, Protocol):
    """A notebook while somebody writes in it: one transaction, all or nothing."""

    def look_up(self, id_: str, words: Iterable[str]) -> None:
        """Fetch in one go what an entry will ask for."""

    def find(self, word: str) -> Thing | None:
        """Return the thing with that code, or with that name."""

    def answered(self, id_: str) -> Entry | KeptAside | None:
        """Return the first answer that an id got."""

    def next_number(self) -> int:
        """Number the next accepted entry gets."""

    def owners_in(self, place: str) -> Sequence[str]:
        """Lots, batches and plants that stand in a place now."""

    def save(self, e: Entry, change: Change) -> None:
        """Write an accepted entry and all that it changes."""

    def keep_aside(self, kept: KeptAside) -> None:
        """Write an entry that could not stand, with its reason."""

    def has_sheet(self, version: str) -> bool:
        """Whether the notebook holds that version of a method sheet."""

    def store_sheet(self, sheet: Sheet) -> None:
        """Keep the text of a method sheet, so that later sheets do not change old grafts."""

    def sheet(self, version: str) -> Sheet:
        """Return a stored method sheet."""

    def told_of(self, batch: str) -> Sequence[tuple[Entry, tuple[Line, ...]]]:
        """Entries about a batch, its plants and the places it has lain in, in order, with their lines."""

    def owners_under(self, place: str) -> Sequence[str]:
        """Lots, batches and plants that stand in a place or in one within it now."""

    def save_forecasts(self, forecasts: Mapping[str, Forecast]) -> None:
        """Write the windows of batches."""


class Notebook(Protocol):
    """A ledger on paper of some sort."""

    def writing(self) -> AbstractContextManager[Page]:
        """Open for writing; leaves nothing behind if the block fails."""


@dataclass(frozen=True)
class Draft:
    """What a person wants to enter, as typed."""

    kind: str
    subject: str = ""
    said: Mapping[str, Any] | None = None
    happened: str = ""
    by: str = ""
    id: str = ""
    replaces: int = 0
    with_those_behind: bool = False
