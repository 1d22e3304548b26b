"""What a check is about: which grafts stand there, at which stages, with which codes."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from graftwright.actions.show import found, standing_in
from graftwright.ledger import errors
from graftwright.web.pages.cautions import stored_sheet
from graftwright.web.pages.names import Names, code_of, href
from graftwright.web.troubles import NothingGrowing

if TYPE_CHECKING:
    from graftwright.actions.ports import Reading
    from graftwright.actions.show import Standing
    from graftwright.handbook.sheets import Sheet
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.things import Thing
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


def look_up(reading: Reading, code: str, place: str, *, sent: bool = False) -> CheckSubject:
    """Find what a check is about; a bag stands for the one batch in it.

    A form that was `sent` says all itself, whatever has happened since it was made.
    """
    thing = found(reading, code)
    if thing.kind == "place":
        return _in_bag(reading, thing)
    if thing.kind not in GRAFTS:
        raise errors.WrongThing(thing.code, thing.kind, GRAFTS, "check")
    return _of_grafts(reading, thing, code_of(reading, place), sent=sent)


def _in_bag(reading: Reading, bag: Thing) -> CheckSubject:
    inside = reading.things({line.account.thing for line in reading.standing_in([bag.code])})
    batches = {thing.part_of or thing.code for thing in inside.values() if thing.kind in GRAFTS}
    if not batches:
        raise NothingGrowing(Names(reading, [bag.code]).title(bag.code))
    first = look_up(reading, min(batches), bag.code)
    return first if len(batches) == 1 else replace(first, code=bag.code, batches=True)


def _of_grafts(reading: Reading, thing: Thing, wanted: str, *, sent: bool) -> CheckSubject:
    standing = standing_in(reading.accounts([thing.code, *(part.code for part in reading.parts(thing.code))]))
    there = sorted({one.place for one in standing})
    place = wanted or (there[0] if len(there) == 1 and not sent else "")
    if wanted and wanted not in there and standing and not sent:
        raise errors.NoSuchPlace(thing.code, wanted, tuple(there))
    names = Names(reading, [thing.code, place, *there])
    sheet = stored_sheet(reading, names.known[thing.part_of or thing.code].get("sheet"))
    here = [one for one in standing if place in ("", one.place)]
    choose = len(there) > 1 and not wanted and not sent
    return CheckSubject(
        code=thing.code,
        kind=thing.kind,
        place=place,
        shown=names.subject(thing.code, names.whereabouts(place)),
        sheet=sheet,
        stages=tuple(sorted({one.stage for one in here}, key=sheet.path.index)) or sheet.path[:1],
        total=sum(one.count for one in here if one.thing == thing.code and thing.kind == "batch"),
        plants=tuple(one.thing for one in here if one.thing != thing.code or thing.kind == "plant"),
        places=tuple(_places(standing, there, names)) if choose else (),
    )


def _places(standing: list[Standing], there: list[str], names: Names) -> list[tuple[str, str, str]]:
    rows = []
    for place in filter(None, there):
        stages = Counter[str]()
        for one in standing:
            if one.place == place:
                stages[one.stage] += one.count
        where = names.whereabouts(names.within(place))
        counted = ", ".join(f"{n} {stage}" for stage, n in stages.items())
        rows.append((place, names.title(place), f"{counted} · {where}" if where else counted))
    return rows
