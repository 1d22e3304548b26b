"""Sums and chances from a record of temperatures: chill, degree-days, frost dates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from graftwright.errors import ContentComplaint, ValueComplaint
from graftwright.science import chill, degree_days, frost, frost_levels
from graftwright.science.series import Days, bridged_hours, days_of, hours_of, rebuilt_hours

if TYPE_CHECKING:
    from datetime import date

    from graftwright.science.frost import FrostLaw, Season
    from graftwright.science.series import Gap, Hours, Record

    Window = tuple[date | None, date | None]

Model = Literal["hours", "utah", "dynamic"]
Method = Literal["average", "average-lifted", "triangle", "sine"]

USUAL_BRIDGE_H = 3
CHANCES = tuple(tenth / 10 for tenth in range(1, 10))
MODELS = {
    "hours": (chill.chill_hours, "h"),
    "utah": (chill.utah_units, "units"),
    "dynamic": (chill.dynamic_portions, "portions"),
}
METHODS = {
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

    def __init__(self, gap: Gap) -> None:
        bridge = "" if gap.at_end else f"--missing bridge:{gap.hours} draws a line over them, "
        plural = "hour is" if gap.hours == 1 else "hours are"
        super().__init__(
            f"From {gap.start} on {gap.hours} {plural} missing.",
            do=f"Choose what to do: {bridge}--missing skip leaves them out.",
        )


class NothingInWindow(ValueComplaint):
    """The window holds nothing of the record."""

    def __init__(self, record: Record) -> None:
        first, last = record.span
        super().__init__(
            "The days asked for hold no temperature.",
            where=f"the file goes from {first} to {last}",
            do="Change --from and --to.",
        )


class ExtremeNeeded(ContentComplaint):
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
    record: Record,
    model: Model,
    *,
    latitude: float | None = None,
    window: Window = (None, None),
    missing: Missing | None = None,
) -> Chill:
    """Sum the chill of a window of days, both ends in it."""
    policy = missing or Missing()
    known, filled = (hours.within(window) for hours in hours_and_filled(record, latitude, policy))
    if filled.known.size == 0:
        raise NothingInWindow(record)
    gap = filled.longest_gap()
    if gap and not policy.skip:
        raise HoursMissing(gap)
    function, unit = MODELS[model]
    total = float(function(filled.known).sum())
    return Chill(model, total, unit, filled.known.size, known.missing)


def sum_degree_days(
    record: Record,
    base_c: float,
    method: Method,
    *,
    upper_c: float | None = None,
    window: Window = (None, None),
) -> DegreeDays:
    """Sum the warmth of a window of days; missing days are left out and counted."""
    every = days_of(record)
    if every.lacks:
        raise ExtremeNeeded(every.lacks)
    days = every.within(window)
    low, high = days.whole
    if low.size == 0:
        raise NothingInWindow(record)
    warmth = METHODS[method](low, high, base_c, upper_c)
    return DegreeDays(float(warmth.sum()), low.size, days.tmin_c.size - low.size)


def frost_dates(
    record: Record, threshold_c: float, *, south: bool = False, window: Window = (None, None)
) -> FrostDates:
    """Fit the last frost of spring and the first of autumn."""
    days = days_of(record).within(window)
    if days.lacks == "lowest":
        raise NothingInWindow(record)

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


def hours_and_filled(record: Record, latitude: float | None, policy: Missing) -> tuple[Hours, Hours]:
    """Return the hours as they are and with short gaps bridged; daily extremes are bridged by whole days."""
    longest = 0 if policy.skip else policy.bridge_h
    if not isinstance(record, Days):
        hours = hours_of(record)
        return hours, bridged_hours(hours, longest)
    if latitude is None:
        raise LatitudeNeeded
    if record.lacks:
        raise ExtremeNeeded(record.lacks)
    return rebuilt_hours(record, latitude), rebuilt_hours(record, latitude, longest // 24)
