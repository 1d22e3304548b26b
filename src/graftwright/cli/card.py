"""A code's card as lines for people."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from graftwright.cli.paper import hanging, places, tasks
from graftwright.ledger.codes import shown
from graftwright.ledger.windows import outward

if TYPE_CHECKING:
    from collections.abc import Callable

    from graftwright.actions.show import Card, Told
    from graftwright.ledger.windows import Group, Milestone


def card_lines(card: Card) -> list[str]:
    """Write a card: what it is, where it stands, its windows, what comes next, its history."""

    def name(code: str) -> str:
        return card.names.get(code) or shown(code)

    lines = [f"{shown(card.code)}  {card.title} ({card.kind})"]
    lines += [card.sentence] if card.sentence else []
    lines += [f"  {word}: {value}" for word, value, _ in card.facts]
    lines += [*_standing(card, name), *_windows(card, name)]
    if card.due:
        lines += ["", "Next", *tasks(card.due, name, about=card.kind == "place")]
    if card.history:
        lines += ["", "History, latest first"]
        lines += [line for told in card.history for line in _told(told)]
    return lines


def _told(told: Told) -> list[str]:
    why = f": {told.crossed_why}" if told.crossed_why else ""
    crossed = f" [crossed out by entry {told.crossed_by}{why}]" if told.crossed_by else ""
    return hanging(f"{told.number:>4}  {told.happened}  {told.sentence}{crossed}", 2, 6)


def _standing(card: Card, name: Callable[[str], str]) -> list[str]:
    """Where it stands; places that hold the same share a line."""
    alike: dict[tuple[str, str, int], list[str]] = {}
    for one in card.standing:
        alike.setdefault((one.thing, one.stage, one.count), []).append(one.place)
    lines = []
    for (thing, stage, count), where in alike.items():
        who = f"{name(thing)} " if thing != card.code else ""
        each = " each" if where[1:] else ""
        found = [name(place) for place in where if place and place != card.code]
        lines += hanging(f"{count} {who}{stage}{each}{places(found)}", 2)
    return ["", "Here now" if card.kind == "place" else "Standing", *lines] if lines else []


def _windows(card: Card, name: Callable[[str], str]) -> list[str]:
    forecast = card.forecast
    if forecast is None:
        return []
    if forecast.untried:
        return ["", f"No windows: {forecast.untried}"]
    lines: list[str] = []
    for group in forecast.groups:
        start = date.fromisoformat(forecast.start)
        told = [line for one in group.milestones if (line := _window(one, start))]
        what = "nuts" if card.kind == "seed" else "graft" if group.living == 1 else "grafts"
        where = places([name(place) for place in group.places if place]) if forecast.groups[1:] else ""
        lines += (
            ["", *hanging(f"Windows of {group.living} {what}{where}", 0), f"  {_how(group)}"] if told else []
        )
        lines += told
    return lines


def _how(group: Group) -> str:
    return f"{group.temperature}; earliest · likely · latest day for half of them"


def _window(one: Milestone, start: date) -> str:
    if one.reached == one.of and one.of:
        return f"  {one.name:10} all {one.of} there"
    if not one.half:
        return ""
    window = " · ".join(day.isoformat() if day else "later than we look" for day in outward(start, one.half))
    stalled = f" ({one.stalled})" if one.stalled else ""
    return f"  {one.name:10} {window}  ({one.reached} of {one.of} there){stalled}"
