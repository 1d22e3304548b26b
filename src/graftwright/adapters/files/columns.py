"""Named columns of a table file, each value with the line it stands on."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from graftwright.errors import ContentComplaint, FileComplaint

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

SEPARATORS = (",", ";", "\t")


@dataclass(frozen=True)
class Columns:
    """Columns read from a file: values as written, without the blanks round them."""

    path: str
    values: dict[str, list[str]]
    lines: list[int]

    def __len__(self) -> int:
        """Return the number of rows."""
        return len(self.lines)


class NoSuchFile(FileComplaint):
    """The file is not there or cannot be opened."""

    def __init__(self, path: str) -> None:
        super().__init__(f"The file {path} cannot be opened.", do="Check its name and folder.")


class NotText(FileComplaint):
    """The file is not a text table."""

    def __init__(self, path: str) -> None:
        super().__init__(f"{path} is not a text table.", do="Save it as CSV (UTF-8) and try again.")


class NoSuchColumn(ContentComplaint):
    """A column that was asked for is not in the header."""

    def __init__(self, name: str, path: str, header: Sequence[str]) -> None:
        close = get_close_matches(name, header, n=1)
        meant = f"Did you mean {close[0]}?" if close else f"It has: {', '.join(header)}."
        super().__init__(f"There is no column {name}.", where=f"{path}, line 1", do=meant)


class ColumnTwice(ContentComplaint):
    """A column that was asked for stands in the header twice."""

    def __init__(self, name: str, path: str) -> None:
        super().__init__(
            f"The column {name} is there twice.", where=f"{path}, line 1", do="Give each column its own name."
        )


class ShortRow(ContentComplaint):
    """A row has another number of fields than the header."""

    def __init__(self, path: str, line: int, fields: int, wanted: int) -> None:
        super().__init__(
            f"This row has {fields} fields and the header {wanted}.",
            where=f"{path}, line {line}",
            do="Mend that row.",
        )


class NoRows(ContentComplaint):
    """The file has a header at most."""

    def __init__(self, path: str) -> None:
        super().__init__("There is no row to read.", where=path, do="Give a file with a header and rows.")


def read_columns(path: str, names: Sequence[str]) -> Columns:
    """Read the named columns of a comma, semicolon or tab separated file; other columns are left."""
    try:
        with Path(path).open(newline="", encoding="utf-8-sig") as file:
            first = file.readline()
            separator = max(SEPARATORS, key=first.count)
            file.seek(0)
            return _read(path, csv.reader(file, delimiter=separator), names)
    except (UnicodeDecodeError, csv.Error):
        raise NotText(path) from None
    except OSError:
        raise NoSuchFile(path) from None


def _read(path: str, reader: Iterator[list[str]], names: Sequence[str]) -> Columns:
    header = [name.strip() for name in next(reader, [])]
    places = [_place(name, path, header) for name in names]
    values: dict[str, list[str]] = {name: [] for name in names}
    filled = list(zip(places, values.values(), strict=True))
    lines: list[int] = []
    wanted = len(header)
    for row in reader:
        if len(row) != wanted:
            if not any(field.strip() for field in row):
                continue
            raise ShortRow(path, reader.line_num, len(row), wanted)  # type: ignore[attr-defined]
        lines.append(reader.line_num)  # type: ignore[attr-defined]
        for place, column in filled:
            column.append(row[place].strip())
    if not lines:
        raise NoRows(path)
    return Columns(path, values, lines)


def _place(name: str, path: str, header: list[str]) -> int:
    if name not in header:
        raise NoSuchColumn(name, path, header)
    if header.count(name) > 1:
        raise ColumnTwice(name, path)
    return header.index(name)
