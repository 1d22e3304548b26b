"""Your own values beside the handbook's, and how many grafts you have done by a sheet: the forms being filled in."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from graftwright.actions.own import experience_of, key_of, own_handbook, practice, read_done
from graftwright.actions.ports import Draft
from graftwright.bootstrap import new_id
from graftwright.errors import Trouble
from graftwright.handbook.sheets import Sheet
from graftwright.ledger.errors import OtherContent
from graftwright.web import troubles
from graftwright.web.models import RecordPage
from graftwright.web.pages import figures
from graftwright.web.pages.cautions import handbook, handbook_href
from graftwright.web.pages.handbook import named
from graftwright.web.pages.own_forms import DONE, done_form, own_fields, own_href, practice_words, typed
from graftwright.web.pages.record import entry_id, form_parts
from graftwright.web.parts import Form

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.responses import Response

    from graftwright.web.visit import Visit


# an own value


async def own_value(visit: Visit) -> Response:
    """Answer with the form for an own value, or write it down."""
    return _Value(visit).written() if visit.posted else _Value(visit).form(new_id())


class _Value:
    """An own value for one figure, being filled in."""

    def __init__(self, visit: Visit) -> None:
        with visit.book.notebook.reading() as reading:
            thing = named(visit.path("sheet"), own_handbook(reading, handbook()))
        self.visit, self.of, self.path = visit, key_of(thing), visit.asked("path")
        if self.path not in thing.shown:
            raise troubles.NoSuchPage
        self.title, self.known = thing_title(thing), thing.shown[self.path]
        self.theirs = thing.theirs.get(self.path)
        self.is_own = self.known.origin.grade == "own"

    def written(self) -> Response:
        """Write down what was filled in; what the handbook could not hold comes back with its reason."""
        visit, id_ = self.visit, entry_id(self.visit)
        said = {"value": visit.sent("value"), "scope": visit.sent("scope")}
        if visit.sent("back"):
            said = {"back": "yes"}
        try:
            answer = visit.book.enter(Draft("adopt", "", {"of": self.of, "path": self.path, **said}, id=id_))
        except Trouble as trouble:
            return self.form(new_id() if isinstance(trouble, OtherContent) else id_, visit.form, trouble)
        assert answer.entry is not None
        return visit.to(handbook_href(self.of), answer.entry.number)

    def form(
        self, id_: str, values: Mapping[str, str] | None = None, trouble: Trouble | None = None
    ) -> Response:
        """Answer with the form."""
        yours = {"value": typed(self.known.value), "scope": self.known.origin.scope} if self.is_own else {}
        asked = own_fields(self.known, is_own=self.is_own, values=yours if values is None else values)
        fields, sentence, do = form_parts(asked, trouble)
        page = RecordPage(
            title=f"Your own value: {figures.name(self.path)}",
            form=Form(
                own_href(self.of, self.path), id_, "Use it", handbook_href(self.of), fields, sentence, do
            ),
            said=self._said(),
        )
        return self.visit.page("record.html", page, here="handbook", status=_status(trouble))

    def _said(self) -> str:
        says = self.theirs or (None if self.is_own else self.known)
        theirs = f"The handbook says {figures.value(says)}" if says else "The handbook says nothing"
        return f"{self.title}. {theirs}. Windows and plans use your value at once, and show theirs beside it."


def thing_title(thing: object) -> str:
    """Return what a page of the handbook is called."""
    return str(getattr(thing, "title", "") or getattr(thing, "common", "")).capitalize()


# how many are done


async def done(visit: Visit) -> Response:
    """Answer with the question how many somebody has done, or write the answer down."""
    with visit.book.notebook.reading() as reading:
        thing = named(visit.path("sheet"), handbook())
        said = practice(reading).get(key_of(thing), "")
    if not isinstance(thing, Sheet):
        raise troubles.NoSuchPage
    if not visit.posted:
        return _asked(visit, thing, said, done_form(thing.key))
    return _written(visit, thing, said)


def _written(visit: Visit, sheet: Sheet, said: str) -> Response:
    id_, typed_ = entry_id(visit), visit.sent("done")
    try:
        count = read_done(typed_)
        draft = {"of": sheet.key, "experience": experience_of(count), "note": f"{count} done"}
        answer = visit.book.enter(Draft("adopt", "", draft, id=id_))
    except Trouble as trouble:
        id_ = new_id() if isinstance(trouble, OtherContent) else id_
        return _asked(visit, sheet, said, done_form(sheet.key, id_, typed_), trouble)
    assert answer.entry is not None
    return visit.to(handbook_href(sheet.key), answer.entry.number)


def _asked(visit: Visit, sheet: Sheet, said: str, form: Form, trouble: Trouble | None = None) -> Response:
    fields, sentence, do = form_parts(form.fields, trouble)
    form = replace(form, fields=fields, trouble=sentence, do=do)
    page = RecordPage(title=sheet.title, form=form, said=f"{DONE} {practice_words(said)}")
    return visit.page("record.html", page, here="handbook", status=_status(trouble))


def _status(trouble: Trouble | None) -> int:
    return troubles.status_of(trouble) if trouble else 200
