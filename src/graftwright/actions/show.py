"""What is this: a code or name, what it counts, where it stands, what comes next, and its whole history."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from graftwright.actions.names import did_you_mean
from graftwright.actions.say import entry_sentence, tally, tally_sentence
from graftwright.actions.today import as_json
from graftwright.ledger import codes, due, errors
from graftwright.ledger.codes import shown
from graftwright.ledger.lines import THERE
from graftwright.ledger.windows import outward

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import date

    from graftwright.actions.ports import Reading
    from graftwright.actions.site import Site
    from graftwright.errors import Trouble
    from graftwright.ledger.due import DueLine
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line
    from graftwright.ledger.things import Thing
    from graftwright.ledger.windows import Forecast


_FAR_DAYS = 400  # where nothing comes soon, the first thing that comes at all is named


@dataclass(frozen=True)
class Standing:
    """So many units of a thing at a stage in a place."""

    thing: str
    stage: str
    place: str
    count: int


@dataclass(frozen=True)
class Told:
    """One line of a history."""

    number: int
    day: str
    happened: str
    kind: str
    by: str
    sentence: str
    crossed_by: int = 0
    crossed_why: str = ""  # the reason given; empty where another entry stands in its place


@dataclass(frozen=True)
class Card:
    """All that is known of one code or name."""

    code: str
    kind: str
    title: str
    sentence: str
    facts: tuple[tuple[str, str, str], ...]  # label, value, code behind it
    standing: tuple[Standing, ...]
    due: tuple[DueLine, ...]
    history: tuple[Told, ...]
    names: dict[str, str] = field(default_factory=dict)
    forecast: Forecast | None = None
    tally: dict[str, Any] = field(default_factory=dict)


def show(reading: Reading, site: Site, today: date, word: str) -> Card:
    """Return the card of a code or name."""
    thing = found(reading, word)
    return _CardMaker(reading, site, today, thing).card()


def found(reading: Reading, word: str) -> Thing:
    """Return what has that code or name; refuses what nothing has, and asks after the code that was nearly typed."""
    trouble: Trouble = errors.NothingKnown(word.strip())
    try:
        thing = reading.find(word)
    except codes.UnknownCode as wrong:
        thing, trouble = None, wrong
    if thing and thing.exists:
        return thing
    close = [code for code, one in reading.things(codes.near(word)).items() if one.exists]
    trouble.do = did_you_mean(close) or trouble.do
    raise trouble


class _CardMaker:
    def __init__(self, reading: Reading, site: Site, today: date, thing: Thing) -> None:
        self.reading, self.site, self.today, self.thing = reading, site, today, thing
        self.parts = reading.parts(thing.code) if thing.kind == "batch" else []
        self.codes = [thing.code, *(part.code for part in self.parts)]
        self.batch = thing.part_of or (thing.code if thing.kind in {"batch", "seed"} else "")

    def card(self) -> Card:
        thing, reading = self.thing, self.reading
        lines = reading.accounts(self.codes)
        inside = reading.standing_in([thing.code]) if thing.kind == "place" else []
        standing = standing_in(inside or lines)
        told = reading.told(self.codes)
        crossed = reading.crossed(self.codes)
        forecast = reading.forecast(self.batch) if self.batch else None
        known = self._known(standing, [e for e, _ in told] + crossed)
        names = {code: label(one, known) for code, one in known.items()}
        return Card(
            code=thing.code, kind=thing.kind, title=title(thing, known), sentence=_sentence(thing, lines),
            facts=_facts(thing, known), standing=tuple(standing), due=tuple(self._due(forecast, standing)),
            history=_history(told, crossed, names, self._reasons(crossed)), names=names,
            forecast=forecast, tally=tally(lines),
        )  # fmt: skip

    def _known(self, standing: Iterable[Standing], entries: Iterable[Entry]) -> dict[str, Thing]:
        codes = {self.thing.code, self.batch, *self.codes}
        codes |= {one.place for one in standing} | {one.thing for one in standing}
        for e in entries:
            codes |= {
                e.subject,
                e.by,
                *(str(e.get(name, "")) for name in ("place", "to", "scion", "stock", "within")),
            }
        known = self.reading.things(codes - {""})
        more = {
            str(one.get(name, ""))
            for one in known.values()
            for name in ("variety", "scion", "stock", "within")
        }
        known |= self.reading.things(more - {"", *known})
        last = {str(one.get("variety", "")) for one in known.values()}
        return known | self.reading.things(last - {"", *known})

    def _reasons(self, crossed: Iterable[Entry]) -> dict[int, str]:
        crossings = {number: self.reading.entry(number) for number in {e.crossed_by for e in crossed}}
        return {number: str(e.get("reason", "")) for number, e in crossings.items() if e.kind == "cross-out"}

    def _due(self, forecast: Forecast | None, standing: Iterable[Standing]) -> list[DueLine]:
        if self.thing.kind == "place":
            batches = {one.thing for one in standing}
            batches |= {thing.part_of for thing in self.reading.things(batches).values() if thing.part_of}
            forecasts = [found for batch in sorted(batches) if (found := self.reading.forecast(batch))]
            places = {self.thing.code}
        else:
            forecasts = [forecast] if forecast else []
            places = {one.place for one in standing}
        tasks = [
            task
            for one in forecasts
            for group in one.groups
            for task in group.tasks
            if task.place in places or (not task.place and places & set(group.places))
        ]
        lines = due.in_order(due.due_lines(tasks, self.site.free, self.today), sorted(places))
        far = due.due_lines(tasks, self.site.free, self.today, _FAR_DAYS)
        return lines or due.in_order(far, sorted(places))[:1]


def standing_in(lines: Iterable[Line]) -> list[Standing]:
    """Return what stands where, of the lines of some accounts."""
    return sorted(
        (
            Standing(a.thing, a.detail, a.place, line.amount)
            for line in lines
            if (a := line.account).name == THERE
        ),
        key=lambda one: (one.place, one.thing, one.stage),
    )


def _sentence(thing: Thing, lines: Iterable[Line]) -> str:
    if thing.kind == "batch":
        return tally_sentence(lines, "made")
    if thing.kind in {"seed", "scionwood", "stock"}:
        unit = {"seed": "nuts", "scionwood": "buds", "stock": "stocks"}[thing.kind]
        return "not counted" if thing.get("uncounted") else tally_sentence(lines, f"{unit} came in")
    if thing.kind == "plant":
        found = tally(lines)
        there = next(iter(found["there"]), "")
        return there or "; ".join(found["gone"]) or "gone"
    return ""


def label(thing: Thing, known: dict[str, Thing]) -> str:
    """Return what people call a thing: its name, or its code with what it is."""
    name = thing.get("name")
    if name:
        return str(name)
    if thing.kind == "place":
        return f"{thing.get('place_kind', 'place')} {shown(thing.code)}"
    variety = known.get(str(thing.get("variety", "")))
    return f"{shown(thing.code)}" + (f" {variety.name}" if variety else "")


def title(thing: Thing, known: dict[str, Thing]) -> str:
    """Return what a thing is, in a line: 'Alder Hill on Castanea', 'nuts of Old Hedge'."""
    if thing.kind == "plant":
        whole = known.get(thing.part_of)
        return title(whole, known) if whole else "plant"
    if thing.kind == "batch":
        scion, stock = (known.get(str(thing.get(side, ""))) for side in ("scion", "stock"))
        above = _variety(scion, known) or "unnamed"
        below = (_variety(stock, known) or str(stock.get("genus", "")) if stock else "") or "unnamed stock"
        return f"{above} on {below}"
    if thing.kind in {"seed", "scionwood", "stock"}:
        what = {"seed": "nuts", "scionwood": "scionwood", "stock": "stocks"}[thing.kind]
        if thing.get("to_work_again"):
            return "stocks to work again"
        of = _variety(thing, known) or thing.get("genus")
        return f"{what} of {of}" if of else what
    return thing.name if thing.get("name") else str(thing.get("place_kind", thing.kind))


def _variety(lot: Thing | None, known: dict[str, Thing]) -> str:
    variety = known.get(str(lot.get("variety", ""))) if lot else None
    return variety.name if variety else ""


_FACTS = {
    "batch": (("made on", "day"), ("sheet", "sheet"), ("scions from", "scion"), ("on", "stock"), ("grafter", "by"),
              ("buds on each scion", "buds"), ("genus", "genus")),
    "plant": (("has its code since", "day"),),
    "place": (("kind", "place_kind"), ("stands in", "within"), ("temperature °C", "temperature_c"),
              ("on your way round", "walking")),
    "variety": (("species", "species"), ("seed parent", "seed_parent"), ("pollen parent", "pollen_parent"),
                ("protection", "protection"), ("number", "protection_number"), ("until", "protected_until")),
    "site": (("latitude", "latitude"), ("time zone", "time_zone"), ("at the bench on", "free_days")),
}  # fmt: skip
_LOT_FACTS = (("came in", "day"), ("variety", "variety"), ("genus", "genus"), ("from", "origin"), ("tree", "tree"),
              ("permit", "permit"), ("kept apart until", "hold_until"), ("set free by", "from_batch"))  # fmt: skip


def _facts(thing: Thing, known: dict[str, Thing]) -> tuple[tuple[str, str, str], ...]:
    facts = [("batch", shown(thing.part_of), thing.part_of)] if thing.part_of else []
    for word, name in _FACTS.get(thing.kind, _LOT_FACTS):
        value = thing.get(name)
        if value in (None, "", False):
            continue
        other = known.get(str(value))
        facts.append((word, label(other, known) if other else _value(value), other.code if other else ""))
    return tuple(facts)


def _value(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{word} {share:g}" for word, share in value.items())
    return f"{value:g}" if isinstance(value, float) else str(value)


def _history(
    told: Iterable[tuple[Entry, tuple[Line, ...]]],
    crossed: Iterable[Entry],
    names: dict[str, str],
    reasons: dict[int, str],
) -> tuple[Told, ...]:
    def name(code: str) -> str:
        return names.get(code) or shown(code)

    every = sorted((*(e for e, _ in told), *crossed), key=lambda e: (e.key, e.number), reverse=True)
    return tuple(
        Told(
            e.number,
            e.day,
            e.happened,
            e.kind,
            names.get(e.by, e.by),
            entry_sentence(e, name),
            e.crossed_by,
            reasons.get(e.crossed_by, ""),
        )
        for e in every
    )


def as_card_json(card: Card, today: date) -> dict[str, Any]:
    """Return the card as the value that scripts rely on."""
    name: Callable[[str], str] = shown
    return {
        "code": name(card.code), "kind": card.kind, "title": card.title, "sentence": card.sentence,
        "facts": {word: value for word, value, _ in card.facts},
        "counts": card.tally,
        "standing": [{"code": name(one.thing), "stage": one.stage, "place": name(one.place), "count": one.count}
                     for one in card.standing],
        "windows": _windows_json(card.forecast), "due": as_json(card.due, today)["lines"],
        "history": [{"number": one.number, "day": one.day, "happened": one.happened, "kind": one.kind, "by": one.by,
                     "sentence": one.sentence, "crossed_out_by": one.crossed_by or None} for one in card.history],
    }  # fmt: skip


def _windows_json(forecast: Forecast | None) -> list[dict[str, Any]]:
    from datetime import date

    if forecast is None or not forecast.start:
        return []
    start = date.fromisoformat(forecast.start)
    found = []
    for group in forecast.groups:
        for one in group.milestones:
            windows = {
                which: dict(zip(("earliest", "likely", "latest"), _iso(outward(start, window)), strict=True))
                for which, window in (
                    ("first", one.first),
                    ("10", one.tenth),
                    ("50", one.half),
                    ("90", one.most),
                )
                if window
            }
            found.append({"milestone": one.name, "stage": one.stage, "of": one.of, "reached": one.reached,
                          "places": [shown(place) for place in group.places], "temperature": group.temperature,
                          "stalled": one.stalled or None, "windows": windows})  # fmt: skip
    return found


def _iso(days: Iterable[date | None]) -> list[str | None]:
    return [day.isoformat() if day else None for day in days]
