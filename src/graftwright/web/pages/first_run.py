"""First run: a book of one's own, then the doors that lead into it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright import bootstrap, settings
from graftwright.actions.site import read_weekdays, read_zone
from graftwright.actions.start_here import GraftsHere, start_here
from graftwright.bootstrap import new_id
from graftwright.errors import Trouble, ValueComplaint
from graftwright.ledger import errors
from graftwright.ledger.due import WEEKDAYS as KEYS
from graftwright.web import troubles
from graftwright.web.models import Door, FirstRunPage, RecordPage
from graftwright.web.pages.cautions import cautions, handbook
from graftwright.web.pages.names import href
from graftwright.web.pages.record import entry_id, form_parts
from graftwright.web.parts import Act, Field, Form, Option
from graftwright.web.wording import WEEKDAYS

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from starlette.responses import Response

    from graftwright.web.visit import Visit

_AGO = ("today", "yesterday", "about one week ago", "about two weeks ago", "about three weeks ago",
        "about one month ago")  # fmt: skip
_TREES = {"Castanea": "chestnut", "Juglans": "walnut", "Quercus": "oak", "Corylus": "hazel",
          "Aesculus": "horse-chestnut"}  # fmt: skip
_OFFERED = "hypocotyl-closed-bag"  # the sheet that stands chosen: what most who start here do
_OTHER = "other"


async def first(visit: Visit) -> Response:
    """Answer with the way to a book of one's own, or with the doors into this one."""
    if visit.book.is_demo:
        words = "Open my own book" if settings.own_notebook().exists() else "Start my own book"
        return visit.page("first_run.html", FirstRunPage(start=Act(words, "/first/own")))
    return visit.page("first_run.html", FirstRunPage(doors=_doors()))


def _doors() -> tuple[Door, ...]:
    return (
        Door("I have grafts standing here", "Five questions, then the next date to look and why.", "/first/standing"),
        Door("I have nuts or wood: note it", "Count them once; the book keeps what was used.", "/record/receive"),
    )  # fmt: skip


# a book of one's own


async def own(visit: Visit) -> Response:
    """Ask three things for a new book and make it; a book that is there already is opened."""
    if not visit.posted:
        return _own_form(
            visit, {"name": "My book", "time_zone": settings.local_zone(), "sat": "yes", "sun": "yes"}
        )
    entry_id(visit)
    path = settings.own_notebook()
    try:
        book = bootstrap.open_book(path) if path.exists() else _made(visit)
    except Trouble as trouble:
        return _own_form(visit, visit.form, trouble)
    visit.lay_open(book)
    with book.notebook.reading() as reading:
        begun = bool(reading.things_of("batch"))
    return visit.to("/" if begun else "/first")


def _made(visit: Visit) -> bootstrap.Book:
    name = visit.sent("name") or "My book"
    free = " ".join(day for day in KEYS if visit.sent(day) == "yes")
    read_weekdays(free)
    return bootstrap.new_book(settings.own_notebook(), name, read_zone(visit.sent("time_zone")), None, free)


def _own_form(visit: Visit, values: Mapping[str, str], trouble: Trouble | None = None) -> Response:
    there = settings.own_notebook().exists()
    fields, sentence, do = form_parts(() if there else _own_fields(values), trouble)
    page = RecordPage(
        title="Open my own book" if there else "Start my own book",
        form=Form("/first/own", new_id(), "Open it" if there else "Make it", "/first", fields, sentence, do),
        said="It is there already; this opens it." if there
        else "It stays on this machine, in one file of yours. All of this can be changed later.",
    )  # fmt: skip
    return visit.page("record.html", page, status=troubles.status_of(trouble) if trouble else 200)


def _own_fields(values: Mapping[str, str]) -> Iterator[Field]:
    yield Field("name", "What is your bench called?", value=values.get("name", ""))
    yield Field("time_zone", "Your time zone", value=values.get("time_zone", ""), help="such as Europe/Paris")
    for key, day in zip(KEYS, WEEKDAYS, strict=True):
        yield Field(key, f"I am at the bench on {day}s", "tick", values.get(key, ""))


# grafts that stand there already


async def standing(visit: Visit) -> Response:
    """Ask five things about grafts that stand there already; answer with the next date to look."""
    if visit.book.is_demo:
        return visit.to("/first")
    if not visit.posted:
        return _standing_form(visit, new_id(), {"happened": "about two weeks ago", "sheet": _OFFERED})
    id_ = entry_id(visit)
    try:
        answer = start_here(visit.book.notebook, visit.book.desk, _told(visit, id_))
    except Trouble as trouble:
        fresh = new_id() if isinstance(trouble, errors.OtherContent) else id_
        return _standing_form(visit, fresh, visit.form, trouble)
    assert answer.entry is not None
    return visit.to(href(answer.entry.subject), answer.entry.number)


def _told(visit: Visit, id_: str) -> GraftsHere:
    genus = visit.sent("on")
    if not visit.sent("variety"):
        raise NoVariety
    return GraftsHere(
        count=visit.sent("count"),
        variety=visit.sent("variety"),
        genus=visit.sent("other_tree") if genus == _OTHER else genus,
        happened=visit.sent("day") or visit.sent("happened"),
        sheet=visit.sent("sheet"),
        id=id_,
    )


class NoVariety(ValueComplaint):
    """Grafts of nobody knows what."""

    key = "variety"

    def __init__(self) -> None:
        super().__init__("Which variety is it?", where="variety", do="If you do not know, write 'unknown'.")


def _standing_form(
    visit: Visit, id_: str, values: Mapping[str, str], trouble: Trouble | None = None
) -> Response:
    fields, sentence, do = form_parts(_standing_fields(values), trouble)
    page = RecordPage(
        title="Grafts standing here",
        form=Form("/first/standing", id_, "Write it down", "/first", fields, sentence, do),
        said="Five questions. If some of them differ in variety or day, do this once for each.",
        cautions=cautions(["model"]),
    )
    return visit.page("record.html", page, status=troubles.status_of(trouble) if trouble else 200)


def _standing_fields(values: Mapping[str, str]) -> Iterator[Field]:
    sheets = sorted(handbook().sheets.values(), key=lambda sheet: sheet.key != _OFFERED)
    genera = dict.fromkeys(genus for sheet in sheets for genus in sheet.genera if genus in _TREES)
    trees = (*(Option(genus, _TREES[genus]) for genus in genera), Option(_OTHER, "another tree"))
    yield Field("count", "How many are alive?", "number", values.get("count", ""), needed=True, least=1)
    yield Field("variety", "Which variety?", value=values.get("variety", ""), needed=True)
    yield Field("on", "On what?", "row", values.get("on", next(iter(genera), _OTHER)), options=trees)
    yield Field("other_tree", "If another tree, which?", value=values.get("other_tree", ""))
    yield Field("happened", "When were they grafted?", "row", values.get("happened", ""),
                options=tuple(Option(words, words) for words in _AGO))  # fmt: skip
    yield Field("day", "Or the day, if you know it", "date", values.get("day", ""))
    yield Field("sheet", "How are they raised?", "row", values.get("sheet", ""),
                options=tuple(Option(sheet.key, sheet.title) for sheet in sheets))  # fmt: skip
