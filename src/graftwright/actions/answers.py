"""What a person is told after entering something."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from graftwright.actions.called import called
from graftwright.actions.course import course_of
from graftwright.actions.say import entry_sentence
from graftwright.actions.show import show
from graftwright.ledger.codes import shown
from graftwright.ledger.due import COMING
from graftwright.ledger.lines import THERE
from graftwright.ledger.windows import outward

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.actions.enter import Answer
    from graftwright.actions.ports import Reading
    from graftwright.actions.show import Card
    from graftwright.actions.site import Site
    from graftwright.ledger.due import DueLine
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line

_MADE = {"receive": "lot", "cut-scions": "scionwood lot", "graft": "batch", "regraft": "batch"}
_LISTED = 4  # windows that are named when somebody goes away


def in_words(reading: Reading, site: Site, today: date, answer: Answer) -> list[str]:
    """Say what was written, what it made, and what comes next for it."""
    if answer.entry is None:
        assert answer.aside is not None
        return [f"Kept aside: {answer.aside.reason} {answer.aside.do}"]
    e = answer.entry
    again = " (it was there already; nothing was added)" if answer.repeated else ""
    instead = f", in place of entry {e.replaces}" if e.replaces else ""
    names = called(reading, _mentioned(e))
    lines = [f"Entry {e.number}{instead}, {e.happened}: {_about(e, names)}{again}"]
    if e.happened != e.day and not e.happened.startswith(e.day):
        lines.append(f"  ordered as {e.day}")
    lines += [f"  new: {words}" for words in _made(e)] + _recounts(answer)
    if answer.derived_again:
        lines.append(_differently(answer.derived_again))
    if e.kind == "away":
        return lines + _while_away(reading, e)
    if e.kind == "adopt":
        return lines + _resting(reading, e)
    return lines + _next(reading, site, today, e, answer.lines)


def _differently(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"  entry {numbers[0]} now counts differently"
    return f"  entries {', '.join(map(str, numbers))} now count differently"


def _about(e: Entry, names: dict[str, str]) -> str:
    subject = f"{names.get(e.subject, shown(e.subject))}: " if e.subject else ""
    return subject + entry_sentence(e, lambda code: names.get(code, shown(code)))


def _mentioned(e: Entry) -> set[str]:
    return {e.subject, *(str(e.get(name, "")) for name in ("place", "to", "within", "scion", "stock"))} - {""}


def _made(e: Entry) -> list[str]:
    made = [f"{e.get('what', '')} {_MADE[e.kind]} {shown(e.subject)}".lstrip()] if e.kind in _MADE else []
    if e.kind == "describe" and e.get("what") == "place" and e.given.get("subject"):
        made.append(f"place {shown(e.subject)}")
    made += [f"{kind} {name}" for _, kind, name, _ in e.get("on_the_spot", ())]
    made += [f"bags {', '.join(map(shown, e.get('new_bags')))}"] if e.get("new_bags") else []
    made += [f"plants {', '.join(map(shown, e.get('plant_codes')))}"] if e.get("plant_codes") else []
    made += [f"lot to work again {shown(e.get('again'))}"] if e.get("again") else []
    return made


def _recounts(answer: Answer) -> list[str]:
    """Say where more of a material went than anybody had counted."""
    found = []
    for line in answer.lines:
        a = line.account
        if a.name == "recount" and line.amount < 0 and a.unit != "graft" and a.detail != "double sprout":
            found.append(f"  recount: {-line.amount} more {a.unit}s than were counted in {shown(a.thing)}")
    return found if answer.entry and answer.entry.kind != "stock-taking" else []


# what comes next


def _next(reading: Reading, site: Site, today: date, e: Entry, moved: Sequence[Line]) -> list[str]:
    if not e.subject or e.kind in {"describe", "note"}:
        return []
    card = show(reading, site, today, e.subject)
    lines = [f"  {card.sentence}"] if card.sentence and card.kind != "plant" else []
    lines += _no_windows(card, e) + _still_in_a_bag(card, e) + _still_in_the_cold(card, e, moved)
    lines += _skipped(reading, e, moved)
    own = [line for line in card.due if line.place and line.place in {e.get("place"), e.get("to")}]
    for first in (own or card.due)[:1]:
        where = f" {_place(card, first)}" if first.place else ""
        lines.append(f"Next: {first.what}{where}, {first.day:%a} {first.day.isoformat()}. {first.reason}")
        lines += _waiting(card, [line for line in card.due if line is not first and line.state != COMING])
    return lines


def _no_windows(card: Card, e: Entry) -> list[str]:
    """Say at once where the handbook knows too little: a genus mistyped shows itself here."""
    if e.kind in {"graft", "regraft"} and card.forecast and card.forecast.untried:
        return [f"  no windows: {card.forecast.untried.rstrip('.')}"]
    if e.kind == "receive" and e.get("what") == "seed" and not e.get("sheet_version"):
        genus = e.get("genus")
        return [f"  no windows: the handbook knows nothing of the seed of {genus}" if genus
                else "  no windows: no genus is said, such as --genus Castanea"]  # fmt: skip
    return []


def _still_in_a_bag(card: Card, e: Entry) -> list[str]:
    """Remind of a place that was not said: what is potted or planted seldom stays in its bag."""
    bag = card.names.get(str(e.get("place", "")), "")
    if e.kind not in {"pot", "harden", "plant"} or e.get("to") or not bag.startswith("bag "):
        return []
    carry = f"graftwright record carry {shown(card.code)} --place {shown(e.get('place'))} --to PLACE"
    return [f"  they are still noted in {bag}; if not: {carry}"]


def _still_in_the_cold(card: Card, e: Entry, moved: Sequence[Line]) -> list[str]:
    """Nuts brought out of the cold sprout as slowly as it is cold where they are noted."""
    places = sorted({line.account.place for line in moved if line.account.name == THERE and line.amount > 0})
    if e.kind != "bring-out" or e.get("place") or not any(places):
        return []
    where = ", ".join(card.names.get(place, shown(place)) for place in places if place)
    again = f"graftwright correct {e.number} --place PLACE"
    return [f"  they are still noted in {where}, and reckoned as warm as it is there; if not: {again}"]


def _skipped(reading: Reading, e: Entry, moved: Sequence[Line]) -> list[str]:
    """Say which stage nobody has seen of grafts that are potted all the same."""
    thing = reading.things([e.subject]).get(e.subject)
    if e.kind != "pot" or thing is None:
        return []
    batch = reading.things([thing.part_of]).get(thing.part_of, thing)
    path = course_of(batch.get("sheet"), reading.sheet(batch.get("sheet"))).path
    stages = {
        line.account.detail: path.index(line.account.detail) for line in moved if line.account.name == THERE
    }
    target = max(stages.values(), default=0)
    early = sorted((stage for stage, rank in stages.items() if rank < target - 1), key=path.index)
    if not early:
        return []
    skipped = " · ".join(stage for stage in path[stages[early[0]] + 1 : target] if stage not in stages)
    return [f"  straight from {' and '.join(early)}: nobody has noted {skipped}; it stands as told"]


def _waiting(card: Card, lines: Sequence[DueLine]) -> list[str]:
    if not lines:
        return []
    others = f" and {len(lines) - 1} more" if lines[1:] else ""
    return [f"Waiting, too: {lines[0].what} {_place(card, lines[0])}{others}."]


def _place(card: Card, line: DueLine) -> str:
    return card.names.get(line.place, shown(line.place))


def _while_away(reading: Reading, e: Entry) -> list[str]:
    """Name the windows that fall into days away: nobody can move those."""
    first, last = (date.fromisoformat(e.get(name)) for name in ("from_day", "to_day"))
    found = []
    for forecast in reading.living():
        for one in (one for group in forecast.groups for one in group.milestones if one.half):
            assert one.half is not None
            likely = outward(date.fromisoformat(forecast.start), one.half)[1]
            if likely and first <= likely <= last:
                found.append((likely, forecast.batch, one.name))
    names = called(reading, {batch for _, batch, _ in found})
    told = [f"  half of {names[batch]} {name} about {day:%a} {day.isoformat()}"
            for day, batch, name in sorted(found)[:_LISTED]]  # fmt: skip
    if not told:
        return ["  No window has its likely day in these days."]
    more = [f"  and {len(found) - _LISTED} more"] if found[_LISTED:] else []
    return ["While you are gone:", *told, *more, "See: graftwright today"]


def _resting(reading: Reading, e: Entry) -> list[str]:
    """Say how many windows rest on a value of one's own now."""
    name = f"{e.get('of')} {e.get('path')}"
    count = sum(name in forecast.rests_on.get("own", ()) for forecast in reading.living())
    told = "1 batch rest" if count == 1 else f"{count} batches rest"
    return [f"  the windows of {told} on it"] if e.get("value") else []


def as_json(answer: Answer, words: list[str]) -> dict[str, Any]:
    """Return the answer as the value that scripts rely on."""
    if answer.entry is None:
        assert answer.aside is not None
        return {"kept_aside": {"id": answer.aside.id, "reason": answer.aside.reason, "do": answer.aside.do}}
    e = answer.entry
    return {
        "number": e.number, "id": e.id, "kind": e.kind, "subject": shown(e.subject), "day": e.day,
        "happened": e.happened, "repeated": answer.repeated, "derived_again": list(answer.derived_again),
        "made": {"bags": list(map(shown, e.get("new_bags", ()))), "plants": list(map(shown, e.get("plant_codes", ()))),
                 "lot": shown(e.get("again", "")) or None},
        "lines": [{"of": shown(line.account.thing), "unit": line.account.unit, "account": line.account.name,
                   "detail": line.account.detail, "place": shown(line.account.place), "amount": line.amount}
                  for line in answer.lines if line.amount],
        "words": words,
    }  # fmt: skip
