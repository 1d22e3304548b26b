"""Sums and chances from a file of temperatures: chill, degree-days, frost dates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from graftwright.actions.weather_series import Days, Hours, days_of, hours_of
from graftwright.errors import ContentComplaint, ValueComplaint
from graftwright.science import chill, degree_days, frost, frost_levels
from graftwright.science.gaps import bridged, gaps
from graftwright.science.hourly import hours_from_extremes

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from numpy.typing import NDArray

    from graftwright.actions.weather_series import Weather
    from graftwright.science.frost import FrostLaw, Season

    Floats = NDArray[np.float64]

Model = Literal["hours", "utah", "dynamic"]
Method = Literal["average", "average-lifted", "triangle", "sine"]

USUAL_BRIDGE_H = 3
CHANCES = tuple(tenth / 10 for tenth in range(1, 10))
MODELS: dict[Model, tuple[Callable[[Floats], Floats], str]] = {
    "hours": (chill.chill_hours, "h"),
    "utah": (chill.utah_units, "units"),
    "dynamic": (chill.dynamic_portions, "portions"),
}
METHODS: dict[Method, Callable[[Floats, Floats, float, float | None], Floats]] = {
    "average": degree_days.average,
    "average-lifted": degree_days.average_lifted,
    "triangle": degree_days.single_triangle,
    "sine": degree_days.single_sine,
}


class LatitudeNeeded(ValueComplaint):
    """Hours are rebuilt from daily extremes, which needs the length of the days."""

    def __init__(self) -> None:
        super().__init__(
            "A daily file needs the latitude of its place, from which the hours are rebuilt.",
            do="Add --latitude, for example --latitude 50.4.",
        )


class HoursMissing(ContentComplaint):
    """A gap is longer than the policy lets pass."""

    def __init__(self, first: np.datetime64, hours: int, at_end: bool) -> None:
        time = str(first.astype("datetime64[h]")).replace("T", " ") + ":00"
        bridge = "" if at_end else f"--missing bridge:{hours} draws a line over them, "
        plural = "hour is" if hours == 1 else "hours are"
        super().__init__(
            f"From {time} on {hours} {plural} missing.",
            do=f"Choose what to do: {bridge}--missing skip leaves them out.",
        )


class NothingInWindow(ValueComplaint):
    """The window holds nothing of the record."""

    def __init__(self, first: object, last: object) -> None:
        super().__init__(
            "The days asked for hold no temperature.",
            where=f"the file goes from {first} to {last}",
            do="Change --from and --to.",
        )


class HighestNeeded(ContentComplaint):
    """A daily file lacks one of the two extremes."""

    def __init__(self, lacking: str) -> None:
        super().__init__(f"The file has no {lacking} temperatures.", do="Bring both tmin_c and tmax_c.")


@dataclass(frozen=True)
class Missing:
    """What to do about missing hours: bridge gaps up to so many hours, or skip them all."""

    bridge_h: int = USUAL_BRIDGE_H
    skip: bool = False


@dataclass(frozen=True)
class Chill:
    """A chill sum and what it was made from."""

    model: Model
    total: float
    unit: str
    hours: int
    missing_hours: int


@dataclass(frozen=True)
class DegreeDays:
    """A sum of degree-days and what it was made from."""

    total: float
    days: int
    missing_days: int


@dataclass(frozen=True)
class FrostDates:
    """The laws of both seasons; None where no such season is complete."""

    threshold_used_c: float
    south: bool
    spring: FrostLaw
    autumn: FrostLaw | None


def sum_chill(
    weather: Weather,
    model: Model,
    *,
    latitude: float | None = None,
    window: tuple[date | None, date | None] = (None, None),
    missing: Missing | None = None,
) -> Chill:
    """Sum the chill of a window of days, both ends in it."""
    policy = missing or Missing()
    north = weather.latitude if latitude is None else latitude
    known, filled = filled_hours(weather, north, policy)
    known, filled = _windowed(known, window), _windowed(filled, window)
    if np.isnan(filled.celsius).all():
        raise NothingInWindow(*_span(weather))
    lacking = gaps(filled.celsius)
    if lacking and not policy.skip:
        start, length = max(lacking, key=lambda gap: gap[1])
        at_end = start == 0 or start + length == filled.celsius.size
        raise HoursMissing(filled.first + start, length, at_end)
    used = filled.celsius[~np.isnan(filled.celsius)]
    function, unit = MODELS[model]
    total = float(function(used).sum())
    return Chill(model, total, unit, used.size, int(np.isnan(known.celsius).sum()))


def sum_degree_days(
    weather: Weather,
    base_c: float,
    method: Method,
    *,
    upper_c: float | None = None,
    window: tuple[date | None, date | None] = (None, None),
) -> DegreeDays:
    """Sum the warmth of a window of days; missing days are left out and counted."""
    days = _days_within(days_of(weather), window)
    for lacking, extreme in (("lowest", days.tmin_c), ("highest", days.tmax_c)):
        if np.isnan(extreme).all():
            raise HighestNeeded(lacking)
    known = ~(np.isnan(days.tmin_c) | np.isnan(days.tmax_c))
    if not known.any():
        raise NothingInWindow(*_span(weather))
    warmth = METHODS[method](days.tmin_c[known], days.tmax_c[known], base_c, upper_c)
    return DegreeDays(float(warmth.sum()), int(known.sum()), int((~known).sum()))


def frost_dates(
    weather: Weather,
    threshold_c: float,
    *,
    latitude: float | None = None,
    window: tuple[date | None, date | None] = (None, None),
) -> FrostDates:
    """Fit the last frost of spring and the first of autumn."""
    north = weather.latitude if latitude is None else latitude
    south = north is not None and north < 0
    days = _days_within(days_of(weather), window)
    if np.isnan(days.tmin_c).all():
        raise NothingInWindow(*_span(weather))

    def law(season: Season) -> FrostLaw:
        return frost.frost_law(days.dates, days.tmin_c, threshold_c, season, south=south)

    spring = law("spring")
    try:
        autumn = law("autumn")
    except frost.NoWholeSeason:
        autumn = None
    return FrostDates(frost.threshold_used_c(threshold_c), south, spring, autumn)


def frost_as_json(dates: FrostDates) -> dict[str, object]:
    """Return the value that scripts receive."""
    return {
        "years": len(dates.spring.days),
        "share_with_frost": dates.spring.share,
        "threshold_used_c": dates.threshold_used_c,
        "spring": _season(dates.spring, south=dates.south),
        "autumn": _season(dates.autumn, south=dates.south),
        "method": "two-part normal",
    }


def frost_chance(dates: FrostDates, season: Season, month_and_day: str) -> dict[str, object]:
    """Say how likely a spring frost after a day, or an autumn frost before it, still is."""
    law = dates.spring if season == "spring" else dates.autumn
    day = frost_levels.day_number(month_and_day, south=dates.south)
    interval = frost_levels.chance_interval(law, day) if law else None
    low, high = interval or (None, None)
    chance = frost_levels.chance_beyond(law, day) if law else None
    return {"day": month_and_day, "chance": chance, "low": low, "high": high}


def _season(law: FrostLaw | None, *, south: bool) -> dict[str, object]:
    if law is None:
        names = ["share_with_frost", *(_name(chance) for chance in CHANCES), "mean_day", "sd_days"]
        return {"years": 0, **dict.fromkeys(names)}

    def written(day: float | None) -> str | None:
        return None if day is None else frost_levels.month_day(day, south=south)

    intervals = frost_levels.level_intervals(law, CHANCES)
    return {
        "years": len(law.days),
        "share_with_frost": law.share,
        **{_name(chance): written(frost_levels.level_day(law, chance)) for chance in CHANCES},
        "mean_day": law.mean_day,
        "sd_days": law.sd_days,
        "intervals": {
            _name(chance): [written(low), written(high)]
            for chance, (low, high) in zip(CHANCES, intervals, strict=True)
        },
        "empirical": {
            _name(chance): written(frost_levels.empirical_level_day(law, chance)) for chance in CHANCES
        },
    }


def _name(chance: float) -> str:
    return f"{100 * chance:.0f}"


def filled_hours(weather: Weather, latitude: float | None, policy: Missing) -> tuple[Hours, Hours]:
    """Return the hours as they are and with short gaps bridged; daily extremes are bridged by whole days."""
    longest = 0 if policy.skip else policy.bridge_h
    if not isinstance(weather, Days):
        hours = hours_of(weather)
        return hours, Hours(hours.first, bridged(hours.celsius, longest))
    if latitude is None:
        raise LatitudeNeeded
    if np.isnan(weather.tmax_c).all():
        raise HighestNeeded("highest")
    low, high = (bridged(extreme, longest // 24) for extreme in (weather.tmin_c, weather.tmax_c))
    return (
        _rebuilt(weather, weather.tmin_c, weather.tmax_c, latitude),
        _rebuilt(weather, low, high, latitude),
    )


def _rebuilt(days: Days, low: Floats, high: Floats, latitude: float) -> Hours:
    dates = days.dates
    numbers = (dates - dates.astype("datetime64[Y]")).astype(int) + 1
    hours = hours_from_extremes(low, high, numbers, latitude)
    return Hours(days.first.astype("datetime64[h]"), hours.ravel())


def _windowed(hours: Hours, window: tuple[date | None, date | None]) -> Hours:
    """Cut to whole days of the window; where the record is shorter, hours are missing."""
    first = hours.first if window[0] is None else np.datetime64(window[0], "h")
    end = hours.first + hours.celsius.size if window[1] is None else np.datetime64(window[1], "h") + 24
    celsius = np.full(max(int((end - first).astype(int)), 0), np.nan)
    shift = int((hours.first - first).astype(int))
    source = slice(max(-shift, 0), max(celsius.size - shift, 0))
    piece = hours.celsius[source]
    celsius[max(shift, 0) : max(shift, 0) + piece.size] = piece
    return Hours(first, celsius)


def _days_within(days: Days, window: tuple[date | None, date | None]) -> Days:
    first = days.first if window[0] is None else max(days.first, np.datetime64(window[0], "D"))
    last = days.dates[-1] if window[1] is None else min(days.dates[-1], np.datetime64(window[1], "D"))
    low, high = (int((edge - days.first).astype(int)) for edge in (first, last + 1))
    piece = slice(low, max(high, low))
    return Days(first, days.tmin_c[piece], days.tmax_c[piece], days.notes, days.latitude)


def _span(weather: Weather) -> tuple[object, object]:
    times = weather.dates if isinstance(weather, Days) else weather.times.astype("datetime64[D]")
    return times[0], times[-1]
