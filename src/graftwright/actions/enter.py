"""Enter something into the ledger: the one way in, for every door.

At a person's door an entry that cannot stand is refused and nothing is stored. From an outbox or a
file it is kept aside with its reason. The same id with the same content gets its first answer again.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from graftwright.actions.complete import MAKES, Completer
from graftwright.actions.forecast import rewrite
from graftwright.actions.names import Names, in_words
from graftwright.errors import Refusal, Trouble
from graftwright.ledger import book, errors
from graftwright.ledger.aside import KeptAside
from graftwright.ledger.days import Happened, read_happened

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Mapping
    from datetime import date, datetime

    from graftwright.actions.ports import Draft, Notebook, Page, Sheet
    from graftwright.ledger.book import Change
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line


@dataclass(frozen=True)
class Answer:
    """What became of a draft."""

    entry: Entry | None
    aside: KeptAside | None = None
    lines: tuple[Line, ...] = ()
    repeated: bool = False
    derived_again: tuple[int, ...] = ()


@dataclass(frozen=True)
class Desk:
    """What entering needs besides the notebook: the date, the handbook's sheets, chance for new codes."""

    now: datetime
    today: date
    sheets: Callable[[], Mapping[str, Sheet]]
    chance: random.Random
    southern: bool = False


def enter(notebook: Notebook, desk: Desk, draft: Draft, *, at_the_door: bool = True) -> Answer:
    """Enter one draft; see the head of this module for what can become of it."""
    with notebook.writing() as page:
        return write(page, desk, draft, at_the_door=at_the_door)


def write(page: Page, desk: Desk, draft: Draft, *, at_the_door: bool) -> Answer:
    """Enter one draft on a page that is open for writing."""
    page.look_up(draft.id, _words(draft), inside=draft.subject)
    before = page.answered(draft.id)
    if before is not None:
        return _answered_before(page, desk, draft, before)
    try:
        happened, completer, claim = _claimed(page, desk, draft)
        return _accept(page, completer.filled(claim), happened, draft)
    except Trouble as trouble:
        told = in_words(page, trouble, fresh=draft.subject.strip() if draft.kind in MAKES else "")
        if at_the_door:
            raise told from None
        return _set_aside(page, desk, draft, told)


def _claimed(page: Page, desk: Desk, draft: Draft) -> tuple[Happened, Completer, Entry]:
    happened = read_happened(draft.happened, desk.today, southern=desk.southern)
    names = Names(page, desk.chance, draft.replaces)
    completer = Completer(page, draft, happened, names, desk.sheets, {"typed": _print_of(_typed(draft))})
    return happened, completer, completer.claim(desk.now.isoformat(timespec="seconds"))


def _words(draft: Draft) -> set[str]:
    """Everything in a draft that may be a code or a name of something in the notebook."""
    words = {draft.subject, draft.by}
    for value in (draft.said or {}).values():
        if isinstance(value, str):
            words |= {value, *(value.replace(",", " ").split() if len(value) < 400 else ())}
        elif hasattr(value, "items") or isinstance(value, list | tuple):
            words |= set(map(str, value))
    return words - {""}


# the same id again


def _answered_before(page: Page, desk: Desk, draft: Draft, before: Entry | KeptAside) -> Answer:
    """Give the first answer again; the same words count as the same whatever they would mean today."""
    if isinstance(before, KeptAside):
        if before.content != _typed(draft):
            raise errors.OtherContent(draft.id)
        return Answer(None, before, repeated=True)
    if before.given.get("typed") != _print_of(_typed(draft)) and not _means(page, desk, draft, before):
        raise errors.OtherContent(draft.id)
    return Answer(before, lines=page.lines(before.number), repeated=True)


def _means(page: Page, desk: Desk, draft: Draft, before: Entry) -> bool:
    try:
        return _claimed(page, desk, draft)[2].content == before.content
    except Trouble:
        return False


def _typed(draft: Draft) -> str:
    said = [draft.kind, draft.subject, draft.happened, draft.by, draft.replaces, dict(draft.said or {})]
    return json.dumps(said, sort_keys=True, ensure_ascii=False)


def _print_of(typed: str) -> str:
    """Short print of what was typed, by which the same words are known again."""
    return hashlib.blake2b(typed.encode(errors="replace"), digest_size=8).hexdigest()


def _set_aside(page: Page, desk: Desk, draft: Draft, trouble: Trouble) -> Answer:
    kept = KeptAside(
        draft.id, draft.kind, draft.subject, draft.happened or desk.today.isoformat(), draft.by, _typed(draft),
        trouble.sentence, trouble.do, desk.now.isoformat(timespec="seconds"),
    )  # fmt: skip
    page.keep_aside(kept)
    return Answer(None, kept)


# putting it into the order


def _accept(page: Page, claim: Entry, happened: Happened, draft: Draft) -> Answer:
    gone = _taken_out(page, claim)
    turn = gone[claim.replaces].turn if claim.replaces else 0
    e = replace(claim, turn=turn).numbered(page.next_number())
    e, change, gone = _placed(page, e, gone, happened, with_those_behind=draft.with_those_behind)
    page.save(e, change)
    rewrite(page, change)
    again = tuple(number for number in change.lines if number != e.number and number not in gone)
    return Answer(e, lines=change.lines[e.number], derived_again=again)


def _taken_out(page: Page, claim: Entry) -> dict[int, Entry]:
    """Return the entries that this one crosses out."""
    numbers = [claim.replaces] if claim.replaces else []
    if claim.kind == "cross-out":
        numbers += claim.said["numbers"]
    gone = {}
    for number in numbers:
        e = page.entry(number)
        if e.crossed_by:
            raise errors.AlreadyCrossed(number, e.crossed_by)
        if e.kind == "cross-out":
            raise CrossesOut(number)
        gone[number] = e
    return gone


def _placed(
    page: Page, e: Entry, gone: dict[int, Entry], happened: Happened, *, with_those_behind: bool
) -> tuple[Entry, Change, dict[int, Entry]]:
    """Put the entry on the first day it can mean and stand on.

    Those behind it are taken along if that was asked, and only where it can stand on no day without.
    """
    last: Refusal | None = None
    for take_along in (False, True) if with_those_behind else (False,):
        for day in happened.days():
            try:
                return _put_in(page, replace(e, day=day), gone, take_along=take_along)
            except Refusal as refusal:
                last = refusal
    assert last is not None
    raise errors.NoSuchDay(happened.typed, last) if happened.partial else last


def _put_in(
    page: Page, e: Entry, gone: dict[int, Entry], *, take_along: bool
) -> tuple[Entry, Change, dict[int, Entry]]:
    while True:
        try:
            return e, book.put_in(page, e, gone), gone
        except errors.CannotStand as refusal:
            if not take_along:
                raise
            gone = {**gone, **{number: page.entry(number) for number in refusal.numbers}}


class CrossesOut(Refusal):
    """A crossing-out cannot itself be crossed out."""

    key = "crossed"

    def __init__(self, number: int) -> None:
        super().__init__(f"Entry {number} is a crossing-out and stays.", do="Enter again what was true.")
