"""The only place that picks and joins adapters; it imports them inside its functions."""

from __future__ import annotations

import random
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from graftwright import settings
from graftwright.errors import FileComplaint, NotebookComplaint

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from graftwright.actions.enter import Answer, Desk
    from graftwright.actions.outlook import Asked
    from graftwright.actions.plan_frost import Read
    from graftwright.actions.plan_parts import Plan
    from graftwright.actions.ports import Draft, Reading, Sheet
    from graftwright.actions.site import Site
    from graftwright.actions.verify import Proof
    from graftwright.actions.wish_file import Wishes
    from graftwright.adapters.database.unit_of_work import DatabaseNotebook
    from graftwright.handbook import Handbook
    from graftwright.handbook.paper import Paper
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.stages import Path as StagePath


class NotTheDemo(NotebookComplaint):
    """The demo was to be made over something that is no demo."""

    def __init__(self, path: Path) -> None:
        super().__init__("This is no demo and is not overwritten.", where=str(path), do="Name another file.")


class CannotWrite(FileComplaint):
    """A file that was asked for cannot be written."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(f"The file cannot be written: {reason}.", where=path.name, do="Name another file.")


@dataclass
class Book:
    """An open notebook with the date at its bench and the handbook at hand."""

    path: Path
    notebook: DatabaseNotebook
    site: Site
    now: datetime

    @property
    def today(self) -> date:
        """The bench's local day."""
        return self.site.today(self.now)

    @property
    def is_demo(self) -> bool:
        """Whether this is a demo, which lives on its own date and takes no real entries."""
        return self.site.demo_date is not None

    @cached_property
    def desk(self) -> Desk:
        """What entering needs besides the notebook."""
        from graftwright.actions.enter import Desk

        return Desk(self.now, self.today, sheets, random.SystemRandom(), self.site.southern)

    def enter(self, draft: Draft, *, at_the_door: bool = True) -> Answer:
        """Enter one draft; one without an id gets a new one."""
        from dataclasses import replace

        from graftwright.actions.enter import enter

        return enter(
            self.notebook,
            self.desk,
            draft if draft.id else replace(draft, id=new_id()),
            at_the_door=at_the_door,
        )


def sheets() -> Mapping[str, Sheet]:
    """Return the handbook as a notebook stores it: method sheets by key, the paths of seed as 'seed:Genus'."""
    from graftwright.actions.course import SEED
    from graftwright.actions.ports import Sheet
    from graftwright.handbook.load import published

    handbook = published()
    methods = {
        key: Sheet(
            f"{key}/{sheet.version}",
            sheet.text,
            {genus: species.text for genus, species in handbook.species.items() if sheet.allows(genus)},
        )
        for key, sheet in handbook.sheets.items()
    }
    seeds = {f"{SEED}{genus}": Sheet(f"{SEED}{genus}/{species.version}", species.text, {})
             for genus, species in handbook.species.items() if species.seed_stages}  # fmt: skip
    return {**methods, **seeds}


def new_id() -> str:
    """Make the id of an entry."""
    from ulid import ULID

    return str(ULID())


def stages_of(text: str) -> StagePath:
    """Return the stages of a method sheet's text."""
    from graftwright.handbook.sheets import parse_sheet
    from graftwright.ledger.stages import Path as StagePath

    return StagePath(parse_sheet(text, "the sheet stored in the notebook").path)


def which(path: str | None) -> Path:
    """Return the notebook to open: the one named, else the person's own, else the demo."""
    if path:
        return Path(path)
    own, demo = settings.own_notebook(), settings.demo_notebook()
    return demo if demo.exists() and not own.exists() else own


def open_book(path: Path, now: datetime | None = None) -> Book:
    """Open a notebook."""
    from graftwright.adapters.database.unit_of_work import DatabaseNotebook

    notebook = DatabaseNotebook(path, stages_of)
    return Book(path, notebook, _site(notebook), now or datetime.now(UTC))


def _site(notebook: DatabaseNotebook) -> Site:
    from graftwright.actions.site import site_of

    with notebook.reading() as reading:
        return site_of(reading.things_of("site", "settings"), reading.of_kind("away"))


def reread(book: Book, now: datetime | None = None) -> Book:
    """Return the book as it is now: a site described anew, days away, a new day."""
    return Book(book.path, book.notebook, _site(book.notebook), now or datetime.now(UTC))


def make_book(path: Path) -> None:
    """Make an empty notebook."""
    from graftwright.adapters.database.open import create

    create(path)


def new_book(path: Path, name: str, time_zone: str, latitude: float | None, free_days: str) -> Book:
    """Make a notebook and describe its site."""
    from graftwright.actions.ports import Draft
    from graftwright.actions.site import read_latitude, read_weekdays, read_zone

    said = {"what": "site", "name": name, "time_zone": read_zone(time_zone or settings.local_zone()),
            "latitude": None if latitude is None else read_latitude(latitude),
            "free_days": " ".join(read_weekdays(free_days))}  # fmt: skip
    make_book(path)
    book = open_book(path)
    book.enter(Draft("describe", "site", said))
    return reread(book)


