"""Counts and dates as people wrote them: read with the line they stand on, or refused with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.errors import ContentComplaint

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


class NotACount(ContentComplaint):
    """A value is not a whole number of at least zero."""

    def __init__(self, column: str, value: str, line: int) -> None:
        what = f"not {value}" if value else "and is empty"
        super().__init__(
            f"{column} is a whole number of at least 0, {what}.", where=f"line {line}", do="Mend that row."
        )


class MoreTakenThanMade(ContentComplaint):
    """More took than were made."""

    def __init__(self, taken: int, made: int, line: int) -> None:
        super().__init__(
            f"{taken} took of {made} made.", where=f"line {line}", do="Put the two counts right."
        )


class NoLevel(ContentComplaint):
    """A row does not say which level it belongs to."""

    def __init__(self, column: str, line: int) -> None:
        super().__init__(
            f"There is no {column} here.", where=f"line {line}", do="Fill it in, or leave the row out."
        )


class NothingMade(ContentComplaint):
    """Every row has made 0."""

    def __init__(self, column: str) -> None:
        super().__init__(f"{column} is 0 in every row.", do="There is nothing to learn from yet.")


def counts(
    values: Mapping[str, Sequence[str]], lines: Sequence[int], taken: str, made: str
) -> tuple[list[int], list[int]]:
    """Read the two counts of every row, and see that every other column has a value."""
    for name, column in values.items():
        if name not in {taken, made}:
            check_filled(column, lines, name)
    took, tried = whole_numbers(values[taken], lines, taken), whole_numbers(values[made], lines, made)
    for row, (some, whole) in enumerate(zip(took, tried, strict=True)):
        if some > whole:
            raise MoreTakenThanMade(some, whole, lines[row])
    if not any(tried):
        raise NothingMade(made)
    return took, tried


def check_filled(values: Sequence[str], lines: Sequence[int], column: str) -> None:
    """See that every row says its level."""
    if "" in values:
        raise NoLevel(column, lines[list(values).index("")])


def whole_numbers(values: Sequence[str], lines: Sequence[int], column: str) -> list[int]:
    """Read whole numbers of at least zero; the first that is not one is refused with its line."""
    try:
        numbers = [int(value) for value in values]
    except ValueError:
        numbers = [_whole(value) for value in values]
    for row, number in enumerate(numbers):
        if number < 0:
            raise NotACount(column, values[row], lines[row])
    return numbers


def _whole(text: str) -> int:
    """Read a whole number, also where a spreadsheet wrote 8.0; below zero where it is none."""
    try:
        number = float(text)
        return int(number) if number == int(number) else -1
    except (ValueError, OverflowError):
        return -1
