"""One request: the book as it is now, what was asked, and the page that answers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from starlette.datastructures import FormData
from starlette.responses import RedirectResponse

from graftwright import bootstrap
from graftwright.actions.say import entry_sentence
from graftwright.actions.show import show
from graftwright.errors import Trouble
from graftwright.web.look import templates
from graftwright.web.pages.due_lines import next_words
from graftwright.web.pages.names import Names
from graftwright.web.parts import Frame
from graftwright.web.wording import capital, day_by_day

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date

    from starlette.requests import Request
    from starlette.responses import Response

    from graftwright.actions.ports import Reading
    from graftwright.bootstrap import Book

TEMPLATES = templates()


def utc_now() -> datetime:
    """Return the time."""
    return datetime.now(UTC)


@dataclass
class Desk:
    """Where the open book lies; starting a book of one's own lays another one there."""

    book: Book
    now: Callable[[], datetime] = utc_now


@dataclass
class Visit:
    """One request."""

    request: Request
    book: Book
    form: Mapping[str, str]

    @classmethod
    async def of(cls, request: Request) -> Visit:
        """Read what was sent, and the book as it is at this moment."""
        form = await request.form() if request.method == "POST" else FormData()
        sent = {name: value for name, value in form.multi_items() if isinstance(value, str)}
        desk: Desk = request.app.state.desk
        return cls(request, bootstrap.reread(desk.book, desk.now()), sent)

    @property
    def today(self) -> date:
        """Return the bench's local day."""
        return self.book.today

    @property
    def posted(self) -> bool:
        """Whether a form was sent."""
        return self.request.method == "POST"

    def asked(self, name: str) -> str:
        """What stands in the address after the question mark."""
        return self.request.query_params.get(name, "").strip()

    def path(self, name: str) -> str:
        """Part of the address."""
        return str(self.request.path_params[name])

    def sent(self, name: str) -> str:
        """What was filled in."""
        return self.form.get(name, "").strip()

    def lay_open(self, book: Book) -> None:
        """Lay another book on the desk; every page from now on is of that one."""
        self.request.app.state.desk.book = book

    def page(self, template: str, page: object, *, here: str = "", status: int = 200) -> Response:
        """Answer with a page."""
        with self.book.notebook.reading() as reading:
            frame = self._frame(reading, here, status)
        return _laid_out(self.request, template, frame, page, status)

    def _frame(self, reading: Reading, here: Any, status: int) -> Frame:
        wrote = self._wrote(reading) if status == 200 and not self.posted else ""
        aside = len(reading.aside())
        return Frame(self.book.site.name, self.today, here, aside, self.book.is_demo, wrote)

    def _wrote(self, reading: Reading) -> str:
        """Say in one sentence what was just written, when the address names it."""
        number = self.asked("wrote")
        if not number.isascii() or not number.isdecimal() or len(number) > 9:
            return ""
        try:
            e = reading.entry(int(number))
        except Trouble:
            return ""
        names = Names.of_entry(reading, e)
        sentence = day_by_day(entry_sentence(e, names.label), self.today)
        return f"Written down as entry {e.number}: {capital(sentence)}. {self._next(reading)}".strip()

    def _next(self, reading: Reading) -> str:
        """Say what comes next for the thing whose page this is."""
        code = str(self.request.path_params.get("code", ""))
        due = show(reading, self.book.site, self.today, code).due if code else ()
        return next_words(due[0], self.today) if due else ""

    def to(self, path: str, wrote: int = 0) -> Response:
        """Send the reader on to another page, which says what was written."""
        return RedirectResponse(f"{path}?wrote={wrote}" if wrote else path, 303)


def plain_page(request: Request, template: str, page: object, status: int) -> Response:
    """Answer with a page without reading the book, for when it cannot be read."""
    book: Book = request.app.state.desk.book
    frame = Frame(book.site.name, book.today, demo=book.is_demo)
    return _laid_out(request, template, frame, page, status)


def _laid_out(request: Request, template: str, frame: Frame, page: object, status: int) -> Response:
    return TEMPLATES.TemplateResponse(request, template, {"frame": frame, "page": page}, status_code=status)
