"""Weather and logger files: hourly or daily, in the spellings that stations and loggers write."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from graftwright.adapters.files.arrange import WeatherFile, days_between, in_order, stuck_notes
from graftwright.adapters.files.clean_csv import read_clean
from graftwright.adapters.files.complaints import (
    DayUpsideDown,
    NoHeading,
    NoSuchColumn,
    NothingToRead,
    SeveralColumns,
    UnitNotSaid,
)
from graftwright.adapters.files.degrees import read_degrees, settled
from graftwright.adapters.files.ghcn import is_ghcn, read_ghcn
from graftwright.adapters.files.stamps import Stamps, read_stamps
from graftwright.adapters.files.table import decoded, file_bytes, layout_of, rows_of
from graftwright.adapters.files.zones import from_clock, from_offsets, zone_named
from graftwright.science.series import Readings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from graftwright.adapters.files.degrees import Degrees
    from graftwright.adapters.files.headings import Heading, Role, Unit
    from graftwright.adapters.files.stamps import Order
    from graftwright.adapters.files.table import Layout, Rows

    Seconds = NDArray[np.int64]

HEAD_BYTES = 100_000
ORDER_WORDS = {"ymd": "year-month-day", "dmy": "day-month-year", "mdy": "month-day-year"}


@dataclass(frozen=True)
class Told:
    """What the person says about the file, where the file does not."""

    unit: Unit | None = None
    order: Order | None = None
    zone: str | None = None
    column: str | None = None


def read_weather(path: str, told: Told | None = None) -> WeatherFile:
    """Read a file of hourly readings or daily extremes."""
    told = told or Told()
    raw = file_bytes(path)
    text = decoded(raw[: raw.rfind(b"\n", 0, HEAD_BYTES) + 1] or raw)
    if is_ghcn(text):
        return read_ghcn(decoded(raw), told.unit)
    layout = layout_of(text)
    columns = _columns(layout, told)
    quick = _quick(raw, layout, columns, told)
    return quick or _careful(decoded(raw), layout, columns, told)


def _quick(raw: bytes, layout: Layout, columns: dict[Role, Heading], told: Told) -> WeatherFile | None:
    """Try the way of clean files: two columns, nothing that needs a zone."""
    plain = [heading.role for heading in layout.columns] == ["stamp", "temperature"]
    start = raw.find(b"\n") + 1
    if not plain or len(layout.cells) != 2 or layout.line != 1 or start == 0:
        return None
    if told.zone or columns["stamp"].offset_s is not None or told.order not in {None, "ymd"}:
        return None
    clean = read_clean(raw, start)
    if clean is None:
        return None
    degrees = settled(clean.numbers, _unit(columns["temperature"], layout.line, told))
    notes = _notes(columns["temperature"], told, "ymd", degrees)
    return _readings(clean.seconds, degrees, range(2, clean.seconds.size + 2), notes)


def _careful(text: str, layout: Layout, columns: dict[Role, Heading], told: Told) -> WeatherFile:
    rows = rows_of(text, layout)
    if not rows.cells:
        raise NothingToRead
    stamps = _stamps(rows, columns, told)
    daily = "tmin" in columns and not ("temperature" in columns and stamps.with_clock)
    if daily:
        return _days(rows, layout, columns, told, stamps)
    if "temperature" not in columns or not stamps.with_clock:
        raise NoHeading
    heading = columns["temperature"]
    degrees = _degrees(rows, heading, layout, told)
    seconds = _standard_time(stamps, columns, told, rows.lines)
    notes = _notes(heading, told, stamps.order, degrees)
    return _readings(seconds, degrees, rows.lines, notes)


def _readings(seconds: Seconds, degrees: Degrees, lines: Sequence[int], notes: list[str]) -> WeatherFile:
    seconds, celsius, dropped = in_order(seconds, degrees.celsius, lines)
    if np.isnan(celsius).all():
        raise NothingToRead
    if dropped:
        notes.append(f"{dropped} readings stood there twice and count once.")
    notes.extend(stuck_notes(seconds, celsius))
    return WeatherFile(Readings(seconds.astype("datetime64[s]"), celsius), tuple(notes))


def _days(
    rows: Rows, layout: Layout, columns: dict[Role, Heading], told: Told, stamps: Stamps
) -> WeatherFile:
    low = _degrees(rows, columns["tmin"], layout, told)
    high = (
        _degrees(rows, columns["tmax"], layout, told)
        if "tmax" in columns
        else replace(low, celsius=low.celsius * np.nan)
    )
    for row in np.flatnonzero(low.celsius > high.celsius)[:1]:
        raise DayUpsideDown(float(low.celsius[row]), float(high.celsius[row]), rows.lines[row])
    seconds, tmin, dropped = in_order(stamps.seconds, low.celsius, rows.lines)
    _, tmax, _ = in_order(stamps.seconds, high.celsius, rows.lines)
    if np.isnan(tmin).all():
        raise NothingToRead
    notes = _notes(columns["tmin"], told, stamps.order, low)
    if dropped:
        notes.append(f"{dropped} days stood there twice and count once.")
    return WeatherFile(days_between(seconds // 86_400, tmin, tmax), tuple(notes))


def _columns(layout: Layout, told: Told) -> dict[Role, Heading]:
    """Take one column for each role; where several could be meant the person says which."""
    found: dict[Role, Heading] = {}
    wanted = told.column.strip().casefold() if told.column else None
    if wanted and wanted not in {cell.strip().casefold() for cell in layout.cells}:
        raise NoSuchColumn(told.column or "", layout.line)
    for heading in layout.columns:
        same = [other for other in layout.columns if other.role == heading.role]
        named = [other for other in same if other.name.casefold() == wanted]
        if len(same) > 1 and not named:
            raise SeveralColumns(_said(heading.role), [other.name for other in same], layout.line)
        found[heading.role] = (named or same)[0]
    return found


def _said(role: Role) -> str:
    return {"tmin": "lowest temperature", "tmax": "highest temperature", "stamp": "time"}.get(role, role)


def _stamps(rows: Rows, columns: dict[Role, Heading], told: Told) -> Stamps:
    """Join the columns that say when."""
    if "stamp" in columns:
        texts = _column(rows, columns["stamp"])
    elif "date" in columns:
        texts = _column(rows, columns["date"])
    else:
        parts = [_column(rows, columns[name]) for name in ("year", "month", "day")]
        texts = ["-".join(part.strip() for part in each) for each in zip(*parts, strict=True)]
    if "clock" in columns and "stamp" not in columns:
        clocks = (clock.strip() for clock in _column(rows, columns["clock"]))
        texts = [
            f"{text.strip()} {clock if ':' in clock else clock + ':00'}"
            for text, clock in zip(texts, clocks, strict=True)
        ]
    return read_stamps(texts, rows.lines, told.order)


def _column(rows: Rows, heading: Heading) -> list[str]:
    return [cells[heading.index] for cells in rows.cells]


def _degrees(rows: Rows, heading: Heading, layout: Layout, told: Told) -> Degrees:
    return read_degrees(_column(rows, heading), rows.lines, _unit(heading, layout.line, told))


def _unit(heading: Heading, line: int, told: Told) -> Unit:
    unit = told.unit or heading.unit
    if unit is None:
        raise UnitNotSaid(heading.name, line)
    return unit


def _standard_time(stamps: Stamps, columns: dict[Role, Heading], told: Told, lines: Sequence[int]) -> Seconds:
    zone = zone_named(told.zone) if told.zone else None
    if stamps.offsets_s is not None:
        return from_offsets(stamps.seconds, stamps.offsets_s, zone)
    said = next((h.offset_s for h in columns.values() if h.offset_s is not None), None)
    if said is not None:
        return from_offsets(stamps.seconds, np.full(stamps.seconds.size, said), zone)
    return from_clock(stamps.seconds, zone, lines) if zone else stamps.seconds


def _notes(heading: Heading, told: Told, order: Order, degrees: Degrees) -> list[str]:
    """Say how the file was understood."""
    unit = told.unit or heading.unit
    comma = ", decimal comma" if degrees.decimal_comma else ""
    notes = [f"Read '{heading.name}' in °{unit}{comma}; dates as {ORDER_WORDS[order]}."]
    if degrees.broken.any():
        count = int(degrees.broken.sum())
        notes.append(f"{count} values that no air has (a broken sensor's) count as missing.")
    return notes
