"""The wish file: what a grower wants, has and can give, checked before anything is planned with it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo, available_timezones

from graftwright.errors import ContentComplaint
from graftwright.handbook import errors
from graftwright.handbook.document import must_read
from graftwright.handbook.fields import Field, Flag, Number, Rows, Table, Word, Words
from graftwright.handbook.schema import ANY, EXPERIENCES
from graftwright.ledger.due import WEEKDAYS, FreeDays

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import datetime

    from graftwright.errors import Trouble
    from graftwright.handbook import Handbook
    from graftwright.handbook.paper import Paper
    from graftwright.handbook.toml_lines import Path

FIRST_YEAR, LAST_YEAR = 2000, 2100


class YearOutOfRange(ContentComplaint):
    """A date in no year that anybody plans for."""

    def __init__(self, key: str, day: date, where: str) -> None:
        super().__init__(
            f"'{key}' lies in the year {day.year}.",
            where=where,
            do=f"Give a year from {FIRST_YEAR} to {LAST_YEAR}.",
        )


class AwayBackwards(ContentComplaint):
    """Days away that end before they begin."""

    def __init__(self, first: date, last: date, where: str) -> None:
        super().__init__(
            f"The days away run from {first.isoformat()} back to {last.isoformat()}.",
            where=where,
            do="Put the earlier day in 'from'.",
        )


class FrostSaidTwice(ContentComplaint):
    """Both a day and a file for the last frost."""

    def __init__(self, where: str) -> None:
        super().__init__(
            "Both 'last_frost' and 'weather' say when the last frost is.",
            where=where,
            do="Leave one of them out.",
        )


@dataclass(frozen=True)
class Day(Field):
    """A calendar day."""

    @property
    def wanted(self) -> str:
        """How a day is written."""
        return "a date such as 2027-06-10, without quotes"

    def fits(self, value: Any) -> bool:
        """A day without a time."""
        return type(value) is date

    def check_value(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """Kind and year."""
        yield from super().check_value(value, path, paper)
        if self.fits(value) and not FIRST_YEAR <= value.year <= LAST_YEAR:
            yield YearOutOfRange(str(path[-1]), value, paper.place(path))


def _count(low: int, high: int) -> Number:
    return Number(low, high, whole=True, sourced=False)


def _number(low: float, high: float, unit: str) -> Number:
    return Number(low, high, unit, sourced=False)


def _table(name: str, keys: Mapping[str, Any], *needs: str) -> Table:
    return Table(name, keys, needs, sourced=False)


_SITE = {"name": Word(), "latitude": _number(-90, 90, "°"), "time_zone": Word(), "last_frost": Day(),
         "weather": Word(), "experience": Word(EXPERIENCES)}  # fmt: skip
_WISH = {"variety": Word(), "trees": _count(1, 10_000), "by": Day(), "sure": _number(0.01, 0.999, ""),
         "sheet": Word(), "species": Word(), "for": Word(), "experience": Word(EXPERIENCES)}  # fmt: skip
_SEED = {
    "species": Word(),
    "count": _count(0, 1_000_000),
    "received": Day(),
    "chilled": Day(),
    "floated": Flag(),
}
_WOOD = {"variety": Word(), "buds": _count(0, 1_000_000), "cut": Day()}

WISH_FILE = _table(
    "a wish file",
    {
        "site": _table("a site", _SITE),
        "wish": Rows(_table("a wish", _WISH, "variety", "trees", "by", "sheet", "species")),
        "seed": Rows(_table("a lot of seed", _SEED, "species", "count", "received")),
        "wood": Rows(_table("a lot of wood", _WOOD, "variety", "buds", "cut")),
        "free": _table(
            "the free days",
            {"weekdays": Words(WEEKDAYS, "day of the week"), "minutes": _number(1, 1440, "min")},
        ),
        "away": Rows(_table("days away", {"from": Day(), "to": Day()}, "from", "to")),
        "room": _table(
            "a room",
            {"callusing_c": _number(-10, 45, "°C"), "refrigerator_c": _number(-10, 20, "°C")},
        ),
    },
    "wish",
)


@dataclass(frozen=True)
class Wish:
    """So many trees of a variety by a day, with a chance; `number` counts the wishes of the file from 1."""

    number: int
    variety: str
    trees: int
    by: date
    sure: float
    sheet: str
    species: str
    experience: str
    purpose: str = ""
    last_frost: date | None = None
    start: int | None = None  # grafts still to make, where that is known otherwise

    @property
    def name(self) -> str:
        """What sentences call it."""
        return f"wish {self.number} ({self.trees} {self.variety})"


@dataclass(frozen=True)
class Seed:
    """Nuts that are there or come, and since when they lie in the cold if they do."""

    species: str
    count: int
    received: date
    chilled: date | None = None
    floated: bool = False


@dataclass(frozen=True)
class Wood:
    """Buds of a variety, and when they were cut."""

    variety: str
    buds: int
    cut: date


@dataclass(frozen=True)
class Room:
    """Temperatures [°C] where unions callus and where nuts are chilled."""

    callusing_c: float = 22.5
    refrigerator_c: float = 3.0


@dataclass(frozen=True)
class Weather:
    """A station's file that the last frost is taken from, and where the wish file names it."""

    file: str
    where: str
    latitude: float | None = None


