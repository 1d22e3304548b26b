"""`graftwright weather`: sums and chances from a station's or logger's file."""

from __future__ import annotations

import re
from dataclasses import asdict
from datetime import date
from typing import TYPE_CHECKING, Any, get_args

import click

from graftwright.actions.cutting import Shares, cutting_window
from graftwright.actions.weather import (
    Method,
    Missing,
    Model,
    frost_as_json,
    frost_chance,
    sum_chill,
    sum_degree_days,
)
from graftwright.actions.weather import frost_dates as find_frosts
from graftwright.adapters.files.stamps import ORDERS
from graftwright.adapters.files.weather import Told, read_weather
from graftwright.cli.output import answer
from graftwright.errors import ValueComplaint, as_typed

if TYPE_CHECKING:
    from collections.abc import Callable

    from graftwright.actions.cutting import CuttingWindow
    from graftwright.adapters.files.arrange import WeatherFile
    from graftwright.adapters.files.headings import Unit
    from graftwright.adapters.files.stamps import Order

UNITS = ("C", "F", "tenths")


class NotADay(ValueComplaint):
    """A day is not written as one."""

    def __init__(self, text: str) -> None:
        super().__init__(f"'{as_typed(text)}' is not a date.", do="Write it like 2027-03-01.")


class NotAPolicy(ValueComplaint):
    """What to do about missing hours is not one of the known ways."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"'{as_typed(text)}' is no way to treat missing hours.",
            do="Write skip, or bridge: and a number of hours.",
        )


def file_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the file and what may have to be said about it."""
    for option in (
        click.argument("file"),
        click.option("--unit", type=click.Choice(UNITS), help="Unit of the file, where it does not say."),
        click.option("--dates", type=click.Choice(ORDERS), help="Order of day, month and year."),
        click.option("--time-zone", metavar="NAME", help="Zone whose clock the file follows."),
        click.option("--column", metavar="NAME", help="Which thermometer, where there are several."),
        click.pass_context,
    )[::-1]:
        command = option(command)
    return command


def window_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the days to look at, both ends in."""
    last = click.option("--to", "last", metavar="DATE", help="Last day.")
    return click.option("--from", "first", metavar="DATE", help="First day.")(last(command))


@click.group()
def weather() -> None:
    """Chill, degree-days and frost dates from a file of temperatures."""


@weather.command()
@file_options
@window_options
@click.option("--model", type=click.Choice(get_args(Model)), required=True, help="How chill is counted.")
@click.option("--latitude", type=float, metavar="D", help="Latitude in degrees, for daily files.")
@click.option("--missing", metavar="POLICY", help="bridge:N hours, or skip; bridge:3 if not given.")
def chill(
    ctx: click.Context,
    file: str,
    model: Model,
    latitude: float | None,
    missing: str | None,
    **said: Any,
) -> None:
    """Chill hours, Utah units or dynamic-model portions."""
    read = read_weather(file, _told(said))
    policy = _policy(missing)
    found = sum_chill(
        read.record, model, latitude=_latitude(read, latitude), window=_window(said), missing=policy
    )
    line = f"{found.total:.1f} {found.unit} from {found.hours} hours"
    if found.missing_hours:
        done = "left out" if policy.skip else "bridged"
        line += f"; {found.missing_hours} missing hours {done}"
    answer(ctx, asdict(found) | {"notes": list(read.notes)}, "\n".join([line + ".", *read.notes]))


@weather.command(name="degree-days")
@file_options
@window_options
@click.option("--base", type=float, required=True, metavar="C", help="Base in °C.")
@click.option("--upper", type=float, metavar="C", help="Upper threshold in °C, a horizontal cut-off.")
@click.option("--method", type=click.Choice(get_args(Method)), required=True, help="Shape of a day.")
def degree_days(
    ctx: click.Context, file: str, base: float, upper: float | None, method: Method, **said: Any
) -> None:
    """Sum of warmth above a base."""
    read = read_weather(file, _told(said))
    found = sum_degree_days(read.record, base, method, upper_c=upper, window=_window(said))
    line = f"{found.total:.1f} degree-days (°C) from {found.days} days"
    if found.missing_days:
        line += f"; {found.missing_days} missing days left out, so the true sum is higher"
    answer(ctx, asdict(found) | {"notes": list(read.notes)}, "\n".join([line + ".", *read.notes]))


@weather.command()
@file_options
@window_options
@click.option("--threshold", type=float, required=True, metavar="C", help="Frost is at or below this, °C.")
@click.option("--latitude", type=float, metavar="D", help="Latitude in degrees; negative turns the year.")
@click.option("--after", metavar="MM-DD", help="Chance of a spring frost after this day.")
@click.option("--before", metavar="MM-DD", help="Chance of an autumn frost before this day.")
def frost(
    ctx: click.Context,
    file: str,
    threshold: float,
    latitude: float | None,
    after: str | None,
    before: str | None,
    **said: Any,
) -> None:
    """Chances of a later spring frost and an earlier autumn frost."""
    read = read_weather(file, _told(said))
    south = (_latitude(read, latitude) or 0.0) < 0
    found = find_frosts(read.record, threshold, south=south, window=_window(said))
    value: dict[str, Any] = frost_as_json(found)
    if after:
        value["after"] = frost_chance(found, "spring", after)
    if before:
        value["before"] = frost_chance(found, "autumn", before)
    answer(ctx, value | {"notes": list(read.notes)}, "\n".join([*_frost_lines(value), *read.notes]))


@weather.command()
@file_options
@click.option(
    "--portions", type=float, required=True, metavar="N", help="Chill need, dynamic-model portions."
)
@click.option(
    "--forcing", type=float, required=True, metavar="GDH", help="Growing-degree hours to bud break."
)
@click.option("--latitude", type=float, metavar="D", help="Latitude in degrees, for daily files.")
@click.option(
    "--leaf-fall", default="11-01", metavar="MM-DD", help="Day the chill begins, 11-01 if not said."
)
@click.option("--chilled", type=float, default=70.0, metavar="PCT", help="Chill at which cutting may begin.")
@click.option("--forced", type=float, default=25.0, metavar="PCT", help="Forcing at which cutting must end.")
def cutting(
    ctx: click.Context,
    file: str,
    portions: float,
    forcing: float,
    latitude: float | None,
    leaf_fall: str,
    chilled: float,
    forced: float,
    **said: Any,
) -> None:
    """When the site's winters let scionwood be cut."""
    read = read_weather(file, _told(said))
    shares = Shares(chilled / 100, forced / 100)
    found = cutting_window(
        read.record, portions, forcing, shares, leaf_fall=leaf_fall, latitude=_latitude(read, latitude)
    )
    answer(ctx, asdict(found) | {"notes": list(read.notes)}, "\n".join([*_cutting_lines(found), *read.notes]))


