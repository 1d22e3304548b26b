"""From the filled form of a check to what is entered, and from an entry to a filled form."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.actions.ports import Draft
from graftwright.ledger import reasons
from graftwright.ledger.codes import shown
from graftwright.web.forms import slugged, unslugged

if TYPE_CHECKING:
    from collections.abc import Mapping

    from graftwright.ledger.entries import Entry
    from graftwright.web.pages.check_subject import CheckSubject
    from graftwright.web.visit import Visit

_COUNTS = ("seen", "dead")
_SIGNS = ("leaves", "air", "medium", "mould", "tie", "below", "guess", "note")


def draft(visit: Visit, subject: CheckSubject, id_: str, old: Entry | None) -> Draft:
    """Return the check as it was filled in."""
    said = {name: visit.sent(name) for name in _SIGNS if visit.sent(name)}
    said |= _counted(visit.form)
    said |= _of_plants(visit.form, subject)
    if subject.place:
        said["place"] = shown(subject.place)
    day = visit.sent("day") or visit.sent("about")
    if old is None:
        return Draft("check", shown(subject.code), said, day, visit.sent("by"), id_)
    about = str(old.given.get("asked", old.subject))
    if "place" not in old.said:
        said.pop("place", None)
    return Draft("check", about, said, day or old.happened, visit.sent("by"), id_, old.number)


def _counted(form: Mapping[str, str]) -> dict[str, Any]:
    """Return the numbers of a check, with what was said of those it left open."""
    said: dict[str, Any] = {name: _numbers(form, name) for name in _COUNTS}
    not_looked = form.get("not_looked", "").strip()
    gap, missing = form.get("gap", ""), left_open(form)
    if gap == "not looked at" and missing > 0:
        not_looked = str(_whole(not_looked) + missing)
    elif gap == "dead" and missing > 0:
        already = _whole(said["dead"].get(reasons.UNKNOWN, "0"))
        said["dead"][reasons.UNKNOWN] = str(already + missing)
    elif gap == "miscounted" and missing:
        said["miscounted"] = str(-missing)
    if _whole(not_looked) or not not_looked.isdecimal():
        said["not_looked"] = not_looked
    return {name: value for name, value in said.items() if value}


def _numbers(form: Mapping[str, str], name: str) -> dict[str, str]:
    start = f"{name}-"
    given = {
        unslugged(key.removeprefix(start)): n.strip() for key, n in form.items() if key.startswith(start)
    }
    return {word: n for word, n in given.items() if n not in ("", "0")}


def told(form: Mapping[str, str]) -> int:
    """How many grafts the form tells of."""
    named = [n for name, n in form.items() if name.startswith(("seen-", "dead-"))]
    return sum(map(_whole, (*named, form.get("not_looked", ""))))


def left_open(form: Mapping[str, str]) -> int:
    """How many the form leaves open, of those that were growing when it was made."""
    return _whole(form.get("of", "")) - told(form)


def accounted(form: Mapping[str, str]) -> int:
    """How many the form accounts for, with what was said of those it left open."""
    return told(form) + (left_open(form) if form.get("gap") else 0)


def _whole(text: str) -> int:
    text = text.strip()
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 8 else 0


def _of_plants(form: Mapping[str, str], subject: CheckSubject) -> dict[str, Any]:
    start = "plant-"
    outcomes = {name.removeprefix(start): one.strip() for name, one in form.items() if name.startswith(start)}
    seen = {plant: outcome for plant, outcome in outcomes.items() if outcome}
    if subject.kind == "plant":
        return _of_one(next(iter(seen.values()), ""))
    left = len(outcomes) - len(seen)
    more = {"not_looked": str(_whole(form.get("not_looked", "")) + left)} if left else {}
    return ({"plants": seen} if seen else {}) | more


def _of_one(outcome: str) -> dict[str, Any]:
    if not outcome:
        return {"not_looked": "1"}
    return {"dead" if outcome in reasons.DEATHS else "seen": {outcome: "1"}}


def values_of(e: Entry) -> dict[str, str]:
    """Return the values with which the form says what a check said."""
    values = {
        f"{name}-{slugged(word)}": str(n) for name in _COUNTS for word, n in e.said.get(name, {}).items()
    }
    values |= {f"plant-{shown(plant)}": outcome for plant, outcome in e.said.get("plants", {}).items()}
    values |= {name: str(e.said[name]) for name in _SIGNS if name in e.said}
    values["guess"] = "yes" if e.said.get("guess") else ""
    if e.said.get("not_looked"):
        values["not_looked"] = str(e.said["not_looked"])
    return values | {"day": e.day, "by": e.by}
