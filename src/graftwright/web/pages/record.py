"""Record: what happened, about what, and the form of each kind of entry."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from graftwright.actions.ports import Draft
from graftwright.actions.show import show
from graftwright.bootstrap import new_id
from graftwright.errors import Trouble
from graftwright.ledger import errors
from graftwright.ledger.codes import shown
from graftwright.ledger.kinds import KINDS, Kind, find_kind
from graftwright.web import troubles
from graftwright.web.forms import fields_of, said_in, with_trouble
from graftwright.web.models import RecordKind, RecordKinds, RecordListPage, RecordPage
from graftwright.web.pages.acts import record_href
from graftwright.web.pages.cautions import cautions
from graftwright.web.pages.choices import DESCRIBED, MOST, choices
from graftwright.web.pages.due_lines import act_href
from graftwright.web.pages.names import Names, code_of, href
from graftwright.web.parts import Field, Form, Subject

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from starlette.responses import Response

    from graftwright.actions.ports import Reading
    from graftwright.actions.show import Card
    from graftwright.ledger.entries import Entry
    from graftwright.web.visit import Visit

GROUPS = (
    ("At the bench", ("graft", "check", "lose", "cull", "fail", "regraft", "codes")),
    ("Bags and shelves", ("vent", "open", "close-again", "carry")),
    ("Growing on", ("pot", "settle", "harden", "store", "unwrap", "head-back", "plant",
                    "step-back", "give")),
    ("Seed and wood", ("receive", "cut-scions", "chill", "bring-out", "return-to-cold", "pull", "discard",
                       "check-wood", "stock-taking")),
    ("The book", ("note", "describe", "away")),
)  # fmt: skip
_MAKES = {"receive", "cut-scions", "graft", "regraft"}  # its subject comes into being with it
_BARE = {*_MAKES, "describe", "away"}
_CAUTIONS = {"graft": ("blades", "disinfectants", "plant-health"), "regraft": ("blades", "disinfectants"),
             "cut-scions": ("blades", "plant-health"), "receive": ("plant-health", "not-food"),
             "pot": ("peat-dust",), "unwrap": ("blades",), "head-back": ("blades",),
             "give": ("plant-health",), "close-again": ("closed-bag-heat",)}  # fmt: skip
_ENTRY_ID = re.compile(r"[0-9A-HJKMNP-TV-Z]{26}")


def words(kind: str) -> str:
    """What a kind of entry is called."""
    return {"describe": "Describe something", "lose": "Some have died"}.get(
        kind, kind.replace("-", " ").capitalize()
    )


# what happened, and about what


async def record_list(visit: Visit) -> Response:
    """Answer with all kinds of entry, or with those that can be about a subject."""
    asked = visit.asked("subject")
    subject = None
    if asked:
        with visit.book.notebook.reading() as reading:
            card = show(reading, visit.book.site, visit.today, asked)
            subject = Names(reading, [card.code]).subject(card.code)
        groups = tuple(
            _groups(lambda kind: card.kind in kind.about and kind.name not in _BARE, shown(card.code))
        )
    else:
        groups = tuple(_groups(lambda _: True, ""))
    return visit.page("record_list.html", RecordListPage(groups, subject=subject), here="record")


def _groups(wanted: Callable[[Kind], bool], subject: str) -> Iterator[RecordKinds]:
    for heading, names in GROUPS:
        kinds = [KINDS[name] for name in names if wanted(KINDS[name])]
        if kinds:
            yield RecordKinds(heading, tuple(
                RecordKind(words(kind.name), kind.does, record_href(kind.name, subject=subject)) for kind in kinds
            ))  # fmt: skip


def _which_one(visit: Visit, kind: Kind) -> Response:
    """Ask what an entry is about."""
    about = [sort for sort in kind.about if sort not in {"plant", "variety", "source-tree", "person", "site"}]
    with visit.book.notebook.reading() as reading:
        codes = [
            thing.code for thing in reading.things_of(*about) if thing.kind != "place" or thing.get("name")
        ]
        living = {forecast.batch for forecast in reading.living()}
        codes = [code for code in codes if code in living] + [code for code in codes if code not in living]
        names = Names(reading, codes[:MOST])
        rows = [_choice(kind, names, code) for code in codes[:MOST]]
    said = f"{kind.does}. Choose below, or find a bag or plant by its code at the foot of the page."
    nothing = "" if rows else " There is nothing yet that this could be about."
    page = RecordListPage(
        (RecordKinds("Which one?", tuple(rows)),) if rows else (), words(kind.name), said=said + nothing
    )
    return visit.page("record_list.html", page, here="record")


def _choice(kind: Kind, names: Names, code: str) -> RecordKind:
    address = (
        act_href("check", code, "") if kind.name == "check" else record_href(kind.name, subject=shown(code))
    )
    return RecordKind(names.title(code), shown(code), address)


def _which_sort(visit: Visit) -> Response:
    """Ask what is to be described."""
    rows = tuple(RecordKind(sort.replace("-", " ").capitalize(), _SORTS[sort], record_href("describe", what=sort))
                 for sort in DESCRIBED)  # fmt: skip
    page = RecordListPage((RecordKinds("What is it?", rows),), words("describe"))
    return visit.page("record_list.html", page, here="record")


_SORTS = {
    "variety": "a named clone: its parents, species, protection",
    "source-tree": "a tree that wood or nuts are taken from",
    "place": "a shelf, room, bag or bed: its name, warmth, where it stands",
    "person": "someone who works here",
    "site": "this bench: its name, time zone, your free days",
}


# the form of a kind


async def record(visit: Visit) -> Response:
    """Answer with the form of a kind of entry, or write down what was filled in."""
    kind = find_kind(visit.path("kind"))
    if kind.name == "cross-out":
        raise troubles.NoSuchPage
    subject, what = visit.asked("subject"), visit.asked("what")
    if kind.name == "describe" and what not in DESCRIBED:
        return _which_sort(visit)
    if kind.name not in _BARE and not subject:
        return _which_one(visit, kind)
    if kind.name == "check":
        return visit.to(f"/check/{subject}")
    sitting = _Sitting(visit, kind)
    return sitting.written() if visit.posted else sitting.form(new_id(), dict(visit.request.query_params))


def entry_id(visit: Visit) -> str:
    """Return the id that a form carried."""
    if not _ENTRY_ID.fullmatch(visit.sent("entry_id")):
        raise troubles.BrokenForm
    return visit.sent("entry_id")


def page_after(e: Entry) -> str:
    """Address of the page that shows what an entry changed."""
    place = e.given.get("asked") or (e.get("place") if e.kind == "check" else "")
    return href(place or e.subject) if e.subject else "/"


def form_parts(fields: Iterable[Field], trouble: Trouble | None) -> tuple[tuple[Field, ...], str, str]:
    """Return the questions with the trouble beside the one it is about, else the sentences for the whole."""
    fields, placed = with_trouble(fields, trouble)
    if trouble is None:
        return fields, "", ""
    if placed:
        return fields, "Nothing was written yet.", "One answer needs another look."
    return fields, troubles.sentence_of(trouble), troubles.remedy_of(trouble)


def when_and_who(visit: Visit, values: Mapping[str, str]) -> tuple[Field, ...]:
    """Ask what every entry says: when it happened, and who did it."""
    return (
        Field("day", "On which day", "date", values.get("day", visit.today.isoformat())),
        Field("about", "Or, if you do not know the day", value=values.get("about", ""),
              help="a month, a season, 'about two weeks ago'"),
        Field("by", "Who did it", value=values.get("by", ""), help="leave it empty if it was you"),
    )  # fmt: skip


def happened(visit: Visit) -> str:
    """When it happened, as typed."""
    return visit.sent("about") or visit.sent("day")


class _Sitting:
    """One form of one kind, being filled in."""

    def __init__(self, visit: Visit, kind: Kind) -> None:
        self.visit, self.kind = visit, kind
        self.asked, self.what = visit.asked("subject"), visit.asked("what") if kind.name == "describe" else ""
        self.card: Card | None = None
        with visit.book.notebook.reading() as reading:
            known = reading.find(self.asked) if self.asked else None
            if known or (self.asked and not self.what):
                self.card = show(reading, visit.book.site, visit.today, self.asked)
            self.choices = choices(reading, kind, self.card, self.what)
            self.subject = self._subject(reading)

    def _subject(self, reading: Reading) -> Subject | None:
        if self.card is None:
            return None
        place = code_of(reading, self.visit.asked("place"))
        names = Names(reading, [self.card.code, place] if place else [self.card.code])
        return names.subject(self.card.code, names.whereabouts(place) if place else "")

    @property
    def _address(self) -> str:
        return record_href(self.kind.name, what=self.what, subject=self.asked)

    def written(self) -> Response:
        """Write down what was filled in; what cannot stand comes back with its reason."""
        visit, id_ = self.visit, entry_id(self.visit)
        try:
            answer = visit.book.enter(self._draft(id_))
        except Trouble as trouble:
            if isinstance(trouble, errors.OtherContent):
                id_ = new_id()
            return self.form(id_, visit.form, trouble)
        assert answer.entry is not None
        return visit.to(page_after(answer.entry), answer.entry.number)

    def _draft(self, id_: str) -> Draft:
        visit = self.visit
        said = said_in(self.kind, visit.form) | ({"what": self.what} if self.what else {})
        subject = self.asked or visit.sent("label") or ("site" if self.what == "site" else "")
        return Draft(self.kind.name, subject, said, happened(visit), visit.sent("by"), id_)

    def form(self, id_: str, values: Mapping[str, str], trouble: Trouble | None = None) -> Response:
        """Answer with the form."""
        visit, kind = self.visit, self.kind
        fields, sentence, do = form_parts((*self._fields(values), *when_and_who(visit, values)), trouble)
        page = RecordPage(
            title=words(kind.name) + (f": {self.what.replace('-', ' ')}" if self.what else ""),
            form=Form(self._address, id_, "Write it down", self._back(), fields, sentence, do),
            subject=self.subject,
            said=f"{kind.does}." if not self.card else self.card.sentence,
            cautions=cautions(_CAUTIONS.get(kind.name, ())),
        )
        status = troubles.status_of(trouble) if trouble else 200
        return visit.page("record.html", page, here="record", status=status)

    def _fields(self, values: Mapping[str, str]) -> Iterator[Field]:
        yield from fields_of(self.kind, self.choices, values)
        if self.kind.name in _MAKES or (self.what == "place" and not self.card):
            yield Field("label", "The code on its label, if it has one", "code", values.get("label", ""),
                        help="one is given if you leave it empty")  # fmt: skip

    def _back(self) -> str:
        return self.subject.href if self.subject else "/record"
