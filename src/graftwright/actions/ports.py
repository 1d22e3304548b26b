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

    def look_up(self, id_: str, words: Iterable[str], *, inside: str = "") -> None:
        """Fetch in one go what an entry will ask for; what stands in the place `inside`, too, if it is one."""

    def find(self, word: str) -> Thing | None:
        """Return the thing with that code, or with that name."""

    def answered(self, id_: str) -> Entry | KeptAside | None:
        """Return the first answer that an id got."""

    def next_number(self) -> int:
        """Number the next accepted entry gets."""

    def taken(self, codes: Iterable[str]) -> set[str]:
        """Return those of the codes that belong to something already."""

    def owners_in(self, place: str) -> Sequence[str]:
        """Lots, batches and plants that stand in a place now."""

    def lots_left(self, kinds: Iterable[str]) -> Sequence[Thing]:
        """Lots of some kinds of which something is left, or that nobody counted."""

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
        """Entries that touch a batch or its plants or are about places it has lain in, in order, with their lines."""

    def batches_in(self, place: str, *, within: bool) -> Sequence[str]:
        """Living batches and seed lots that ever stood in a place, or also in places that ever stood `within` it."""

    def batches_of(self, key: str) -> Sequence[str]:
        """Living batches and seed lots that a method sheet was used for, or that are of a genus."""

    def save_forecasts(self, forecasts: Mapping[str, Forecast]) -> None:
        """Write the windows of batches."""


class Reading(Protocol):
    """One unchanging state of a notebook, for looking."""

    def find(self, word: str) -> Thing | None:
        """Return the thing with that code or name."""

    def things(self, codes: Iterable[str]) -> dict[str, Thing]:
        """Return things by code."""

    def things_of(self, *kinds: str) -> list[Thing]:
        """Return all things of some kinds, in the order of their codes."""

    def parts(self, batch: str) -> list[Thing]:
        """Return the coded plants of a batch."""

    def accounts(self, codes: Iterable[str]) -> list[Line]:
        """Return what is on every account of some things."""

    def standing_in(self, places: Iterable[str]) -> list[Line]:
        """Return what stands in some places."""

    def told(self, codes: Iterable[str], limit: int = 200) -> list[tuple[Entry, tuple[Line, ...]]]:
        """Return the latest entries about some things, or about what stood in them, with their lines, latest first."""

    def entry(self, number: int) -> Entry:
        """Return an entry by its number."""

    def crossed(self, codes: Iterable[str]) -> list[Entry]:
        """Return crossed-out entries that were about some things."""

    def lines(self, number: int) -> tuple[Line, ...]:
        """Return what an entry moves."""

    def of_kind(self, kind: str) -> list[Entry]:
        """Return the entries of a kind that still stand, in order."""

    def forecast(self, batch: str) -> Forecast | None:
        """Return the stored windows and tasks of a batch."""

    def living(self) -> list[Forecast]:
        """Return the windows and tasks of every batch that has living grafts."""

    def season(self, since: str) -> list[Forecast]:
        """Return the windows and fates of every batch grafted since a day, alive or not."""

    def sheet(self, version: str) -> str:
        """Return the text of a stored method sheet."""

    def aside(self) -> list[KeptAside]:
        """Return the entries kept aside that nobody has settled."""


class Notebook(Protocol):
    """A ledger on paper of some sort."""

    def writing(self) -> AbstractContextManager[Page]:
        """Open for writing; leaves nothing behind if the block fails."""

    def reading(self) -> AbstractContextManager[Reading]:
        """Open for looking."""


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
