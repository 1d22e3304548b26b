"""The whole handbook: what comes with the program, and what a grower's own folders add."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from graftwright.errors import Trouble
from graftwright.handbook import errors
from graftwright.handbook.document import examine
from graftwright.handbook.fields import UNPUBLISHED, Paper
from graftwright.handbook.overlay import overlay
from graftwright.handbook.rules import no_rules, sheet_rules, species_rules
from graftwright.handbook.schema import CAUTIONS, OWN_VALUES, SHEET, SOURCES, SPECIES
from graftwright.handbook.sheets import Sheet, sheet_from
from graftwright.handbook.sources import Caution, Source
from graftwright.handbook.species import Species, species_from
from graftwright.handbook.values import OwnValue

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from graftwright.handbook import toml_lines
    from graftwright.handbook.document import Document, Rules
    from graftwright.handbook.fields import Table

DATA = Path(__file__).parent / "data"
PATTERNS = ("sources.toml", "cautions.toml", "values.toml", "sheets/*.toml", "species/*.toml")
MOST_BYTES = 1_000_000


@dataclass(frozen=True)
class Handbook:
    """All sheets and species by key and genus, with the bibliography and the cautions."""

    sheets: dict[str, Sheet]
    species: dict[str, Species]
    sources: dict[str, Source]
    cautions: dict[str, Caution]

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


def check_handbook(own_folders: Sequence[Path] = ()) -> tuple[Handbook, list[Trouble]]:
    """Read what can be read, and list everything that is wrong."""
    gathered = _Gathered()
    shelves = [Shelf(DATA, "handbook"), *(Shelf(folder, str(folder)) for folder in own_folders)]
    for shelf in shelves:
        gathered.words(shelf)
    for shelf in shelves:
        gathered.knowledge(shelf)
    for shelf in shelves:
        gathered.own_values(shelf)
    return gathered.handbook, gathered.troubles


@dataclass(frozen=True)
class Shelf:
    """A folder of handbook files, and what its files are called in complaints."""

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

    def trouble(self) -> Trouble | None:
        """Why nothing can come from this folder, if so."""
        if not self.folder.is_dir():
            return errors.NoSuchFolder(self.name)
        if not any(path for pattern in PATTERNS for path in self.folder.glob(pattern)):
            return errors.NothingHere(self.name)
        return None


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


@dataclass
class _Gathered:
    """What has been read so far, and what was wrong with the rest."""

    handbook: Handbook = field(default_factory=lambda: Handbook({}, {}, {}, {}))
    troubles: list[Trouble] = field(default_factory=list)

    def words(self, shelf: Shelf) -> None:
        """Bibliography and cautions, which sheets refer to."""
        trouble = shelf.trouble()
        if trouble:
            self.troubles.append(trouble)
        for document in self._documents(shelf, "sources.toml", SOURCES, no_rules):
            for number, row in enumerate(document.plain["source"]):
                place = document.paper.place(("source", number, "key"))
                self._add("source", self.handbook.sources, row["key"], Source(**row), place)
        for document in self._documents(shelf, "cautions.toml", CAUTIONS, no_rules):
            for number, row in enumerate(document.plain["caution"]):
                place = document.paper.place(("caution", number, "key"))
                self._add("caution", self.handbook.cautions, row["key"], Caution(**row), place)

    def knowledge(self, shelf: Shelf) -> None:
        """Species and sheets."""
        for document in self._documents(shelf, "species/*.toml", SPECIES, species_rules):
            species = species_from(document)
            place = document.paper.place(("species", "genus"))
            self._refers(document)
            self._add("species", self.handbook.species, species.genus, species, place)
        for document in self._documents(shelf, "sheets/*.toml", SHEET, sheet_rules):
            sheet = sheet_from(document)
            self._refers(document)
            self._add("sheet", self.handbook.sheets, sheet.key, sheet, document.paper.place(("sheet", "key")))

    def own_values(self, shelf: Shelf) -> None:
        """Lay a grower's figures over the sheets and species they are of."""
        for document in self._documents(shelf, "values.toml", OWN_VALUES, no_rules):
            for number, row in enumerate(document.plain["value"]):
                self._lay(row, document.paper.place(("value", number)))

    def _lay(self, row: Mapping[str, Any], place: str) -> None:
        own = OwnValue(row["path"], row["value"], row["scope"], row.get("note", ""), place)
        sheets, species, of = self.handbook.sheets, self.handbook.species, row["of"]
        try:
            if of in sheets:
                sheets[of] = overlay(sheets[of], [own])
            elif of in species:
                species[of] = overlay(species[of], [own])
            else:
                raise errors.UnknownSubject(of, [*sheets, *species], place)
        except Trouble as trouble:
            self.troubles.append(trouble)

    def _documents(self, shelf: Shelf, pattern: str, schema: Table, rules: Rules) -> Iterator[Document]:
        for paper in shelf.files(pattern):
            if isinstance(paper, Trouble):
                self.troubles.append(paper)
                continue
            document, troubles = examine(paper, schema, rules)
            self.troubles += troubles
            if document:
                yield document

    def _add(self, kind: str, known: dict[str, Any], key: str, thing: Any, place: str) -> None:
        if key in known:
            self.troubles.append(errors.DuplicateKey(kind, key, place))
        known.setdefault(key, thing)

    def _refers(self, document: Document) -> None:
        """Every source and caution that a file names must exist."""
        sources, cautions = self.handbook.sources, self.handbook.cautions
        for path, source in _said(document.data, "source"):
            if source not in sources and source not in UNPUBLISHED:
                self.troubles.append(
                    errors.UnknownSource(source, [*sources, *UNPUBLISHED], document.paper.place(path))
                )
        for path, named in _said(document.data, "caution"):
            for key in named:
                if key not in cautions:
                    self.troubles.append(errors.UnknownCaution(key, cautions, document.paper.place(path)))


def _said(data: Any, key: str, path: toml_lines.Path = ()) -> Iterator[tuple[toml_lines.Path, Any]]:
    """Every value that stands under a key, however deep."""
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for name, value in items:
        if name == key:
            yield (*path, name), value
        yield from _said(value, key, (*path, name))
