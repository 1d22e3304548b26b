"""What a person is told after entering something."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.actions.say import entry_sentence
from graftwright.actions.show import label, show
from graftwright.ledger.codes import shown

if TYPE_CHECKING:
    from datetime import date

    from graftwright.actions.enter import Answer
    from graftwright.actions.ports import Reading
    from graftwright.actions.site import Site
    from graftwright.ledger.entries import Entry


def in_words(reading: Reading, site: Site, today: date, answer: Answer) -> list[str]:
    """Say what was written, what it made, and what comes next for it."""
    if answer.entry is None:
        assert answer.aside is not None
        return [f"Kept aside: {answer.aside.reason} {answer.aside.do}"]
    e = answer.entry
    again = " (it was there already; nothing was added)" if answer.repeated else ""
    lines = [f"Entry {e.number}, {e.happened}: {_about(reading, e)}{again}"]
    if e.happened != e.day and not e.happened.startswith(e.day):
        lines.append(f"  ordered as {e.day}")
    lines += [f"  new: {words}" for words in _made(e)]
    recounts = [
        line
        for line in answer.lines
        if line.account.name == "recount" and line.account.detail != "double sprout"
    ]
    lines += [f"  recount: {-line.amount} more {line.account.unit}s used than counted in {shown(line.account.thing)}"
              for line in recounts if line.amount < 0 and e.kind in {"graft", "regraft"}]  # fmt: skip
    if answer.derived_again:
        lines.append(f"  entries {', '.join(map(str, answer.derived_again))} now count differently")
    return lines + _next(reading, site, today, e)


def _about(reading: Reading, e: Entry) -> str:
    names = {code: label(thing, {}) for code, thing in reading.things(_mentioned(e)).items()}
    subject = f"{names.get(e.subject, shown(e.subject))}: " if e.subject else ""
    return subject + entry_sentence(e, lambda code: names.get(code, shown(code)))


def _mentioned(e: Entry) -> set[str]:
    return {e.subject, *(str(e.get(name, "")) for name in ("place", "to", "within", "scion", "stock"))} - {""}


def _made(e: Entry) -> list[str]:
    made = [f"{kind} {name}" for _, kind, name, _ in e.get("on_the_spot", ())]
    made += [f"bags {', '.join(map(shown, e.get('new_bags')))}"] if e.get("new_bags") else []
    made += [f"plants {', '.join(map(shown, e.get('plant_codes')))}"] if e.get("plant_codes") else []
    made += [f"lot to work again {shown(e.get('again'))}"] if e.get("again") else []
    return made


def _next(reading: Reading, site: Site, today: date, e: Entry) -> list[str]:
    if not e.subject or e.kind in {"describe", "note"}:
        return []
    card = show(reading, site, today, e.subject)
    lines = [f"  {card.sentence}"] if card.kind == "batch" else []
    if card.due:
        first = card.due[0]
        where = card.names.get(first.place, shown(first.place))
        lines.append(f"Next: {first.what} {where}, {first.day:%a} {first.day.isoformat()}. {first.reason}")
    return lines


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