@dataclass(frozen=True)
class Wishes:
    """A wish file that is in order; `notes` say what was worked out for it."""

    wishes: tuple[Wish, ...]
    seed: tuple[Seed, ...] = ()
    wood: tuple[Wood, ...] = ()
    free: FreeDays = field(default_factory=FreeDays)
    minutes: float = 180.0
    room: Room = field(default_factory=Room)
    weather: Weather | None = None
    time_zone: str = "UTC"
    stocks: Mapping[str, int] = field(default_factory=dict)  # stocks in hand, by genus
    notes: tuple[str, ...] = ()


def read_wishes(paper: Paper, handbook: Handbook, practice: Mapping[str, str] | None = None) -> Wishes:
    """Read a wish file; raises the first complaint, with its line.

    `practice` is the experience with each sheet where the file says none.
    """

    def rules(data: Mapping[str, Any], plain: Mapping[str, Any], paper: Paper) -> Iterator[Trouble]:
        del plain
        yield from _rules(data, paper, handbook)

    return _made(must_read(paper, WISH_FILE, rules).data, paper, practice or {})


def today_in(time_zone: str, now: datetime) -> date:
    """Return the day it is at the bench."""
    return now.astimezone(ZoneInfo(time_zone)).date()


def _rules(data: Mapping[str, Any], paper: Paper, handbook: Handbook) -> Iterator[Trouble]:
    if not data["wish"]:
        yield errors.MissingKey("wish", "a wish file", paper.place(("wish",)))
    if {"last_frost", "weather"} <= data.get("site", {}).keys():
        yield FrostSaidTwice(paper.place(("site", "weather")))
    zones = available_timezones()
    zone = data.get("site", {}).get("time_zone")
    if zone is not None and zone not in zones:
        yield errors.UnknownWord(zone, "time zone", zones, paper.place(("site", "time_zone")))
    genera = {*handbook.species, *(g for sheet in handbook.sheets.values() for g in sheet.genera)} - {ANY}
    for array, key, known in (
        ("wish", "sheet", handbook.sheets), ("wish", "species", genera), ("seed", "species", genera),
    ):  # fmt: skip
        for number, row in enumerate(data.get(array, ())):
            if row[key] not in known:
                yield errors.UnknownWord(row[key], key, known, paper.place((array, number, key)))
    for number, row in enumerate(data.get("away", ())):
        if row["to"] < row["from"]:
            yield AwayBackwards(row["from"], row["to"], paper.place(("away", number, "from")))


def _made(data: Mapping[str, Any], paper: Paper, practice: Mapping[str, str]) -> Wishes:
    site, free = data.get("site", {}), data.get("free", {})
    weekdays = free.get("weekdays", WEEKDAYS)
    return Wishes(
        wishes=tuple(_wish(n, row, site, practice) for n, row in enumerate(data["wish"], 1)),
        seed=tuple(
            Seed(row["species"], row["count"], row["received"], row.get("chilled"), row.get("floated", False))
            for row in data.get("seed", ())
        ),
        wood=tuple(Wood(**row) for row in data.get("wood", ())),
        free=FreeDays(tuple(weekdays), tuple((trip["from"], trip["to"]) for trip in data.get("away", ()))),
        minutes=float(free.get("minutes", 180)),
        room=Room(**data.get("room", {})),
        weather=Weather(site["weather"], paper.place(("site", "weather")), site.get("latitude"))
        if "weather" in site
        else None,
        time_zone=site.get("time_zone", "UTC"),
    )


def _wish(number: int, row: Mapping[str, Any], site: Mapping[str, Any], practice: Mapping[str, str]) -> Wish:
    usual = site.get("experience", practice.get(row["sheet"], "first_time"))
    return Wish(
        number, row["variety"], row["trees"], row["by"], float(row.get("sure", 0.9)), row["sheet"], row["species"],
        row.get("experience", usual), row.get("for", ""), site.get("last_frost"),
    )  # fmt: skip
