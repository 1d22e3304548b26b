"""The list of the day: what is late, due and coming, in walking order, each line with its reason."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.ledger import due
from graftwright.ledger.codes import shown
from graftwright.ledger.due import DueLine

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from graftwright.actions.ports import Reading
    from graftwright.actions.site import Site
    from graftwright.ledger.things import Thing


def lines_of_the_day(reading: Reading, site: Site, today: date) -> list[DueLine]:
    """Return every line of the list of the day."""
    tasks = [task for forecast in reading.living() for group in forecast.groups for task in group.tasks]
    lines = due.due_lines(tasks, site.free, today)
    lines += [_aside_line(len(kept), today) for kept in (reading.aside(),) if kept]
    return due.in_order(lines, walking_order(reading.things_of("place")))


def _aside_line(count: int, today: date) -> DueLine:
    words = "1 entry is kept aside and waits" if count == 1 else f"{count} entries are kept aside and wait"
    return DueLine("look at kept aside", "", "", due.DUE, today, f"{words} for you.", (None, None, None))


def walking_order(places: Iterable[Thing]) -> list[str]:
    """Return places in the order a grower walks past them: by the numbers of the places they stand in."""
    every = {place.code: place for place in places}
    return sorted(every, key=lambda code: (_walk(every, code), code))


def _walk(every: Mapping[str, Thing], code: str) -> tuple[int, ...]:
    numbers: list[int] = []
    for _ in range(20):
        place = every.get(code)
        if place is None:
            break
        numbers.insert(0, int(place.get("walking", 0)) or 10_000)
        code = str(place.get("within", ""))
    return tuple(numbers)


def as_json(lines: Iterable[DueLine], today: date) -> dict[str, Any]:
    """Return the list as the value that scripts rely on."""
    return {"date": today.isoformat(), "lines": [_line_json(line) for line in lines]}


def _line_json(line: DueLine) -> dict[str, Any]:
    earliest, likely, latest = (day.isoformat() if day else None for day in line.window)
    return {
        "what": line.what, "subject": shown(line.subject), "place": shown(line.place), "state": line.state,
        "window": {"earliest": earliest, "likely": likely, "latest": latest}, "reason": line.reason,
        "day": line.day.isoformat(),
    }  # fmt: skip
