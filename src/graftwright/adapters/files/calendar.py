"""The steps and windows of a plan as a calendar file (RFC 5545)."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from icalendar import Calendar, Event

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date, datetime

    from graftwright.actions.plan_parts import Batch, Plan

Entry = tuple[str, str, "date", "date"]  # key, words, first and last day


def calendar(plan: Plan, stamp: datetime) -> bytes:
    """Return the file: whole-day events whose ids stay the same when the plan is made again."""
    file = Calendar()
    file.add("prodid", "-//Graftwright//Season plan//EN")
    file.add("version", "2.0")
    numbers: dict[int, int] = {}
    for batch in plan.batches:
        numbers[batch.wish] = numbers.get(batch.wish, 0) + 1
        for key, words, first, last in _entries(batch):
            file.add_component(
                _event(f"{batch.wish}-{numbers[batch.wish]}-{key}", words, (first, last), stamp)
            )
    written: bytes = file.to_ical()
    return written


def _entries(batch: Batch) -> Iterator[Entry]:
    steps = (
        ("chill", f"Put {batch.nuts} nuts to chill", batch.chill_on),
        ("bring-out", f"Bring out {batch.nuts} nuts", batch.bring_out),
        ("graft", f"Graft {batch.grafts}", batch.graft_on),
    )
    purpose = f", for {batch.purpose}" if batch.purpose else ""
    for key, words, day in steps:
        if day:
            yield key, f"{words}: {batch.variety}{purpose}", day, day
    for one in batch.windows:
        yield one.name, f"{one.name}: {batch.grafts} {batch.variety}{purpose}", one.earliest, one.latest
    for number, step in enumerate(batch.steps, 1):
        yield f"step-{number}", f"{step.name}, {step.plants}: {batch.variety}{purpose}", step.on, step.on


def _event(key: str, words: str, days: tuple[date, date], stamp: datetime) -> Event:
    event = Event()
    event.add("uid", f"{key}@plan.graftwright")
    event.add("dtstamp", stamp)
    event.add("summary", words)
    event.add("dtstart", days[0])
    event.add("dtend", days[1] + timedelta(days=1))
    return event
