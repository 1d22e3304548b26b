"""The whole handbook: what comes with the program, and what a grower's own folders add."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from graftwright.errors import Trouble
from graftwright.handbook import errors
from graftwright.handbook.document import examine
from graftwright.handbook.fields import UNPUBLISHED
from graftwright.handbook.overlay import overlay
from graftwright.handbook.rules import no_rules, sheet_rules, species_rules
from graftwright.handbook.schema import CAUTIONS, OWN_VALUES, SHEET, SOURCES
from graftwright.handbook.schema_species import SPECIES
from graftwright.handbook.sheets import Sheet, sheet_from
from graftwright.handbook.shelf import Shelf
from graftwright.handbook.sources import Caution, Source
from graftwright.handbook.species import Species, species_from
from graftwright.handbook.values import OwnValue

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from graftwright.handbook.document import Document, Rules
    from graftwright.handbook.fields import Table
    from graftwright.handbook.toml_lines import Path as TomlPath

DATA = Path(__file__).parent / "data"


@dataclass(frozen=True)
class Handbook:
    """All sheets and species by key and genus, with the bibliography and the cautions."""

    sheets: Mapping[str, Sheet]
    species: Mapping[str, Species]
    sources: Mapping[str, Source]
    cautions: Mapping[str, Caution]

    def sheet(self, key: str) -> Sheet:
        """Find a sheet by its key; complain with the nearest one."""
        if key not in self.sheets:
            raise errors.NoSuchSheet(key, self.sheets)
        return self.sheets[key]


def load_handbook(own_folders: Sequence[Path] = ()) -> Handbook:
    """Read the handbook and any of a grower's own folders; raises the first complaint."""
    handbook, troubles = check_handbook(own_folders)
    if troubles:
        raise troubles[0]
    return handbook


@cache
def published() -> Handbook:
    """Return the handbook that comes with the program; it is read once."""
    return load_handbook()


def check_handbook(own_folders: Sequence[Path] = ()) -> tuple[Handbook, list[Trouble]]:
    """Read what can be read, and list everything that is wrong."""
    gathered = _Gathered()
    shelves = [Shelf(DATA, "handbook"), *(Shelf(folder, str(folder)) for folder in own_folders)]
    for gather in (gathered.words, gathered.knowledge, gathered.own_values):
        for shelf in shelves:
            gather(shelf)
    handbook = Handbook(gathered.sheets, gathered.species, gathered.sources, gathered.cautions)
    return handbook, gathered.troubles


@dataclass
class _Gathered:
    """What has been read so far, and what was wrong with the rest."""

    sheets: dict[str, Sheet] = field(default_factory=dict)
    species: dict[str, Species] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    cautions: dict[str, Caution] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)

    def words(self, shelf: Shelf) -> None:
        """Bibliography and cautions, which sheets refer to."""
        self.troubles += shelf.troubles()
        for document in self._documents(shelf, "sources.toml", SOURCES):
            for number, row in enumerate(document.plain["source"]):
                self._add(self.sources, Source(**row), document, ("source", number, "key"))
        for document in self._documents(shelf, "cautions.toml", CAUTIONS):
            for number, row in enumerate(document.plain["caution"]):
                self._add(self.cautions, Caution(**row), document, ("caution", number, "key"))

    def knowledge(self, shelf: Shelf) -> None:
        """Species and sheets."""
        for document in self._documents(shelf, "species/*.toml", SPECIES, species_rules):
            self._refers(document)
            self._add(self.species, species_from(document), document, ("species", "genus"))
        for document in self._documents(shelf, "sheets/*.toml", SHEET, sheet_rules):
            self._refers(document)
            self._add(self.sheets, sheet_from(document), document, ("sheet", "key"))

    def own_values(self, shelf: Shelf) -> None:
        """Lay a grower's figures over the sheets and species they are of."""
        for document in self._documents(shelf, "values.toml", OWN_VALUES):
            for number, row in enumerate(document.plain["value"]):
                place = document.paper.place(("value", number))
                own = OwnValue(row["path"], row["value"], row["scope"], row.get("note", ""), place)
                self._lay(row["of"], own)

    def _lay(self, of: str, own: OwnValue) -> None:
        try:
            if of in self.sheets:
                self.sheets[of] = overlay(self.sheets[of], [own])
            elif of in self.species:
                self.species[of] = overlay(self.species[of], [own])
            else:
                self.troubles.append(errors.UnknownSubject(of, [*self.sheets, *self.species], own.where))
        except Trouble as trouble:
            self.troubles.append(trouble)

    def _documents(
        self, shelf: Shelf, pattern: str, schema: Table, rules: Rules = no_rules
    ) -> Iterator[Document]:
        for paper in shelf.files(pattern):
            if isinstance(paper, Trouble):
                self.troubles.append(paper)
                continue
            document, troubles = examine(paper, schema, rules)
            self.troubles += troubles
            if document:
                yield document

    def _add(self, known: dict[str, Any], thing: Any, document: Document, path: TomlPath) -> None:
        key = getattr(thing, str(path[-1]))
        if key in known:
            self.troubles.append(errors.DuplicateKey(str(path[0]), key, document.paper.place(path)))
        known.setdefault(key, thing)

    def _refers(self, document: Document) -> None:
        """Every source and caution that a file names must exist."""
        sources = [*self.sources, *UNPUBLISHED]
        self.troubles += [
            errors.UnknownSource(source, sources, document.paper.place(path))
            for path, source in _said(document.data, "source")
            if source not in sources
        ]
        self.troubles += [
            errors.UnknownCaution(key, self.cautions, document.paper.place(path))
            for path, named in _said(document.data, "caution")
            for key in named
            if key not in self.cautions
        ]


def _said(data: Any, key: str, path: TomlPath = ()) -> Iterator[tuple[TomlPath, Any]]:
    """Every value that stands under a key, however deep."""
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for name, value in items:
        if name == key:
            yield (*path, name), value
        yield from _said(value, key, (*path, name))
