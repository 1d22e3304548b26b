"""Kept aside: entries that could not stand when they arrived, each with its reason."""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from graftwright.actions.say import entry_sentence
from graftwright.errors import Trouble
from graftwright.ledger import codes
from graftwright.ledger.entries import Entry, read_said
from graftwright.web.models import AsideEntry, AsidePage
from graftwright.web.pages.names import Names
from graftwright.web.pages.record import words
from graftwright.web.wording import capital, day_by_day, week_day

if TYPE_CHECKING:
    from starlette.responses import Response

    from graftwright.actions.ports import Reading
    from graftwright.ledger.aside import KeptAside
    from graftwright.web.visit import Visit


async def aside(visit: Visit) -> Response:
    """Answer with what waits."""
    with visit.book.notebook.reading() as reading:
        entries = tuple(_entry(visit, reading, kept) for kept in reading.aside())
    return visit.page("aside.html", AsidePage(entries), here="aside")


def _entry(visit: Visit, reading: Reading, kept: KeptAside) -> AsideEntry:
    code = _code(kept.subject)
    thing = reading.things([code]).get(code)
    names = Names(reading, [code])
    today = visit.today
    return AsideEntry(
        words=day_by_day(_words(reading, kept), today),
        day=day_by_day(kept.happened, today),
        by=kept.by,
        arrived=_moment(kept.received, visit.book.site.zone),
        reason=day_by_day(kept.reason, today),
        do=kept.do,
        subject=names.subject(code) if thing and thing.exists else None,
    )


def _code(typed: str) -> str:
    try:
        return codes.read(typed)
    except Trouble:
        return typed


def _words(reading: Reading, kept: KeptAside) -> str:
    """Say what the entry tells, as far as it can be read."""
    said = json.loads(kept.content)[-1]
    try:
        e = Entry(kept.id, kept.kind, "", kept.happened, kept.happened, "", "", read_said(kept.kind, said))
    except Trouble:
        return words(kept.kind)
    return capital(entry_sentence(e, Names.of_entry(reading, e).label))


def _moment(received: str, zone: str) -> str:
    moment = datetime.fromisoformat(received).astimezone(ZoneInfo(zone))
    return f"{week_day(date(moment.year, moment.month, moment.day))}, {moment:%H:%M}"
