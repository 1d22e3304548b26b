"""Kinds of field a TOML file may have, and what each refuses, with file and line.

A schema is a `Table` of fields. A field that is `sourced` holds knowledge: it must be able to say
where it comes from, and may be written bare or as `{ value = …, source = …, grade = … }`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from graftwright.handbook import errors
from graftwright.handbook.values import ORIGIN

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from graftwright.errors import Trouble
    from graftwright.handbook.paper import Paper
    from graftwright.handbook.toml_lines import Path

GRADES = ("measured", "review", "practice", "memory", "assumed", "own")
# What a source that is no publication can be worth.
UNPUBLISHED = {
    "common practice": ("practice", "memory"),
    "first guess": ("assumed",),
    "own records": ("own",),
}


@dataclass(frozen=True)
class Field:
    """A single value. `sourced` says whether it is knowledge that needs a source."""

    sourced: bool = field(default=False, kw_only=True)

    @property
    def wanted(self) -> str:
        """How the value should look, in words."""
        raise NotImplementedError

    def check(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """All that is wrong with the value at `path`."""
        if self.sourced and isinstance(value, dict):
            bare = replace(self, sourced=False)
            yield from Table(f"'{path[-1]}'", {"value": bare}, ("value",)).check(value, path, paper)
        else:
            yield from self.check_value(value, path, paper)

    def check_value(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """All that is wrong with the bare value."""
        if not self.fits(value):
            yield errors.WrongKind(_name(path), self.wanted, paper.place(path))

    def fits(self, value: Any) -> bool:
        """Whether the value is of the right kind."""
        raise NotImplementedError


@dataclass(frozen=True)
class Number(Field):
    """A number within its range, in the one unit this key has."""

    low: float
    high: float
    unit: str = ""
    whole: bool = False
    sourced: bool = field(default=True, kw_only=True)

    @property
    def wanted(self) -> str:
        """Whole or not."""
        return "a whole number" if self.whole else "a number"

    def fits(self, value: Any) -> bool:
        """Whole or any number; true and false are none."""
        kinds = int if self.whole else (int, float)
        return isinstance(value, kinds) and not isinstance(value, bool)

    def check_value(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """Kind and range."""
        yield from super().check_value(value, path, paper)
        if self.fits(value) and not self.low <= value <= self.high:
            yield errors.OutOfRange(_name(path), value, (self.low, self.high), self.unit, paper.place(path))


@dataclass(frozen=True)
class Span(Number):
    """Two numbers, the smaller first."""

    @property
    def wanted(self) -> str:
        """A pair, whole or not."""
        return f"a pair [from, to] of {'whole numbers' if self.whole else 'numbers'}"

    def fits(self, value: Any) -> bool:
        """Exactly two numbers."""
        return isinstance(value, list) and len(value) == 2 and all(Number.fits(self, one) for one in value)

    def check_value(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """Kind, range of both ends, and their order."""
        if not self.fits(value):
            yield errors.WrongKind(_name(path), self.wanted, paper.place(path))
            return
        for end in value:
            yield from Number.check_value(_bare(self), end, path, paper)
        if value[0] > value[1]:
            yield errors.BackwardSpan(_name(path), value[0], value[1], paper.place(path))


def _bare(span: Span) -> Number:
    return Number(span.low, span.high, span.unit, span.whole)


@dataclass(frozen=True)
class Word(Field):
    """Text; one of a fixed list where there is one."""

    choices: tuple[str, ...] = ()
    called: str = ""

    @property
    def wanted(self) -> str:
        """Text."""
        return "text"

    def fits(self, value: Any) -> bool:
        """Text that says something."""
        return isinstance(value, str) and bool(value.strip())

    def check_value(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """Kind, and the fixed list."""
        yield from super().check_value(value, path, paper)
        if self.fits(value) and self.choices and value not in self.choices:
            yield errors.UnknownWord(value, self.called or _name(path), self.choices, paper.place(path))


@dataclass(frozen=True)
class Key(Word):
    """A name that other files and dotted paths may use."""

    @property
    def wanted(self) -> str:
        """What a name is made of."""
        return "a name of letters, digits, spaces and hyphens"

    def fits(self, value: Any) -> bool:
        """Nothing that a dotted path could stumble over."""
        return isinstance(value, str) and re.fullmatch(r"\w[\w -]*", value) is not None


@dataclass(frozen=True)
class Words(Word):
    """A list of texts."""

    @property
    def wanted(self) -> str:
        """Texts."""
        return "a list of texts"

    def fits(self, value: Any) -> bool:
        """Only a list in which each one is text."""
        return isinstance(value, list) and all(Word.fits(self, one) for one in value)

    def check_value(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """Kind, and the fixed list for each."""
        yield from Field.check_value(self, value, path, paper)
        for one in value if self.fits(value) and self.choices else ():
            if one not in self.choices:
                yield errors.UnknownWord(one, self.called or _name(path), self.choices, paper.place(path))


@dataclass(frozen=True)
class Flag(Field):
    """Yes or no."""

    @property
    def wanted(self) -> str:
        """Yes or no."""
        return "true or false"

    def fits(self, value: Any) -> bool:
        """Nothing but true and false."""
        return isinstance(value, bool)


@dataclass(frozen=True)
class Anything(Field):
    """A value whose kind another schema decides."""

    @property
    def wanted(self) -> str:
        """Never asked for."""
        return "a value"

    def fits(self, value: Any) -> bool:  # noqa: ARG002
        """Any value will do here."""
        return True


@dataclass(frozen=True)
class Table:
    """Named fields, some of which must be there."""

    name: str
    keys: Mapping[str, AnyField]
    needs: tuple[str, ...] = ()
    sourced: bool = True
    unit: str = ""

    def check(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """All that is wrong with the table and what is in it."""
        if not isinstance(value, dict):
            yield errors.WrongKind(_name(path), "a table", paper.place(path))
            return
        for key in value:
            if key not in self.known():
                yield errors.UnknownKey(key, self.name, self.known(), paper.place((*path, key)))
        for key in self.needs:
            if key not in value:
                yield errors.MissingKey(key, self.name, paper.place(path))
        if self.sourced:
            yield from check_origin(value, path, paper)
        if self.unit and value.get("unit", self.unit) != self.unit:
            yield errors.WrongUnit(str(value["unit"]), self.unit, paper.place((*path, "unit")))
        for key, kind in self.of_these(value):
            yield from kind.check(value[key], (*path, key), paper)

    def of_these(self, given: Mapping[str, Any]) -> list[tuple[str, AnyField]]:
        """Give the fields of the keys that are there, in their order."""
        return [(key, self.keys[key]) for key in given if key in self.keys]

    def known(self) -> tuple[str, ...]:
        """Every key that may stand here."""
        return (*self.keys, *(ORIGIN if self.sourced else ()), *(("unit",) if self.unit else ()))


@dataclass(frozen=True)
class Rows:
    """An array of tables, each named by its key `named_by`, else by its number.

    `told_by` puts a row into words, where its number would say nothing.
    """

    of: Table
    named_by: str = ""
    told_by: str = ""

    def check(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """All that is wrong with any row."""
        if not isinstance(value, list):
            yield errors.WrongKind(_name(path), "a list of tables", paper.place(path))
            return
        for number, row in enumerate(value):
            yield from self.of.check(row, (*path, number), paper)


@dataclass(frozen=True)
class Named:
    """Tables under names of the writer's choice, such as one for each genus."""

    of: Table

    def check(self, value: Any, path: Path, paper: Paper) -> Iterator[Trouble]:
        """All that is wrong with any of the tables."""
        if not isinstance(value, dict):
            yield errors.WrongKind(_name(path), "a table", paper.place(path))
            return
        for name, table in value.items():
            yield from self.of.check(table, (*path, name), paper)


