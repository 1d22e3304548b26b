"""The bench's site: its name, its days, and the date it is there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from graftwright.errors import ValueComplaint
from graftwright.ledger.due import WEEKDAYS, FreeDays

if TYPE_CHECKING:
    from collections.abc import Iterable

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.things import Thing


class NoSuchZone(ValueComplaint):
    """A time zone that does not exist."""

    key = "time_zone"

    def __init__(self, name: str) -> None:
        super().__init__(
            f"There is no time zone '{name}'.",
            where="time_zone",
            do="Type it as Europe/Paris or America/New_York.",
        )


class NoSuchWeekday(ValueComplaint):
    """A word that is no day of the week."""

    key = "free_days"

    def __init__(self, word: str) -> None:
        super().__init__(
            f"'{word}' is no day of the week.", where="free_days", do=f"Use: {' '.join(WEEKDAYS)}."
        )


class NoSuchLatitude(ValueComplaint):
    """A latitude beyond the poles."""

    key = "latitude"

    def __init__(self, latitude: float) -> None:
        super().__init__(
            f"{latitude:g} is no latitude: they run from -90 to 90, south negative.",
            where="latitude",
            do="Type it again.",
        )


@dataclass(frozen=True)
class Site:
    """What the notebook says of its own bench."""

    name: str
    zone: str
    southern: bool
    free: FreeDays
    demo_date: date | None
    minutes: float = 180.0  # on a free day
    last_frost: date | None = None  # its usual day, in any year

    def today(self, now: datetime) -> date:
        """Return the bench's local day; a demo lives on its own date."""
        return self.demo_date or now.astimezone(ZoneInfo(self.zone)).date()


def read_zone(name: str) -> str:
    """Check the name of a time zone."""
    try:
        return ZoneInfo(name).key
    except (KeyError, ValueError, OSError):
        raise NoSuchZone(name) from None


def read_weekdays(text: str) -> tuple[str, ...]:
    """Read days of the week, such as 'sat sun'; nothing means every day."""
    words = text.lower().replace(",", " ").split()
    for word in words:
        if word[:3] not in WEEKDAYS:
            raise NoSuchWeekday(word)
    chosen = {word[:3] for word in words}
    return tuple(day for day in WEEKDAYS if day in chosen) or WEEKDAYS


def read_latitude(latitude: float) -> float:
    """Check a latitude."""
    if not -90 <= latitude <= 90:
        raise NoSuchLatitude(latitude)
    return latitude


def site_of(described: Iterable[Thing], aways: Iterable[Entry]) -> Site:
    """Join what was said of the site, of the settings and of the days away."""
    said = {thing.kind: thing for thing in described}
    site, settings = said.get("site"), said.get("settings")
    zone = str(site.get("time_zone", "UTC")) if site else "UTC"
    latitude = float(site.get("latitude", 50.0)) if site else 50.0
    days = read_weekdays(str(site.get("free_days", ""))) if site else WEEKDAYS
    trips = tuple((date.fromisoformat(e.get("from_day")), date.fromisoformat(e.get("to_day"))) for e in aways)
    demo = settings.get("demo_date") if settings else None
    return Site(
        name=site.name if site else "My book", zone=zone, southern=latitude < 0, free=FreeDays(days, trips),
        demo_date=date.fromisoformat(demo) if demo else None,
        minutes=float(site.get("minutes", 180)) if site else 180.0,
        last_frost=date.fromisoformat(site.get("last_frost")) if site and site.get("last_frost") else None,
    )  # fmt: skip