def make_demo(path: Path, *, again: bool) -> bool:
    """Make the demo where there is none; `again` makes it afresh. Return whether it was made."""
    from graftwright.actions.demo import DEMO_NOW, drafts
    from graftwright.adapters.database.copies import write_over
    from graftwright.adapters.database.open import made_beside

    if path.exists() and not again:
        return False
    if path.exists() and not _is_demo(path):
        raise NotTheDemo(path)
    with made_beside(path, over=True) as growing:
        make_book(growing)
        book = open_book(growing, DEMO_NOW)
        drafts(book.notebook, sheets)
        book = reread(book, DEMO_NOW)
        keep_the_plan(book, "01DEM0PLAN0000000000000001")
        book.notebook.close()
        write_over(growing, path)
    return True


def _is_demo(path: Path) -> bool:
    book = open_book(path)
    book.notebook.close()
    return book.is_demo


def prove(book: Book, *, windows: bool) -> Proof:
    """Prove a notebook."""
    from dataclasses import replace

    from graftwright.actions.verify import verify, verify_windows

    with book.notebook.reading() as reading:
        texts = dict(reading.sheets())
        proof = verify(reading, lambda version: stages_of(texts[version]), len(reading.aside()))
    if not windows:
        return proof
    with book.notebook.writing() as page, book.notebook.reading() as reading:
        return replace(proof, problems=(*proof.problems, *verify_windows(page, reading)))


def back_up(book: Book, target: Path) -> Proof:
    """Copy a notebook into a new file and prove the copy."""
    from graftwright.actions.backup import back_up
    from graftwright.adapters.database.copies import copy_of

    with copy_of(book.path, target, stages_of) as copy:
        return back_up(copy)


def bring_back(source: Path, path: Path, now: datetime | None = None) -> Path | None:
    """Prove a backup and put it in the place of a notebook; return where that one is kept, if there was one."""
    from graftwright.actions.backup import bring_back
    from graftwright.adapters.database.copies import copy_of

    with copy_of(source, path, stages_of, over=True) as copy:
        return bring_back(copy, (now or datetime.now(UTC)).astimezone().date())


def asked(book: Book, reading: Reading) -> Asked:
    """Return what an outlook and a plan rest on besides the notebook."""
    from graftwright.actions.keep_plan import kept, planned
    from graftwright.actions.outlook import Asked
    from graftwright.actions.own import own_handbook, practice
    from graftwright.actions.still import still
    from graftwright.handbook.load import published

    handbook, plan, practised = own_handbook(reading, published()), kept(reading), practice(reading)
    return Asked(
        handbook, book.today, lambda sheet: practised.get(sheet, "first_time"),
        lambda wish, wishes: still(handbook, wish, wishes, book.today, southern=book.site.southern),
        planned(plan[1], book.today) if plan else {},
    )  # fmt: skip


def keep_the_plan(book: Book, id_: str = "") -> Entry:
    """Make the season's plan from the wishes of a notebook and keep it."""
    from graftwright.actions import keep_plan

    with book.notebook.reading() as reading:
        made = keep_plan.make(reading, book.site, asked(book, reading))
    entered = book.enter(keep_plan.keep(made.value, made.wishes.wishes, id_)).entry
    assert entered is not None
    return entered


@contextmanager
def own_reading(notebook: str | None) -> Iterator[Reading | None]:
    """Open the notebook named, else the person's own, for looking; None where there is none, whatever the demo says."""
    path = Path(notebook) if notebook else settings.own_notebook()
    if not notebook and not path.exists():
        yield None
        return
    book = open_book(path)
    with closing(book.notebook), book.notebook.reading() as reading:
        yield reading


def handbook_with_own(notebook: str | None, folders: Sequence[Path]) -> Handbook:
    """Return the handbook with the values in a person's own folders, then with those in their notebook."""
    from graftwright.actions.own import own_handbook
    from graftwright.handbook.load import load_handbook

    handbook = load_handbook(folders)
    with own_reading(notebook) as reading:
        return own_handbook(reading, handbook) if reading else handbook


def practice_in(notebook: str | None) -> Mapping[str, str]:
    """Return how practised a person said they are, by method sheet."""
    from graftwright.actions.own import practice

    with own_reading(notebook) as reading:
        return practice(reading) if reading else {}


def wish_paper(path: Path) -> Paper:
    """Return the text of a wish file."""
    from graftwright.adapters.files.wish_file import read_paper

    return read_paper(path)


def with_weather(wishes: Wishes, path: Path) -> Wishes:
    """Take the last frost from the station's file that a wish file names; it lies beside the wish file."""
    from graftwright.actions.plan_frost import with_last_frost

    def read(name: str) -> Read:
        from graftwright.adapters.files.weather import read_weather

        found = read_weather(str(path.parent / name))
        return found.record, found.latitude

    return with_last_frost(wishes, read)


def write_calendar(plan: Plan, path: Path, stamp: datetime) -> None:
    """Write a plan as a calendar file."""
    from graftwright.adapters.files.calendar import calendar

    try:
        path.write_bytes(calendar(plan, stamp))
    except OSError as trouble:
        raise CannotWrite(path, trouble.strerror or "no reason given") from None