def _cutting_lines(found: CuttingWindow) -> list[str]:
    rows = [f"from {found.winters} winters; 8 in 10 lie between the dates in brackets"]
    for what, days in (("cut from", found.opens), ("cut until", found.closes)):
        low, likely, high = (day or "never" for day in (days.low, days.likely, days.high))
        rows.append(f"{what:9} {likely} ({low} to {high})")
    if found.left_out:
        rows.append(f"{found.left_out} winters with gaps were left out.")
    return rows


def _frost_lines(value: dict[str, Any]) -> list[str]:
    rows = [f"at or below {value['threshold_used_c']:g} °C, {value['years']} springs"]
    rows.append(f"{'chance':>7}  {'later in spring':17} {'earlier in autumn'}")
    for name in (f"{tenth}0" for tenth in range(1, 10)):
        spring, autumn = (value[season].get(name) or "never" for season in ("spring", "autumn"))
        rows.append(f"{name:>5} %  {spring:17} {autumn}")
    for season in ("spring", "autumn"):
        share = value[season]["share_with_frost"]
        if share is not None and share < 1:
            rows.append(f"{round(100 * share)} % of {value[season]['years']} {season}s had any frost.")
    for side, season in (("after", "spring"), ("before", "autumn")):
        if side in value and value[side]["chance"] is not None:
            rows.append(
                f"{round(100 * value[side]['chance'])} % chance of {value['threshold_used_c']:g} °C {side} "
                f"{value[side]['day']}; {value[season]['years']} years of record."
            )
    return rows


def _told(said: dict[str, Any]) -> Told:
    unit: Unit | None = said["unit"]
    order: Order | None = said["dates"]
    return Told(unit, order, said["time_zone"], said["column"])


def _latitude(read: WeatherFile, said: float | None) -> float | None:
    return read.latitude if said is None else said


def _window(said: dict[str, Any]) -> tuple[date | None, date | None]:
    return _day(said["first"]), _day(said["last"])


def _day(text: str | None) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as trouble:
        raise NotADay(text) from trouble


def _policy(text: str | None) -> Missing:
    if text is None:
        return Missing()
    if text == "skip":
        return Missing(skip=True)
    hours = re.fullmatch(r"bridge:(\d{1,4})", text)
    if hours is None:
        raise NotAPolicy(text)
    return Missing(bridge_h=int(hours[1]))
