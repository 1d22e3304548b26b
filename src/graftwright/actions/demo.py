"""The demo: a season in progress at an invented bench, with invented people and varieties.

The same on every machine: it has its own date, its own ids, and draws its codes from a fixed seed.
One check is late on purpose, and one entry from a phone is kept aside.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from graftwright.actions.enter import Desk, enter
from graftwright.actions.ports import Draft

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from graftwright.actions.ports import Notebook, Sheet
    from graftwright.ledger.entries import Entry

DEMO_DATE = date(2027, 4, 20)
DEMO_NOW = datetime(2027, 4, 20, 7, 30, tzinfo=UTC)
_SEED = 20270420


@dataclass
class _Teller:
    """Enters one line of the story after another."""

    notebook: Notebook
    desk: Desk
    told: int = 0

    def tell(self, day: str, by: str, kind: str, subject: str = "", **said: Any) -> Entry:
        """Enter a line; it must stand."""
        answer = enter(self.notebook, self.desk, self._draft(day, by, kind, subject, said))
        assert answer.entry is not None
        return answer.entry

    def from_a_phone(self, day: str, by: str, kind: str, subject: str, **said: Any) -> None:
        """Enter a line from an outbox; it may be kept aside."""
        enter(self.notebook, self.desk, self._draft(day, by, kind, subject, said), at_the_door=False)

    def _draft(self, day: str, by: str, kind: str, subject: str, said: Mapping[str, Any]) -> Draft:
        self.told += 1
        return Draft(kind, subject, said, day, by, f"01DEM0{self.told:020d}")


def drafts(notebook: Notebook, sheets: Callable[[], Mapping[str, Sheet]]) -> None:
    """Write the whole story into an empty notebook."""
    desk = Desk(DEMO_NOW, DEMO_DATE, sheets, random.Random(_SEED))  # noqa: S311 - codes, not secrets
    teller = _Teller(notebook, desk)
    places = _bench(teller)
    lots = _winter(teller, places)
    _alder_hill(teller, places, lots)
    _brindle_early(teller, places, lots)
    _pears(teller, places)
    _wishes(teller)


def _bench(teller: _Teller) -> dict[str, str]:
    day = "2026-10-01"
    teller.tell(day, "", "describe", "settings", what="settings", demo_date=DEMO_DATE.isoformat())
    teller.tell(day, "", "describe", "site", what="site", name="Larch Hollow bench", time_zone="Europe/Paris",
                latitude=47.2, last_frost="2027-05-08", minutes=240)  # fmt: skip
    teller.tell(day, "", "describe", "mira-voss", what="person", name="Mira Voss")
    teller.tell(day, "", "describe", "tam-okello", what="person", name="Tam Okello")
    for name, seed_parent in (("Alder Hill", ""), ("Brindle Early", "Old Hedge"), ("Old Hedge", "")):
        teller.tell(day, "Mira Voss", "describe", "", what="variety", name=name, seed_parent=seed_parent,
                    species={"Castanea sativa": 1})  # fmt: skip
    teller.tell(
        day,
        "Mira Voss",
        "describe",
        "",
        what="variety",
        name="Widow's Lantern",
        species={"Pyrus communis": 1},
    )
    named = {}
    for name, kind, within, temperature, walking in (
        ("Kitchen", "room", "", 21, 1),
        ("Cellar refrigerator", "refrigerator", "", 3, 2),
        ("Warm shelf", "shelf", "Kitchen", 22.5, 1),
        ("Window sill", "shelf", "Kitchen", 19, 2),
        ("Garden frame", "frame", "", "", 3),
    ):
        said = {"place_kind": kind, "within": within, "temperature_c": temperature, "walking": walking}
        named[name] = teller.tell(day, "Mira Voss", "describe", "", what="place", name=name, **said).subject
    return named


def _winter(teller: _Teller, places: Mapping[str, str]) -> dict[str, str]:
    cold = places["Cellar refrigerator"]
    nuts = teller.tell("2026-10-18", "Mira Voss", "receive", "", what="seed", count=60, of="Old Hedge",
                       genus="Castanea", origin="the hedge behind the barn", place=cold).subject  # fmt: skip
    teller.tell("2026-10-18", "Mira Voss", "discard", nuts, reasons={"hollow or floated": 5, "grub": 1})
    teller.tell("2026-11-02", "Mira Voss", "chill", nuts)
    wood = {}
    for variety, sticks, tree in (
        ("Alder Hill", 8, "the tree at the ford"),
        ("Brindle Early", 5, "row 2, tree 7"),
    ):
        cut = teller.tell("2027-01-30", "Tam Okello", "cut-scions", "", of=variety, genus="Castanea", sticks=sticks,
                          buds_per_stick=5, tree=tree, place=cold)  # fmt: skip
        wood[variety] = cut.subject
    teller.tell("2027-03-06", "Tam Okello", "check-wood", wood["Alder Hill"], reasons={"mouldy": 3})
    teller.tell("2027-03-20", "Mira Voss", "bring-out", nuts, place=places["Warm shelf"])
    teller.tell("2027-04-03", "Mira Voss", "pull", nuts, count=24, double=1, put_back=8)
    teller.tell("2027-04-10", "Mira Voss", "pull", nuts, count=11, odd=2)
    teller.tell("2027-04-17", "Mira Voss", "discard", nuts, stage="sprouting",
                reasons={"never sprouted": 7, "sprout too long": 12})  # fmt: skip
    teller.tell(
        "2027-04-10", "Mira Voss", "discard", nuts, stage="pulled", reasons={"broken at the bench": 2}
    )
    return {"nuts": nuts, **wood}


def _alder_hill(teller: _Teller, places: Mapping[str, str], lots: Mapping[str, str]) -> None:
    """Twenty-four grafts, two to a bag: most are leafing, one bag was forgotten, one graft is mouldy."""
    made = teller.tell("2027-04-03", "Mira Voss", "graft", "", scion=lots["Alder Hill"], stock=lots["nuts"], count=24,
                       sheet="hypocotyl-closed-bag", place=places["Warm shelf"], bags=12)  # fmt: skip
    batch, bags = made.subject, made.given["new_bags"]
    for bag in bags:
        teller.tell("2027-04-07", "Mira Voss", "check", batch, place=bag, seen={"callusing": 2}, air="misted")
    for n, bag in enumerate(bags):
        seen = {"swollen": 1, "callusing": 1} if n % 3 else {"swollen": 2}
        teller.tell("2027-04-11", "Mira Voss", "check", batch, place=bag, seen=seen)
    teller.tell("2027-04-14", "Tam Okello", "check", batch, place=bags[2], seen={"swollen": 1}, dead={"mould": 1},
                mould="on the union")  # fmt: skip
    for bag in (*bags[:2], *bags[3:11]):
        teller.tell("2027-04-14", "Tam Okello", "check", batch, place=bag, seen={"swollen": 2})
    for bag in bags[:4]:
        teller.tell("2027-04-17", "Mira Voss", "check", batch, place=bag, leaves="1",
                    seen={"leafing": 1} if bag == bags[2] else {"leafing": 2})  # fmt: skip
    for bag in bags[4:10]:
        teller.tell("2027-04-17", "Mira Voss", "check", batch, place=bag, seen={"leafing": 1, "swollen": 1})
    teller.tell("2027-04-19", "Mira Voss", "check", batch, place=bags[0], seen={"weaning": 2}, leaves="2")
    teller.tell("2027-04-19", "Mira Voss", "vent", bags[0], opening="six pin holes")
    teller.tell(
        "2027-04-19",
        "Mira Voss",
        "check",
        batch,
        place=bags[1],
        seen={"weaning": 1, "leafing": 1},
        leaves="3",
    )
    for bag in bags[2:10]:
        seen = {"leafing": 1} if bag == bags[2] else {"leafing": 2}
        teller.tell("2027-04-19", "Mira Voss", "check", batch, place=bag, seen=seen)
    teller.tell("2027-04-17", "Mira Voss", "lose", batch, place=bags[10], reasons={"no join": 2}, guess="yes")
    teller.from_a_phone("2027-04-18", "Tam Okello", "lose", batch, place=bags[10], reasons={"no join": 1})


def _brindle_early(teller: _Teller, places: Mapping[str, str], lots: Mapping[str, str]) -> None:
    """Ten grafts a week younger, on the cooler sill; one bag was carried over to the warm shelf."""
    made = teller.tell("2027-04-10", "Tam Okello", "graft", "", scion=lots["Brindle Early"], stock=lots["nuts"],
                       count=10, sheet="hypocotyl-closed-bag", place=places["Window sill"], bags=5, buds=2)  # fmt: skip
    bags = made.given["new_bags"]
    for bag in bags:
        teller.tell("2027-04-18", "Tam Okello", "check", bag, seen={"callusing": 2}, medium="moist")
    teller.tell("2027-04-18", "Tam Okello", "carry", bags[0], to=places["Warm shelf"])


def _pears(teller: _Teller, places: Mapping[str, str]) -> None:
    """Six pears on a plain sheet, with codes of their own: it records and reminds, without windows."""
    stocks = teller.tell("2027-03-13", "Mira Voss", "receive", "", what="stock", count=6, genus="Pyrus",
                         origin="seedlings of the lane").subject  # fmt: skip
    wood = teller.tell("2027-03-13", "Mira Voss", "receive", "", what="scionwood", uncounted="yes", genus="Pyrus",
                       of="Widow's Lantern", origin="a neighbour").subject  # fmt: skip
    made = teller.tell("2027-03-27", "Mira Voss", "graft", "", scion=wood, stock=stocks, count=6, sheet="plain",
                       place=places["Garden frame"])  # fmt: skip
    given = teller.tell("2027-04-11", "Mira Voss", "codes", made.subject).given["plant_codes"]
    teller.tell("2027-04-11", "Mira Voss", "check", made.subject,
                plants={given[0]: "growing", given[1]: "growing", given[5]: "dried"}, seen={"grafted": 3})  # fmt: skip
    now = dict.fromkeys(given[:3], "growing") | dict.fromkeys(given[3:5], "grafted")
    teller.tell("2027-04-18", "Mira Voss", "check", made.subject, plants=now)


def _wishes(teller: _Teller) -> None:
    """What this season's grafts are for, and one wish for the next."""
    teller.tell("2026-10-20", "Mira Voss", "adopt", "", of="hypocotyl-closed-bag", experience="some")
    for day, variety, count, by, purpose in (
        ("2026-10-20", "Alder Hill", 7, "2027-09-30", "the ford orchard"),
        ("2026-10-20", "Brindle Early", 3, "2027-09-30", "own ground"),
        ("2027-04-17", "Brindle Early", 6, "2028-08-31", "the school"),
    ):
        teller.tell(day, "Mira Voss", "wish", variety, count=count, ready_by=by, sheet="hypocotyl-closed-bag",
                    genus="Castanea", purpose=purpose, sure=0.8)  # fmt: skip
    teller.tell("2027-04-10", "Mira Voss", "promise", "Alder Hill", count=3, to_whom="Runa Thistle")
