"""What the book can offer as answers to the questions of a form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.actions.today import walking_order
from graftwright.ledger.codes import shown
from graftwright.ledger.stages import LOTS
from graftwright.web.forms import NONE, Choices
from graftwright.web.pages.cautions import handbook, stored_sheet
from graftwright.web.pages.names import Names
from graftwright.web.parts import Option

if TYPE_CHECKING:
    from collections.abc import Iterable

    from graftwright.actions.ports import Reading
    from graftwright.actions.show import Card
    from graftwright.ledger.kinds import Kind
    from graftwright.ledger.things import Thing

MOST = 60  # more than a thumb scrolls through; beyond it the code is typed
_FROM = "Where the grafts stand"  # the help of a place that grafts are taken from
_LOTS = {"scion": ("scionwood",), "stock": ("seed", "stock"), "lot": ("stock",)}
# what of a thing can be said when it is described
_DESCRIBED = {
    "variety": {"name", "species", "seed_parent", "pollen_parent", "protection", "protection_number",
                "protected_until", "pollen_sterile"},
    "source-tree": {"name", "variety"},
    "place": {"name", "place_kind", "within", "temperature_c", "walking"},
    "person": {"name"},
    "site": {"name", "latitude", "time_zone", "free_days", "minutes", "last_frost"},
}  # fmt: skip
DESCRIBED = tuple(_DESCRIBED)


def choices(reading: Reading, kind: Kind, card: Card | None, described: str = "") -> Choices:
    """Gather what a form of this kind can offer for this subject."""
    options: dict[str, tuple[Option, ...]] = {}
    for field in kind.fields:
        if field.name in _LOTS:
            options[field.name] = _lots(reading, field.name, kind.name)
        elif field.name in {"to", "within"} or (field.name == "place" and field.help != _FROM):
            options[field.name] = _places(reading)
        elif field.name == "sheet":
            options["sheet"] = tuple(Option(sheet.key, sheet.title) for sheet in handbook().sheets.values())
        elif field.name == "of" and kind.name == "adopt":
            options["of"] = _pages()
    skipped = set[str]()
    if card:
        options |= _standing(reading, kind, card)
        skipped = _needless(kind, card, options)
    if described:
        skipped = {field.name for field in kind.fields} - _DESCRIBED[described] - {"note"}
    return Choices({name: some for name, some in options.items() if some}, frozenset(skipped))


def _pages() -> tuple[Option, ...]:
    known = handbook()
    sheets = (Option(sheet.key, sheet.title) for sheet in known.sheets.values())
    return (*sheets, *(Option(one.genus, one.common) for one in known.species.values()))


def _places(reading: Reading) -> tuple[Option, ...]:
    """Return the places with names, in walking order; bags are found by their codes."""
    every = reading.things_of("place")
    known = {place.code: place for place in every if place.get("name")}
    walk = [code for code in walking_order(every) if code in known]
    if not walk or len(walk) > MOST:
        return ()
    return (NONE, *(Option(shown(code), known[code].name) for code in walk))


def _lots(reading: Reading, name: str, kind: str) -> tuple[Option, ...]:
    lots = reading.things_of(*_LOTS[name])
    if name != "scion":
        again = name == "lot" or kind == "regraft"
        lots = [lot for lot in lots if bool(lot.get("to_work_again")) == again]
    names = Names(reading, [lot.code for lot in lots])
    found = tuple(Option(shown(lot.code), f"{names.title(lot.code)} ({shown(lot.code)})") for lot in lots)
    return found if len(found) <= MOST else ()


def _standing(reading: Reading, kind: Kind, card: Card) -> dict[str, tuple[Option, ...]]:
    """Stages and places that the subject stands at now."""
    places = list(dict.fromkeys(one.place for one in card.standing if one.place))
    names = Names(reading, places)
    stages = list(dict.fromkeys(one.stage for one in card.standing))
    found = {"stage": _words(stages), "counted": _words(path(reading, card))}
    place = kind.field("place")
    if place and place.help == _FROM and len(places) <= MOST:
        found["place"] = tuple(Option(shown(one), names.whereabouts(one)) for one in places)
    if kind.name == "step-back":
        found["back_to"] = _words(path(reading, card)[:-1])
    return found


def _needless(kind: Kind, card: Card, options: dict[str, tuple[Option, ...]]) -> set[str]:
    """Questions that have one answer."""
    from_place = (place := kind.field("place")) is not None and place.help == _FROM
    coded = any(one.thing != card.code for one in card.standing) and card.kind == "batch"
    needless = {
        "place": from_place and len(options.get("place", ())) < 2,
        "stage": len(options.get("stage", ())) < 2,
        "plants": not coded and kind.name != "codes",
    }
    return {name for name, is_so in needless.items() if is_so}


def path(reading: Reading, card: Card) -> tuple[str, ...]:
    """Return the stages that the units of a lot, batch or plant walk."""
    if card.kind in LOTS:
        return LOTS[card.kind][1]
    whole = reading.things([part_of(reading, card)])
    version = next(iter(whole.values())).get("sheet") if whole else None
    return stored_sheet(reading, version).path if version else ()


def part_of(reading: Reading, card: Card) -> str:
    """Code of the batch that a plant belongs to; of anything else its own."""
    if card.kind != "plant":
        return card.code
    thing: Thing = reading.things([card.code])[card.code]
    return thing.part_of


def _words(words: Iterable[str]) -> tuple[Option, ...]:
    return tuple(Option(word, word) for word in words)