AnyField = Field | Table | Rows | Named

_ORIGIN_FIELDS: dict[str, Field] = {
    "source": Word(),
    "grade": Word(GRADES),
    "scope": Word(),
    "doubtful": Flag(),
    "note": Word(),
}


def check_origin(given: Mapping[str, Any], path: Path, paper: Paper) -> Iterator[Trouble]:
    """All that is wrong with a source, its grade, or the two together."""
    for key in filter(given.__contains__, ORIGIN):
        yield from _ORIGIN_FIELDS[key].check(given[key], (*path, key), paper)
    for one, other in (("source", "grade"), ("grade", "source")):
        if one in given and other not in given:
            yield errors.SourceWithoutGrade(one, other, paper.place((*path, one)))
    source, grade = given.get("source"), given.get("grade")
    allowed = UNPUBLISHED.get(str(source), GRADES[:4])
    if grade in GRADES and source is not None and grade not in allowed:
        yield errors.GradeAgainstSource(str(source), allowed, str(grade), paper.place((*path, "grade")))


def _name(path: Path) -> str:
    """Name what stands at a path by its key; the `value` of a key goes by that key, rows by their array."""
    if len(path) > 1 and path[-1] == "value" and isinstance(path[-2], str):
        return path[-2]
    return next((part for part in reversed(path) if isinstance(part, str)), "the file")
