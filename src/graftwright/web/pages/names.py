"""What things are called on pages, and where they stand, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.actions import show
from graftwright.ledger.codes import is_code, shown
from graftwright.web.parts import Subject
from graftwright.web.wording import capital, many

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from graftwright.actions.ports import Reading
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.things import Thing

_LEADS_TO = ("variety", "scion", "stock", "within")
_NOWHERE = "Where they stand is not written down"


def href(code: str) -> str:
    """Address of a thing's page."""
    return f"/{shown(code)}" if is_code(code) else f"/named/{code}"


class Names:
    """Some things with all that is needed to name them."""

    def __init__(self, reading: Reading, codes: Iterable[str]) -> None:
        self.known: dict[str, Thing] = {}
        asked = set(codes)
        while wanted := asked - {"", *self.known}:
            found = reading.things(wanted)
            if not found:
                break
            self.known |= found
            asked = {code for thing in found.values() for code in _leads_to(thing)}

    @classmethod
    def of_entry(cls, reading: Reading, e: Entry) -> Names:
        """Names of all that an entry speaks of."""
        return cls(reading, _spoken_of(e))

    def label(self, code: str) -> str:
        """What people call a thing."""
        thing = self.known.get(code)
        return show.label(thing, self.known) if thing else shown(code)

    def title(self, code: str) -> str:
        """What a thing is, in a line."""
        thing = self.known.get(code)
        if thing is None:
            return shown(code)
        if thing.kind == "place":
            return capital(self.label(code))
        return capital(show.title(thing, self.known))

    def within(self, place: str) -> str:
        """Code of the place that a place stands in, or ''."""
        thing = self.known.get(place)
        return str(thing.get("within", "")) if thing else ""

    def whereabouts(self, place: str) -> str:
        """Say where a place is: 'bag K7QF4-Z, Warm shelf'."""
        chain: list[str] = []
        while place and len(chain) < 4:
            chain.append(self.label(place))
            place = self.within(place)
        return ", ".join(chain)

    def some(self, places: Sequence[str]) -> str:
        """Say how many places: '6 bags', or 'places' where they are of several kinds."""
        kinds = {str(self.known[place].get("place_kind", "place")) for place in places if place in self.known}
        return many(len(places), kinds.pop() if len(kinds) == 1 else "place") if places else ""

    def heading(self, place: str) -> str:
        """The place people walk to: the nearest that has a name."""
        if not place:
            return _NOWHERE
        thing = self.known.get(place)
        outer = self.within(place)
        return (
            self.heading(outer) if outer and thing and not thing.get("name") else capital(self.label(place))
        )

    def all_of(self, places: Sequence[str]) -> str:
        """Say where things stand that lie in several places: two by name, more by their number."""
        shelves = list(dict.fromkeys(self.heading(place) for place in places if place))
        if len(places) < 3:
            return " and ".join(self.whereabouts(place) for place in places if place)
        return f"{self.some(places)}, {' and '.join(shelves)}" if len(shelves) < 3 else self.some(places)

    def subject(self, code: str, place: str = "") -> Subject:
        """Return a thing as pages show it."""
        return Subject(shown(code), self.title(code), place, href(code))


def _leads_to(thing: Thing) -> Iterator[str]:
    yield thing.part_of
    for name in _LEADS_TO:
        yield str(thing.get(name, ""))


def _spoken_of(e: Entry) -> Iterator[str]:
    yield from (e.subject, e.by)
    for name in ("place", "to", "within", "scion", "stock"):
        yield str(e.get(name, ""))


def code_of(reading: Reading, typed: str) -> str:
    """Code of something that an address names by its code or its name; what is not there stays as it was typed."""
    found = reading.find(typed) if typed else None
    return found.code if found else typed
