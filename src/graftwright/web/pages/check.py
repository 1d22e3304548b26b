"""A check: one look at a batch in a place, or at plants with codes of their own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.bootstrap import new_id
from graftwright.errors import Trouble
from graftwright.ledger import errors
from graftwright.ledger.codes import shown
from graftwright.web import troubles
from graftwright.web.forms import with_trouble
from graftwright.web.models import CheckPage, Gap, RecordKind, RecordKinds, RecordListPage
from graftwright.web.pages import check_answers, check_questions
from graftwright.web.pages.cautions import of_stages
from graftwright.web.pages.check_subject import CheckSubject, look_up
from graftwright.web.pages.due_lines import act_href
from graftwright.web.pages.names import href
from graftwright.web.pages.record import entry_id
from graftwright.web.parts import Field, Form, Option
from graftwright.web.wording import many

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.responses import Response

    from graftwright.ledger.entries import Entry
    from graftwright.web.parts import HistoryLine
    from graftwright.web.visit import Visit


@dataclass(frozen=True)
class Correcting:
    """The check that is being corrected, and how it reads now."""

    entry: Entry
    line: HistoryLine


async def check(visit: Visit) -> Response:
    """Answer with the check form of a batch, plant or bag, or write the check."""
    code, place = visit.path("code"), visit.asked("place")
    with visit.book.notebook.reading() as reading:
        subject = look_up(reading, code, place, sent=visit.posted)
    if subject.batches:
        return visit.to(href(subject.code))
    if subject.places:
        return _which_place(visit, subject)
    if not visit.posted and not subject.total and not subject.plants:
        raise troubles.NothingGrowing(subject.shown.title)
    return CheckSitting(visit, subject).answer()


async def correct_check(visit: Visit, correcting: Correcting) -> Response:
    """Answer with the form of a check that was wrong, or write the right one."""
    e = correcting.entry
    with visit.book.notebook.reading() as reading:
        subject = look_up(reading, e.subject, e.get("place") or "", sent=True)
    return CheckSitting(visit, subject.as_it_was(e), correcting).answer()


def _which_place(visit: Visit, subject: CheckSubject) -> Response:
    rows = tuple(RecordKind(words, stages, act_href("check", subject.code, place))
                 for place, words, stages in subject.places)  # fmt: skip
    page = RecordListPage((RecordKinds("Which one did you look at?", rows),), "Check", subject.shown)
    return visit.page("record_list.html", page)


class CheckSitting:
    """One check being filled in."""

    def __init__(self, visit: Visit, subject: CheckSubject, correcting: Correcting | None = None) -> None:
        self.visit, self.subject, self.correcting = visit, subject, correcting

    def answer(self) -> Response:
        """Answer with the form, or write what was filled in."""
        if self.visit.posted:
            return self._written()
        values = (
            check_answers.values_of(self.correcting.entry)
            if self.correcting
            else {"day": self.visit.today.isoformat()}
        )
        return self._form(new_id(), values, self.subject.total)

    def _written(self) -> Response:
        visit, id_ = self.visit, entry_id(self.visit)
        try:
            draft = check_answers.draft(visit, self.subject, id_, self._old)
            answer = visit.book.enter(draft)
        except errors.DoesNotAddUp as refusal:
            total = check_answers.accounted(visit.form) + refusal.missing
            missing = total - check_answers.told(visit.form)
            changed = None if missing else troubles.BookChanged(total)
            return self._form(id_, visit.form, total, missing=missing, trouble=changed)
        except Trouble as trouble:
            if isinstance(trouble, errors.OtherContent):
                id_ = new_id()
            return self._form(id_, visit.form, self.subject.total, trouble=trouble)
        assert answer.entry is not None
        return visit.to(self.subject.address, answer.entry.number)

    @property
    def _old(self) -> Entry | None:
        return self.correcting.entry if self.correcting else None

    def _form(
        self,
        id_: str,
        values: Mapping[str, str],
        total: int,
        missing: int = 0,
        trouble: Trouble | None = None,
    ) -> Response:
        subject, asked = self.subject, check_questions.questions(self.subject, values, total)
        placed = False
        groups: dict[str, tuple[Field, ...]] = {}
        for name, fields in asked.items():
            groups[name], here = with_trouble(fields, None if placed else trouble)
            placed = placed or here
        form = Form(
            self._action, id_, "Put it right" if self.correcting else "Write the check", subject.address,
            groups["every"], *_sentences(trouble, placed=placed), hidden=(("of", str(total)),),
        )  # fmt: skip
        page = CheckPage(
            subject.shown, total, form, groups["seen"], groups["dead"], groups["not_looked"], groups["plants"],
            groups["signs"], groups["rarer"], groups["guess"], _gap(missing, total, values) if missing else None,
            of_stages(subject.sheet, subject.stages), self.correcting.line if self.correcting else None,
        )  # fmt: skip
        status = 409 if missing else troubles.status_of(trouble) if trouble else 200
        return self.visit.page("check.html", page, status=status)

    @property
    def _action(self) -> str:
        if self.correcting:
            return f"/correct/{self.correcting.entry.number}"
        place = f"?place={shown(self.subject.place)}" if self.subject.place else ""
        return f"/check/{shown(self.subject.code)}{place}"


def _sentences(trouble: Trouble | None, *, placed: bool) -> tuple[str, str]:
    if trouble is None:
        return "", ""
    if placed:
        return "Nothing was written yet.", "One answer needs another look."
    return troubles.sentence_of(trouble), troubles.remedy_of(trouble)


def _gap(missing: int, total: int, values: Mapping[str, str]) -> Gap:
    """Ask once about those that a check left open, or told of too many."""
    told = total - missing
    were = f"{many(total, 'graft')} {'was' if total == 1 else 'were'} growing"
    if missing < 0:
        more = f"{-missing} more than the book says"
        options: tuple[Option, ...] = (Option("miscounted", f"yes, {more}"),)
        words = f"{were} and you told of {told}. Put the numbers right, or say that there really are {more}."
        return Gap(
            words, Field("gap", "There really are more", "row", values.get("gap", ""), options=options)
        )
    it = f"the other {missing}" if told else ("it" if missing == 1 else f"these {missing}")
    options = (Option("not looked at", "not looked at"), Option("dead", "dead"),
               Option("miscounted", "miscounted: never there"))  # fmt: skip
    are = f"{it[:1].upper()}{it[1:]} {'is' if missing == 1 else 'are'}"
    choice = Field("gap", are, "row", values.get("gap", ""), options=options, needed=True)
    return Gap(f"{were} and you told of {told or 'none'}. What about {it}?", choice)
