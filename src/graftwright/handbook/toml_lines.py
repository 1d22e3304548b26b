"""Where in a TOML text each key stands, so that a complaint can name its line.

The standard reader gives values without their places. This scanner reads no values: it walks a
text that is already known to be TOML and notes the line of every key, those of inline tables and
the rows of arrays included.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from itertools import accumulate

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_PLAIN_VALUE = re.compile(r"[^,\]}\n#]*")
_STRING = re.compile(
    r"""
      \"{3} (?: \\. | [^\\] )*? \"{3,5} (?!\")
    | '{3} .*? '{3,5} (?!')
    | \" (?: \\. | [^"\\] )* \"
    | ' [^']* '
    """,
    re.DOTALL | re.VERBOSE,
)


def key_lines(text: str) -> dict[Path, int]:
    """Line (from 1) of each key of a valid TOML text; rows of arrays are numbered from 0."""
    scanner = _Scanner(text)
    scanner.document()
    return scanner.lines


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self._rows: dict[Path, int] = {}
        self._line_ends = list(accumulate(len(line) + 1 for line in text.split("\n")))

    def document(self) -> None:
        table: Path = ()
        while self._next():
            table = self._header() if self._next() == "[" else self._pair(table)

    def _next(self) -> str:
        """Go to the next character that is neither blank nor comment; empty at the end of the text."""
        self.at = self._skip(_BLANK)
        return self.text[self.at : self.at + 1]

    def _skip(self, pattern: re.Pattern[str]) -> int:
        found = pattern.match(self.text, self.at)
        return found.end() if found else self.at

    def _mark(self, path: Path) -> None:
        line = bisect_right(self._line_ends, self.at) + 1
        for length in range(1, len(path) + 1):
            self.lines.setdefault(path[:length], line)

    def _header(self) -> Path:
        of_rows = self.text.startswith("[[", self.at)
        self.at += 2 if of_rows else 1
        *outer, last = self._key()
        path = self._row_of((*self._inside(outer), last), new=of_rows)
        self._mark(path)
        self.at = self.text.index("]", self.at) + (2 if of_rows else 1)
        return path

    def _inside(self, parts: list[str]) -> Path:
        """Follow a header's outer parts; where one names an array, its latest row is meant."""
        path: Path = ()
        for part in parts:
            path = self._row_of((*path, part), new=False)
        return path

    def _row_of(self, path: Path, *, new: bool) -> Path:
        if new:
            self._rows[path] = self._rows.get(path, -1) + 1
        return (*path, self._rows[path]) if path in self._rows else path

    def _key(self) -> list[str]:
        parts = [self._key_part()]
        while self._next() == ".":
            self.at += 1
            parts.append(self._key_part())
        return parts

    def _key_part(self) -> str:
        quoted = self._next() in {'"', "'"}
        start, self.at = self.at, self._skip(_STRING if quoted else _BARE_KEY)
        return self.text[start + 1 : self.at - 1] if quoted else self.text[start : self.at]

    def _pair(self, table: Path) -> Path:
        start = self.at
        path = (*table, *self._key())
        resume, self.at = self.at, start
        self._mark(path)
        self.at = self.text.index("=", resume) + 1
        self._value(path)
        return table

    def _value(self, path: Path) -> None:
        opening = self._next()
        if opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline_table(path)
        else:
            self.at = self._skip(_STRING if opening in {'"', "'"} else _PLAIN_VALUE)

    def _array(self, path: Path) -> None:
        self.at += 1
        row = 0
        while self._next() != "]":
            self._mark((*path, row))
            self._value((*path, row))
            row += 1
            self._comma()
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        while self._next() != "}":
            self._pair(path)
            self._comma()
        self.at += 1

    def _comma(self) -> None:
        if self._next() == ",":
            self.at += 1
