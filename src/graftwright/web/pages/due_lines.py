"""Lines of the day as pages show them: alike ones together, with one button for each place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.ledger.codes import shown
from graftwright.ledger.due import COMING, LATE
from graftwright.web.pages.names import href
from graftwright.web.parts import Act, DueLine, Window
from graftwright.web.wording import day_by_day, many, week_day

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from graftwright.ledger import due
    from graftwright.web.pages.names import Names

WHAT = {
    "chill": "Put the nuts to chill",
    "bring out": "Bring nuts out of the cold",
    "pull": "Look through the sprouting nuts",
    "graft": "Graft the sprouted nuts",
    "check": "Look at them",
    "vent": "Begin weaning",
    "open": "Open further",
    "pot": "Pot them",
    "settle": "See whether they have settled",
    "harden": "Set out to harden",
    "store": "Put them into the cold",
    "unwrap": "Take off the wraps",
    "head-back": "Cut the stocks back to the buds",
    "plant": "Plant out",
    "look at kept aside": "Look at what is kept aside",
}
_DONE = {
    "chill": "Put to chill",
    "bring out": "Brought out",
    "pull": "Pulled",
    "graft": "Grafted",
    "check": "Check",
    "vent": "Opened a little",
    "open": "Opened further",
    "pot": "Potted",
    "settle": "They have settled",
    "harden": "Set out",
    "store": "Put into the cold",
    "unwrap": "Unwrapped",
    "head-back": "Headed back",
    "plant": "Planted out",
}
_SOON = {0: "any day now", 1: "tomorrow"}


def act_words(step: str) -> str:
    """Words of the button that writes a step down."""
    return _DONE[step]


def act_href(step: str, subject: str, place: str) -> str:
    """Address of the form that writes a step down; nuts are taken from where they lie."""
    if step in {"chill", "bring out", "pull"}:
        return f"/record/{step.replace(' ', '-')}?subject={shown(subject)}"
    if step == "check":
        return f"/check/{shown(subject)}" + (f"?place={shown(place)}" if place else "")
    if step in {"vent", "open"} and place:
        return f"/record/{step}?subject={shown(place)}"
    return f"/record/{step}?subject={shown(subject)}" + (f"&place={shown(place)}" if place else "")


def alike(lines: Iterable[due.DueLine]) -> list[list[due.DueLine]]:
    """Put lines together that say the same of several places."""
    groups: dict[object, list[due.DueLine]] = {}
    for line in lines:
        groups.setdefault((line.what, line.subject, line.state, line.day, line.reason), []).append(line)
    return list(groups.values())


def due_line(group: Sequence[due.DueLine], names: Names, today: date, *, near: bool = False) -> DueLine:
    """Return the line that stands for some lines alike; `near` says that the shelf stands above it."""
    first = group[0]
    return DueLine(
        what=WHAT.get(first.what, first.what.capitalize()),
        subject=names.subject(first.subject, _where(group, names, near=near)),
        state=first.state,  # type: ignore[arg-type]
        when=_when(first, today),
        reason=day_by_day(first.reason, today),
        acts=tuple(_acts(group, names)),
        window=_window(first),
    )


def due_lines(
    lines: Iterable[due.DueLine], names: Names, today: date, *, near: bool = False
) -> tuple[DueLine, ...]:
    """Return lines for a page, alike ones together."""
    return tuple(due_line(group, names, today, near=near) for group in alike(lines))


def _where(group: Sequence[due.DueLine], names: Names, *, near: bool) -> str:
    places = [line.place for line in group if line.place]
    if not near:
        return names.all_of(places) if len(places) > 2 else " and ".join(map(names.whereabouts, places))
    unnamed = [place for place in places if names.label(place) != names.heading(place)]
    return names.label(unnamed[0]) if len(unnamed) == 1 else names.some(unnamed)


def _when(line: due.DueLine, today: date) -> str:
    days = max((line.day - today).days, 0) if line.state == COMING else (line.day - today).days
    if line.state == LATE:
        return many(-days, "day") if days < 0 else "no free day left"
    if line.state == COMING:
        return _SOON.get(days) or f"in {days} days"
    return "today" if days >= 0 else f"since {many(-days, 'day')}"


def next_words(line: due.DueLine, today: date) -> str:
    """Say what comes next, when and why."""
    what = WHAT.get(line.what, line.what)
    when = f"on {week_day(line.day)}" if line.day > today else "today"
    return f"Next: {what[:1].lower()}{what[1:]} {when}. {day_by_day(line.reason, today)}"


def _acts(group: Sequence[due.DueLine], names: Names) -> Iterable[Act]:
    first = group[0]
    if first.what == "look at kept aside":
        yield Act("See it", "/aside")
    elif first.state == COMING and (first.what != "check" or len(group) > 1):
        yield Act("See them", href(first.subject))
    else:
        for line in group:
            named = f" {names.label(line.place)}" if len(group) > 1 else ""
            yield Act(act_words(line.what) + named, act_href(line.what, line.subject, line.place))


def _window(line: due.DueLine) -> Window | None:
    """Return the window of a step that growth brings; the rhythm of checks is not one."""
    earliest, likely, latest = line.window
    if line.what == "check" or not (earliest and likely and latest):
        return None
    return Window("", earliest, likely, latest)
