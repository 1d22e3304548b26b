"""What a check is about: which grafts stand there, at which stages, with which codes."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from graftwright.actions.show import show
from graftwright.ledger import errors
from graftwright.web.pages.cautions import stored_sheet
from graftwright.web.pages.names import Names, code_of, href

if TYPE_CHECKING:
    from datetime import date

    from graftwright.actions.ports import Reading
    from graftwright.actions.show import Card, Standing
    from graftwright.actions.site import Site
    from graftwright.handbook.sheets import Sheet
    from graftwright.ledger.entries import Entry
    from graftwright.web.parts import Subject

GRAFTS = ("batch", "plant")


@dataclass(frozen=True)
class CheckSubject:
    """A batch in one place, or one plant.

    `places` are those among which one must be chosen first (code, words, what stands there);
    `batches` says that a bag holds several, so that its own page must be asked.
    """

    code: str
    kind: str
    place: str
    shown: Subject
    sheet: Sheet
    stages: tuple[str, ...]
    total: int  # grafts without a code of their own
    plants: tuple[str, ...] = ()
    places: tuple[tuple[str, str, str], ...] = ()
    batches: bool = False

    @property
    def address(self) -> str:
        """Address of the page to return to."""
        return href(self.place if self.place and self.kind == "batch" else self.code)

    def as_it_was(self, e: Entry) -> CheckSubject:
        """Return the subject with the numbers that a check accounted for when it was made."""
        total = sum(e.get("seen", {}).values()) + sum(e.get("dead", {}).values())
        total += e.get("not_looked", 0) - e.get("miscounted", 0)
        plants = (self.code,) if self.kind == "plant" else tuple(e.get("plants", {}))
        stages = tuple(dict.fromkeys((*e.get("seen", {}), *self.stages)))
        return replace(self, total=0 if self.kind == "plant" else total, plants=plants, stages=stages)


def look_up(
    reading: Reading, site: Site, today: date, code: str, place: str, *, sent: bool = False
) -> CheckSubject:
    """Find what a check is about; a bag stands for the one batch in it.

    A form that was `sent` says all itself, whatever has happened since it was made.
    """
    card = show(reading, site, today, code)
    if card.kind == "place":
        return _in_bag(reading, site, today, card)
    if card.kind not in GRAFTS:
        raise errors.WrongThing(card.code, card.kind, GRAFTS, "check")
    wanted = code_of(reading, place)
    return _of_card(reading, card, wanted, sent=sent)


def _in_bag(reading: Reading, site: Site, today: date, card: Card) -> CheckSubject:
    things = reading.things({one.thing for one in card.standing})
    batches = {thing.part_of or thing.code for thing in things.values() if thing.kind in GRAFTS}
    if not batches:
        raise errors.WrongThing(card.code, f"{card.title} with nothing growing in it", GRAFTS, "check")
    first = look_up(reading, site, today, min(batches), card.code)
    return first if len(batches) == 1 else replace(first, code=card.code, batches=True)


def _of_card(reading: Reading, card: Card, wanted: str, *, sent: bool) -> CheckSubject:
    there = sorted({one.place for one in card.standing})
    place = wanted or (there[0] if len(there) == 1 and not sent else "")
    if wanted and wanted not in there and card.standing and not sent:
        raise errors.NoSuchPlace(card.code, wanted, tuple(there))
    names = Names(reading, [card.code, place, *there])
    thing = names.known[card.code]
    sheet = stored_sheet(reading, names.known[thing.part_of or card.code].get("sheet"))
    here = [one for one in card.standing if place in ("", one.place)]
    choose = len(there) > 1 and not wanted and not sent
    return CheckSubject(
        code=card.code,
        kind=card.kind,
        place=place,
        shown=names.subject(card.code, names.whereabouts(place)),
        sheet=sheet,
        stages=tuple(sorted({one.stage for one in here}, key=sheet.path.index)) or sheet.path[:1],
        total=sum(one.count for one in here if one.thing == card.code and card.kind == "batch"),
        plants=tuple(one.thing for one in here if one.thing != card.code or card.kind == "plant"),
        places=tuple(_places(card.standing, there, names)) if choose else (),
    )


def _places(standing: tuple[Standing, ...], there: list[str], names: Names) -> list[tuple[str, str, str]]:
    rows = []
    for place in filter(None, there):
        stages = Counter[str]()
        for one in standing:
            if one.place == place:
                stages[one.stage] += one.count
        rows.append(
            (place, names.whereabouts(place), ", ".join(f"{n} {stage}" for stage, n in stages.items()))
        )
    return rows
