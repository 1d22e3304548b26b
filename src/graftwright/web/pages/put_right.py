"""Correct an entry, or cross it out with what rests on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.actions.ports import Draft
from graftwright.actions.rests import what_rests_on
from graftwright.actions.say import entry_sentence
from graftwright.actions.show import Told, show
from graftwright.bootstrap import new_id
from graftwright.errors import NotebookComplaint, Trouble
from graftwright.ledger import errors
from graftwright.ledger.kinds import find_kind
from graftwright.web import troubles
from graftwright.web.forms import fields_of, said_in, values_of
from graftwright.web.models import CorrectPage, CrossOutPage
from graftwright.web.pages.check import Correcting, correct_check
from graftwright.web.pages.choices import choices
from graftwright.web.pages.history import history_line
from graftwright.web.pages.names import Names, href
from graftwright.web.pages.record import entry_id, form_parts, happened, page_after, when_and_who
from graftwright.web.parts import Field, Form, HistoryLine, Subject

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.responses import Response

    from graftwright.actions.ports import Reading
    from graftwright.ledger.entries import Entry
    from graftwright.web.visit import Visit


class _Old:
    """The entry that is to be put right, and what rests on it."""

    def __init__(self, visit: Visit) -> None:
        number = visit.path("number")
        if not number.isascii() or not number.isdecimal() or len(number) > 9:
            raise troubles.NoSuchPage
        with visit.book.notebook.reading() as reading:
            self.entry = reading.entry(int(number))
            self.line = _line(reading, visit, self.entry)
            self.subject = self._subject(reading)
        if self.entry.crossed_by and not visit.posted:
            raise errors.AlreadyCrossed(self.entry.number, self.entry.crossed_by)
        if self.entry.kind == "cross-out":
            raise troubles.NoSuchPage
        self.rests = () if self.entry.crossed_by else _rests(visit, self.entry.number)

    def _subject(self, reading: Reading) -> Subject | None:
        code = self.entry.subject
        return Names(reading, [code]).subject(code) if code else None

    @property
    def back(self) -> str:
        return href(self.entry.subject) if self.entry.subject else "/"


def _line(reading: Reading, visit: Visit, e: Entry) -> HistoryLine:
    names = Names.of_entry(reading, e)
    told = Told(e.number, e.day, e.happened, e.kind, names.label(e.by) if e.by else "",
                entry_sentence(e, names.label), e.crossed_by)  # fmt: skip
    return history_line(told, visit.today)


def _rests(visit: Visit, number: int) -> tuple[HistoryLine, ...]:
    """Return what rests on an entry; a book that cannot be written now says so when the form is sent."""
    try:
        entries = what_rests_on(visit.book.notebook, number)
    except NotebookComplaint:
        return ()
    with visit.book.notebook.reading() as reading:
        return tuple(_line(reading, visit, e) for e in entries)


# correct

_KEPT = ("what",)  # what a thing is does not change; another entry makes another thing


async def correct(visit: Visit) -> Response:
    """Answer with the entry as a form, or write the corrected one."""
    old = _Old(visit)
    if old.entry.kind == "check":
        return await correct_check(visit, Correcting(old.entry, old.line))
    if visit.posted:
        return _corrected(visit, old)
    values = values_of(find_kind(old.entry.kind), old.entry.said)
    return _correct_form(visit, old, new_id(), values | as_said(old.entry))


def as_said(e: Entry) -> dict[str, str]:
    """Return when it happened and who did it, as a form says it."""
    exact = e.happened == e.day
    return {"day": e.day if exact else "", "about": "" if exact else e.happened, "by": e.by}


def _corrected(visit: Visit, old: _Old) -> Response:
    id_, e = entry_id(visit), old.entry
    try:
        said = said_in(find_kind(e.kind), visit.form)
        kept = {name: e.said[name] for name in _KEPT if name in e.said}
        subject = e.given.get("asked", e.subject)
        draft = Draft(e.kind, subject, kept | said, happened(visit), visit.sent("by"), id_, e.number)
        answer = visit.book.enter(draft)
    except Trouble as trouble:
        return _correct_form(visit, old, id_, visit.form, trouble)
    assert answer.entry is not None
    return visit.to(page_after(answer.entry), answer.entry.number)


def _correct_form(
    visit: Visit, old: _Old, id_: str, values: Mapping[str, str], trouble: Trouble | None = None
) -> Response:
    kind, e = find_kind(old.entry.kind), old.entry
    with visit.book.notebook.reading() as reading:
        card = show(reading, visit.book.site, visit.today, e.subject) if e.subject else None
        described = e.said["what"] if kind.name == "describe" and e.said["what"] != "settings" else ""
        offered = choices(reading, kind, card, described)
    asked = fields_of(kind, offered.with_all_of(e.said, _KEPT), values)
    fields, sentence, do = form_parts((*asked, *when_and_who(visit, values)), trouble)
    page = CorrectPage(
        entry=old.line,
        form=Form(f"/correct/{e.number}", id_, "Put it right", old.back, fields, sentence, do),
        subject=old.subject,
        rests=old.rests,
    )
    return visit.page("correct.html", page, status=troubles.status_of(trouble) if trouble else 200)


# cross out


async def cross_out(visit: Visit) -> Response:
    """Answer with what would fall with an entry, or cross it out."""
    old = _Old(visit)
    if visit.posted:
        return _crossed_out(visit, old)
    return _cross_out_form(visit, old, new_id(), {})


def _crossed_out(visit: Visit, old: _Old) -> Response:
    id_, e = entry_id(visit), old.entry
    said = {"numbers": [e.number], "reason": visit.sent("reason")}
    draft = Draft("cross-out", "", said, id=id_, with_those_behind=visit.sent("with_rest") == "yes")
    try:
        answer = visit.book.enter(draft)
    except Trouble as trouble:
        return _cross_out_form(visit, old, id_, visit.form, trouble)
    assert answer.entry is not None
    return visit.to(_still_there(visit, e), answer.entry.number)


def _still_there(visit: Visit, e: Entry) -> str:
    """Address of what an entry was about, if anything of it is left."""
    with visit.book.notebook.reading() as reading:
        thing = reading.things([e.subject]).get(e.subject)
    return href(e.subject) if thing and thing.exists else "/"


def _cross_out_form(
    visit: Visit, old: _Old, id_: str, values: Mapping[str, str], trouble: Trouble | None = None
) -> Response:
    e = old.entry
    reason = Field("reason", "Why", value=values.get("reason", ""), needed=True,
                   help="so that you can still follow it in three years")  # fmt: skip
    fields, sentence, do = form_parts((reason,), trouble)
    page = CrossOutPage(
        entry=old.line,
        form=Form(f"/cross-out/{e.number}", id_, "Cross it out", old.back, fields, sentence, do),
        must_go=old.rests,
    )
    return visit.page("crossout.html", page, status=troubles.status_of(trouble) if trouble else 200)
