"""An invented bench in mid-season, entered through the one way in, and a reader of its pages without a browser."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import UTC, datetime
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import httpx

from graftwright import bootstrap
from graftwright.actions.ports import Draft
from graftwright.ledger.codes import shown
from graftwright.web.app import make_app

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from starlette.applications import Starlette

    from graftwright.bootstrap import Book
    from graftwright.ledger.entries import Entry

DAY = "2027-04-18"  # a Sunday
NOON = datetime(2027, 4, 18, 12, tzinfo=UTC)
HOME = "http://127.0.0.1:8765"


def tell(book: Book, kind: str, subject: str = "", day: str = "", by: str = "", **said: Any) -> Entry:
    """Enter a line that must stand."""
    answer = book.enter(Draft(kind, subject, said, day, by))
    assert answer.entry is not None
    return answer.entry


@dataclass(frozen=True)
class Season:
    """Codes of what stands on the bench."""

    shelf: str
    sill: str
    nuts: str
    wood: str
    batch: str  # six grafts in three bags; nobody has looked into the third since 10 April
    bags: tuple[str, ...]
    pears: str  # three grafts with codes of their own on the sill
    plants: tuple[str, ...]


def make_season(path: Path) -> Season:
    """Write a season into a new notebook that lives on a date of its own."""
    bootstrap.make_book(path)
    book = bootstrap.open_book(path)
    tell(book, "describe", "settings", "2026-10-01", what="settings", demo_date=DAY)
    tell(book, "describe", "site", "2026-10-01", what="site", name="Fenn's bench", time_zone="Europe/Paris")
    book = bootstrap.reread(book)
    shelf = tell(book, "describe", "", "2026-10-01", what="place", name="Kitchen shelf", place_kind="shelf",
                 temperature_c="22.5", walking=1).subject  # fmt: skip
    sill = tell(
        book, "describe", "", "2026-10-01", what="place", name="Sill", place_kind="shelf", walking=2
    ).subject
    nuts = tell(
        book, "receive", "", "2027-02-01", what="seed", count=40, genus="Castanea", of="Hollow Lane"
    ).subject
    wood = tell(book, "receive", "", "2027-02-10", what="scionwood", sticks=6, buds_per_stick=5,
                of="Grey Marron").subject  # fmt: skip
    made = tell(book, "graft", "", "2027-04-04", "Oda Fenn", count=6, scion=wood, stock=nuts, bags=3, place=shelf,
                sheet="hypocotyl-closed-bag")  # fmt: skip
    bags = tuple(made.given["new_bags"])
    for bag in bags:
        tell(
            book,
            "check",
            made.subject,
            "2027-04-10",
            "Oda Fenn",
            place=bag,
            seen={"callusing": 2},
            air="misted",
        )
    for bag in bags[:2]:
        tell(
            book,
            "check",
            made.subject,
            "2027-04-16",
            "Oda Fenn",
            place=bag,
            seen={"callusing": 1, "swollen": 1},
        )
    stocks = tell(book, "receive", "", "2027-03-01", what="stock", uncounted="yes", genus="Pyrus").subject
    pears = tell(
        book, "graft", "", "2027-03-20", count=3, scion=wood, stock=stocks, sheet="plain", place=sill
    ).subject
    plants = tuple(tell(book, "codes", pears, "2027-04-01").given["plant_codes"])
    late = Draft(
        "lose", made.subject, {"place": bags[0], "reasons": {"mould": 5}}, "2027-04-17", "Piet Alder"
    )
    assert book.enter(late, at_the_door=False).aside
    book.notebook.close()
    return Season(shelf, sill, nuts, wood, made.subject, bags, pears, plants)


@dataclass
class Shown(HTMLParser):
    """What a page shows: its words, and its form as a browser would send it."""

    words: list[str] = field(default_factory=list)
    action: str = ""
    values: dict[str, str] = field(default_factory=dict)
    tags: list[tuple[str, dict[str, str]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()
        self._select = self._area = ""
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.tags.append((tag, given))
        name, value = given.get("name", ""), given.get("value", "")
        if tag == "form":
            self._inside = given.get("method") == "post"
            self.action = given["action"] if self._inside else self.action
        if not self._inside:
            return
        if tag == "input" and (given.get("type") not in {"radio", "checkbox"} or "checked" in given):
            self.values[name] = value
        elif tag == "select":
            self._select = name
            self.values[name] = ""
        elif tag == "option" and "selected" in given:
            self.values[self._select] = value
        elif tag == "textarea":
            self._area = name
            self.values[name] = ""

    def handle_endtag(self, tag: str) -> None:
        self._inside = self._inside and tag != "form"
        self._area = "" if tag == "textarea" else self._area

    def handle_data(self, data: str) -> None:
        self.words.append(data)
        if self._area:
            self.values[self._area] += data

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    html: str
    headers: httpx.Headers

    @property
    def page(self) -> Shown:
        shown_ = Shown()
        shown_.feed(self.html)
        return shown_

    @property
    def text(self) -> str:
        return self.page.text

    @property
    def to(self) -> str:
        return str(self.headers["location"])


@dataclass(frozen=True)
class Reader:
    """Somebody who reads and fills in pages."""

    app: Starlette

    def send(self, method: str, path: str, data: Mapping[str, str] | None = None, **headers: str) -> Answer:
        async def sent() -> httpx.Response:
            door = httpx.ASGITransport(app=self.app)
            async with httpx.AsyncClient(transport=door, base_url=HOME) as client:
                named = {name.replace("_", "-"): value for name, value in headers.items()}
                return await client.request(method, path, data=data, headers=named)

        with ThreadPoolExecutor(1) as hand:  # a browser test before may have left this thread a running loop
            came = hand.submit(lambda: asyncio.run(sent())).result()
        return Answer(came.status_code, came.text, came.headers)

    def get(self, path: str, **headers: str) -> Answer:
        return self.send("GET", path, **headers)

    def fill(self, path: str, **values: str) -> Answer:
        """Open a page, fill in its form and send it; a hyphen in a name is written as two underscores."""
        return self.fill_again(self.get(path), **values)

    def fill_again(self, answer: Answer, **values: str) -> Answer:
        """Send the form of a page that came back."""
        return self.send("POST", answer.page.action, filled(answer, **values))

    def follow(self, answer: Answer) -> Answer:
        assert answer.status == 303, answer.text
        return self.get(answer.to)


def filled(answer: Answer, **values: str) -> dict[str, str]:
    """Return the form of a page with some answers."""
    return answer.page.values | {name.replace("__", "-"): value for name, value in values.items()}


def reader_of(path: Path) -> Reader:
    """Open a notebook and return a reader of its pages."""
    return Reader(make_app(bootstrap.open_book(path, NOON), lambda: NOON))


def address(code: str) -> str:
    return f"/{shown(code)}"
