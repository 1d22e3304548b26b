"""From bytes to cells: encoding, separator, and the line that names the columns."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING

from graftwright.adapters.files.complaints import CellsMissing, CellsUnclear, FileNotReadable, NoHeading
from graftwright.adapters.files.headings import headings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.adapters.files.headings import Heading

LONGEST_PREAMBLE = 60
SEPARATORS = (";", "\t", ",", "|")


@dataclass(frozen=True)
class Layout:
    """Where the heading stands, counted from 1, what separates cells, and the columns of use."""

    line: int
    separator: str
    cells: tuple[str, ...]
    columns: tuple[Heading, ...]


@dataclass(frozen=True)
class Rows:
    """The cells below the heading, and the line each row stands on."""

    cells: list[list[str]]
    lines: list[int]


def file_bytes(path: str) -> bytes:
    """Read a file whole."""
    try:
        return Path(path).read_bytes()
    except OSError as trouble:
        raise FileNotReadable(path) from trouble


def decoded(raw: bytes) -> str:
    """Turn bytes into text with plain line ends."""
    return _text(raw).replace("\r\n", "\n").replace("\r", "\n")


def _text(raw: bytes) -> str:
    """Decode by the mark of the file, else as UTF-8, else as the old western code page."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", errors="replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def layout_of(text: str) -> Layout:
    """Find the first line that names a time and a temperature, whatever separates its cells."""
    for number, line in enumerate(_first_lines(text), 1):
        for separator in SEPARATORS:
            if separator not in line:
                continue
            cells = next(iter(numbered(line, separator)), (1, []))[1]
            columns = headings(cells)
            if _names_weather(columns):
                return Layout(number, separator, tuple(cells), tuple(columns))
    raise NoHeading


def rows_of(text: str, layout: Layout) -> Rows:
    """Split everything below the heading; blank lines do not count."""
    cells: list[list[str]] = []
    lines: list[int] = []
    wanted = len(layout.cells)
    for line, row in numbered(text, layout.separator):
        if line <= layout.line or not any(cell.strip() for cell in row):
            continue
        while len(row) > wanted and not row[-1].strip():
            row.pop()
        if len(row) != wanted:
            raise CellsMissing(len(row), wanted, line)
        cells.append(row)
        lines.append(line)
    return Rows(cells, lines)


def numbered(text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    """Split text into rows, each with the number of its line."""
    reader = csv.reader(StringIO(text), delimiter=separator, skipinitialspace=True)
    try:
        for row in reader:
            yield reader.line_num, row
    except csv.Error as trouble:
        raise CellsUnclear(reader.line_num) from trouble


def _first_lines(text: str) -> list[str]:
    end = 0
    for _ in range(LONGEST_PREAMBLE):
        end = text.find("\n", end) + 1
        if end == 0:
            return text.splitlines()
    return text[:end].splitlines()


def _names_weather(columns: list[Heading]) -> bool:
    roles = {column.role for column in columns}
    timed = bool(roles & {"stamp", "date"}) or {"year", "month", "day"} <= roles
    return timed and bool(roles & {"temperature", "tmin", "tmax"})
