"""A place of any kind: what is in it, its air, what is due there."""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import TYPE_CHECKING

from graftwright.ledger.codes import shown
from graftwright.web.models import BagPage, GraftsHere
from graftwright.web.pages.acts import record_href
from graftwright.web.pages.cautions import of_stages, stored_course
from graftwright.web.pages.due_lines import act_href
from graftwright.web.pages.history import history
from graftwright.web.pages.names import Names
from graftwright.web.parts import Act, Caution, Count, Fact
from graftwright.web.wording import long_day

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from graftwright.actions.ports import Reading
    from graftwright.actions.show import Card, Standing
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line
    from graftwright.ledger.things import Thing
    from graftwright.web.parts import DueLine
    from graftwright.web.visit import Visit

_GRAFTS = ("batch", "plant")


def bag_page(visit: Visit, reading: Reading, card: Card, names: Names, due: tuple[DueLine, ...]) -> BagPage:
    """Return the page of a place."""
    whole = Names(reading, {one.thing for one in card.standing} | {card.code})
    inside = [*_contents(card, whole), *_places_inside(reading, card.code)]
    told = [e for e, _ in reading.told([card.code])]
    thing = names.known[card.code]
    return BagPage(
        subject=names.subject(card.code, names.whereabouts(names.within(card.code))),
        kind=str(thing.get("place_kind", "place")),
        grafts=tuple(inside),
        acts=tuple(_acts(card, whole)),
        history=history(visit, reading, card),
        air=tuple(_air(names, thing, told, visit.today)),
        due=due,
        cautions=_cautions(reading, card, whole),
    )


def _contents(card: Card, whole: Names) -> Iterator[GraftsHere]:
    by_thing: dict[str, list[Standing]] = {}
    for one in card.standing:
        by_thing.setdefault(one.thing, []).append(one)
    several = len(_checked(card, whole)) > 1
    for code, standing in by_thing.items():
        total = sum(one.count for one in standing)
        stages = ", ".join(f"{one.count} {one.stage}" for one in standing)
        grafts = whole.known[code].kind in _GRAFTS
        count = Count(total, "growing" if grafts else "there", "growing")
        acts = (Act("Check", act_href("check", code, card.code)),) if several and grafts else ()
        yield GraftsHere(whole.subject(code), stages, (count,), acts)


def _places_inside(reading: Reading, place: str) -> Iterator[GraftsHere]:
    """What stands in the bags and boxes of a shelf, one line for each."""
    bags = [one.code for one in reading.things_of("place") if one.get("within") == place]
    names = Names(reading, bags)
    standing = reading.standing_in(bags)
    for bag in bags:
        there = [line for line in standing if line.account.place == bag]
        yield GraftsHere(names.subject(bag), _stages(there), _growing(there))


def _stages(there: Iterable[Line]) -> str:
    stages = Counter[str]()
    for line in there:
        stages[line.account.detail] += line.amount
    return ", ".join(f"{n} {stage}" for stage, n in stages.items()) or "empty"


def _growing(there: Sequence[Line]) -> tuple[Count, ...]:
    grafts = sum(line.amount for line in there if line.account.unit == "graft")
    return (Count(grafts, "growing", "growing"),) if grafts else ()


def _checked(card: Card, whole: Names) -> list[str]:
    """Batches that a check of this place can be about."""
    things = [whole.known[one.thing] for one in card.standing if one.thing in whole.known]
    return list(dict.fromkeys(thing.part_of or thing.code for thing in things if thing.kind in _GRAFTS))


def _acts(card: Card, whole: Names) -> Iterator[Act]:
    code, batches = shown(card.code), _checked(card, whole)
    if len(batches) == 1:
        yield Act("Check", act_href("check", batches[0], card.code))
    if batches:
        yield Act("Opened a little", record_href("vent", subject=code))
    yield Act("Carry it", record_href("carry", subject=code))
    yield Act("Describe it", record_href("describe", what="place", subject=code))
    yield Act("Write something else", f"/record?subject={code}")


def _air(names: Names, thing: Thing, told: Sequence[Entry], today: date) -> Iterator[Fact]:
    warmth = _warmth(names, thing.code)
    if warmth:
        yield Fact("warmth", warmth)
    for word in ("air", "medium", "mould"):
        seen = next((e for e in told if e.kind == "check" and e.get(word)), None)
        if seen:
            yield Fact(word, f"{seen.get(word)}, on {long_day(date.fromisoformat(seen.day), today)}")
    opened = next((e for e in told if e.kind in {"vent", "open", "close-again"}), None)
    if opened:
        how = "closed again" if opened.kind == "close-again" else opened.get("opening") or "opened"
        yield Fact("opening", f"{how}, since {long_day(date.fromisoformat(opened.day), today)}")


def _warmth(names: Names, place: str) -> str:
    """Temperature of a place, or of the place it stands in."""
    own = place
    for _ in range(20):
        thing = names.known.get(place)
        if thing is None:
            return ""
        said = thing.get("temperature_c")
        if said is not None:
            return f"{said:g} °C" + ("" if place == own else f", that of {names.label(place)}")
        place = names.within(place)
    return ""


def _cautions(reading: Reading, card: Card, whole: Names) -> tuple[Caution, ...]:
    found: dict[Caution, None] = {}
    for batch in _checked(card, whole):
        sheet = stored_course(reading, whole.known[batch].get("sheet"))
        found |= dict.fromkeys(of_stages(sheet, {one.stage for one in card.standing}))
    return tuple(found)
