"""GHCN-Daily in its two CSV layouts: a line for each day of a station, or for each value.

Format: read-me files of *GHCN-Daily*, NOAA National Centers for Environmental Information. Values
are tenths of °C; a value with a quality flag failed a check and counts as missing.
"""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from graftwright.adapters.files.arrange import WeatherFile, days_between, in_order
from graftwright.adapters.files.complaints import (
    CellsMissing,
    DayUpsideDown,
    NotALatitude,
    NotATemperature,
    NotATime,
    NothingToRead,
    ReadingsDiffer,
    SeveralStations,
    UnitNotSaid,
)
from graftwright.adapters.files.degrees import settled
from graftwright.adapters.files.table import numbered

if TYPE_CHECKING:
    from graftwright.adapters.files.headings import Unit

NO_VALUE = "-9999"
ALWAYS_TENTHS = 140.0  # no air was ever so hot in whole °F
_VALUE_LINE = re.compile(r'"?[A-Z]{2}[A-Z0-9_-]{9}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?,')
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
_PLACE = {"TMIN": 0, "TMAX": 1}


class Record:
    """The extremes of each day of one station, as written, with the line they stood on."""

    def __init__(self) -> None:
        self.station = ""
        self.values: dict[str, list[float]] = {}
        self.lines: dict[str, int] = {}
        self.flagged = 0
        self.decimals = False
        self.latitude: float | None = None

    def add(self, day: str, element: str, text: str, quality: str, line: int) -> None:
        """Note a value; one with a quality flag is counted and left out."""
        bare = text.strip()
        if bare in {"", NO_VALUE}:
            return
        if not _NUMBER.fullmatch(bare):
            raise NotATemperature(bare, line)
        if quality.strip():
            self.flagged += 1
            return
        self.decimals |= "." in bare
        extremes = self.values.setdefault(day, [np.nan, np.nan])
        first = self.lines.setdefault(day, line)
        if not np.isnan(extremes[_PLACE[element]]) and extremes[_PLACE[element]] != float(bare):
            raise ReadingsDiffer(day, first, line)
        extremes[_PLACE[element]] = float(bare)

    def belongs(self, station: str, line: int) -> None:
        """Refuse a second station."""
        if self.station and station != self.station:
            raise SeveralStations(self.station, station, line)
        self.station = station


def is_ghcn(text: str) -> bool:
    """Recognise either layout by its first line."""
    first = text[: text.find("\n")] if "\n" in text else text
    names = _names(first)
    wide = {"STATION", "DATE"} <= set(names) and bool({"TMIN", "TMAX"} & set(names))
    return wide or names[:3] == ["ID", "DATE", "ELEMENT"] or bool(_VALUE_LINE.match(first))


def read_ghcn(text: str, unit: Unit | None) -> WeatherFile:
    """Read either layout."""
    names = _names(text[: text.find("\n")])
    wide = names[:3] != ["ID", "DATE", "ELEMENT"] and "STATION" in names
    record = _by_day(text, names) if wide else _by_value(text)
    if not record.values:
        raise NothingToRead
    used = unit or (_unit_by_day(names, record) if wide else "tenths")
    return _days(record, used)


def _names(line: str) -> list[str]:
    return [cell.strip().strip('"').upper() for cell in line.strip().split(",")]


def _by_day(text: str, names: list[str]) -> Record:
    """Read the layout with a column for each element and one for its flags (measurement, quality, source)."""
    record = Record()
    at = {name: index for index, name in enumerate(names)}
    for line, row in numbered(text, ","):
        if line == 1 or not row:
            continue
        if len(row) != len(names):
            raise CellsMissing(len(row), len(names), line)
        record.belongs(row[at["STATION"]], line)
        for element in _PLACE:
            if element in at:
                flags = row[at[f"{element}_ATTRIBUTES"]].split(",") if f"{element}_ATTRIBUTES" in at else []
                record.add(row[at["DATE"]].strip(), element, row[at[element]], "".join(flags[1:2]), line)
        if "LATITUDE" in at and row[at["LATITUDE"]].strip():
            record.latitude = _latitude(row[at["LATITUDE"]].strip(), line)
    return record


def _latitude(text: str, line: int) -> float:
    if not _NUMBER.fullmatch(text) or abs(float(text)) > 90:
        raise NotALatitude(text, line)
    return float(text)


def _by_value(text: str) -> Record:
    """Read the layout of station, date, element, value and three flags, with or without a heading."""
    record = Record()
    for line, row in numbered(text, ","):
        if not row or row[0].strip().upper() == "ID":
            continue
        if len(row) < 6:
            raise CellsMissing(len(row), 8, line)
        station, day, element, value, _, quality = (cell.strip() for cell in row[:6])
        record.belongs(station, line)
        if element in _PLACE:
            record.add(f"{day[:4]}-{day[4:6]}-{day[6:]}", element, value, quality, line)
    return record


def _unit_by_day(names: list[str], record: Record) -> Unit:
    """Tell the archive's own layout, always in tenths, from exports whose unit its user chose."""
    values = np.array(list(record.values.values()))
    if not record.decimals and (
        names[:2] == ["STATION", "DATE"] or np.nanmax(np.abs(values)) > ALWAYS_TENTHS
    ):
        return "tenths"
    choices = "--unit C or --unit F" if record.decimals else "--unit C, --unit F or --unit tenths"
    raise UnitNotSaid("TMIN" if "TMIN" in names else "TMAX", 1, choices)


def _days(record: Record, unit: Unit) -> WeatherFile:
    lines = [record.lines[day] for day in record.values]
    seconds = np.array([_seconds(day, record.lines[day]) for day in record.values], dtype=np.int64)
    low, high = (settled(column, unit) for column in np.array(list(record.values.values())).T)
    for row in np.flatnonzero(low.celsius > high.celsius)[:1]:
        raise DayUpsideDown(float(low.celsius[row]), float(high.celsius[row]), lines[row])
    broken = int(low.broken.sum() + high.broken.sum())
    shown = "tenths of °C" if unit == "tenths" else f"°{unit}"
    notes = [f"Read station {record.station} of GHCN-Daily in {shown}."]
    if record.flagged + broken:
        notes.append(f"{record.flagged + broken} values that failed a quality check count as missing.")
    ordered, tmin, _ = in_order(seconds, low.celsius, lines)
    _, tmax, _ = in_order(seconds, high.celsius, lines)
    return WeatherFile(days_between(ordered // 86_400, tmin, tmax), tuple(notes), record.latitude)


def _seconds(day: str, line: int) -> int:
    try:
        return int(np.datetime64(date.fromisoformat(day), "s").astype(np.int64))
    except ValueError as trouble:
        raise NotATime(day, line) from trouble
