"""The last frost of a wish file that names a station's file instead of a day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from graftwright.errors import ContentComplaint, FileComplaint, Trouble

if TYPE_CHECKING:
    from collections.abc import Callable

    from graftwright.actions.wish_file import Weather, Wishes
    from graftwright.science.series import Record

FROST_C = 0.0
RISK = 0.1  # of a later frost

Read = tuple["Record", float | None]  # a record, and the latitude if its file gives one


class WeatherUnusable(ContentComplaint):
    """The station's file cannot be read, or holds no spring."""

    def __init__(self, weather: Weather, trouble: Trouble) -> None:
        said = trouble.sentence[:1].lower() + trouble.sentence[1:].rstrip(".")
        reason = "it cannot be read" if isinstance(trouble, FileComplaint) else said
        line = f" ({trouble.where})" if trouble.where else ""
        super().__init__(
            f"No last frost can be taken from '{weather.file}': {reason}{line}.",
            where=weather.where,
            do="Put the file right, or give 'last_frost' instead.",
        )


def with_last_frost(wishes: Wishes, read: Callable[[str], Read]) -> Wishes:
    """Give each wish the last frost of its spring, if the wish file names a station's file."""
    weather = wishes.weather
    if weather is None:
        return wishes
    try:
        record, latitude = read(weather.file)
        return _with(wishes, weather, record, latitude)
    except Trouble as trouble:
        raise WeatherUnusable(weather, trouble) from None


def _with(wishes: Wishes, weather: Weather, record: Record, latitude: float | None) -> Wishes:
    from graftwright.actions.weather import frost_dates
    from graftwright.science.frost_levels import level_day

    south = ((latitude if weather.latitude is None else weather.latitude) or 0.0) < 0
    law = frost_dates(record, FROST_C, south=south).spring
    day = level_day(law, RISK)
    springs = "1 spring" if len(law.days) == 1 else f"{len(law.days)} springs"
    if day is None:
        said = f"In {springs} of {weather.file} too few had frost to wait for one: hardening waits for none."
        return replace(wishes, notes=(*wishes.notes, said))
    dated = tuple(replace(wish, last_frost=last_frost(wish.by, day, south=south)) for wish in wishes.wishes)
    days = " and ".join(sorted({str(wish.last_frost) for wish in dated}))
    said = (
        f"Last frost {days}, from {springs} of {weather.file}: 1 in 10 has {FROST_C:g} °C or less after it."
    )
    return replace(wishes, wishes=dated, notes=(*wishes.notes, said))


def last_frost(by: date, day: float, *, south: bool) -> date:
    """Return the day of the year as a date of the spring that a wish belongs to.

    South of the equator the year is counted from 1 July on, as its springs are.
    """
    year = by.year if not south or by.month >= 7 else by.year - 1
    plain = date(2001, 7 if south else 1, 1) + timedelta(days=round(day) - 1)  # in years without a leap day
    return plain.replace(year=plain.year - 2001 + year)
