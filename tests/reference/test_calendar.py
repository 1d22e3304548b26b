"""The calendar file against RFC 5545 (sections 3.1, 3.3.11, 3.6.1, 3.8.2.2), read back by the library icalendar."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from icalendar import Calendar

from graftwright.actions.plan import place
from graftwright.adapters.files.calendar import calendar
from wish_texts import WISH, handbook, wishes

NAME = "Weiße Glocke; früh, \\\\ groß " + "ö" * 60
STAMP = datetime(2026, 10, 20, 9, 30, tzinfo=UTC)
MADE = place(wishes(WISH.replace("Copper Bell", NAME)), handbook(), date(2026, 10, 20))
FILE = calendar(MADE, STAMP)


def test_lines_end_with_crlf_and_are_folded_at_75_octets_between_characters() -> None:
    lines = FILE.split(b"\r\n")
    assert lines[-1] == b""
    assert b"\n" not in b"".join(lines)
    assert max(map(len, lines)) <= 75
    assert [line.decode("utf-8") for line in lines]


def test_text_is_escaped() -> None:
    unfolded = FILE.replace(b"\r\n ", b"").decode("utf-8")
    assert r"Weiße Glocke\; früh\, \\ groß" in unfolded


def test_whole_days_end_the_day_after_and_ids_stay() -> None:
    events = Calendar.from_ical(FILE).walk("VEVENT")
    assert len({str(event["uid"]) for event in events}) == len(events) == 10 + len(MADE.batches[0].steps)
    assert all(event.decoded("dtstamp") == STAMP for event in events)
    (graft,) = [event for event in events if str(event["summary"]).startswith("Graft ")]
    (batch,) = MADE.batches
    assert graft.decoded("dtstart") == batch.graft_on
    assert graft.decoded("dtend") == batch.graft_on + timedelta(days=1)
    assert str(graft["summary"]).endswith(NAME.replace("\\\\", "\\"))
    assert b"DTSTAMP:20261020T093000Z" in FILE
    assert b";VALUE=DATE:" in FILE
    later = Calendar.from_ical(calendar(MADE, STAMP + timedelta(days=1))).walk("VEVENT")
    assert [str(event["uid"]) for event in later] == [str(event["uid"]) for event in events]
