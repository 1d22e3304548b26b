"""How long units lasted, group by group, from exact times or from times between two looks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import inf, isfinite, isnan
from typing import TYPE_CHECKING

from graftwright.actions.counts import check_filled, whole_numbers
from graftwright.errors import ContentComplaint
from graftwright.science.findings.table import sort_levels
from graftwright.science.lasting.bands import bootstrap_band
from graftwright.science.lasting.compare import log_rank, permutation_log_rank
from graftwright.science.lasting.kaplan_meier import half_gone, kaplan_meier
from graftwright.science.lasting.rows import Rows
from graftwright.science.lasting.turnbull import turnbull

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

LEAST_MASS = 1e-7
NEVER = {"", "inf", "+inf", "infinity"}


@dataclass(frozen=True)
class Question:
    """Which columns hold the two looks, the first day, the count and the group."""

    left: str
    right: str
    start: str | None = None
    count: str | None = None
    group: str | None = None

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column the question needs."""
        named = (self.left, self.right, self.start, self.count, self.group)
        return tuple(dict.fromkeys(name for name in named if name))


@dataclass(frozen=True)
class Step:
    """Survival just after `to`; what was lost, was lost after `from_` and by `to`."""

    from_: float
    to: float
    survival: float
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Group:
    """The curve of one group; `half` is when half were gone, None while more than half are left."""

    name: str
    n: int
    steps: list[Step]
    half: float | None


@dataclass(frozen=True)
class Difference:
    """Whether groups last differently."""

    p: float
    test: str
    chi_square: float
    freedom: int


@dataclass(frozen=True)
class Lasting:
    """The answer: a curve for each group, and their difference where there is more than one."""

    groups: list[Group]
    difference: Difference | None
    method: str


class NotATime(ContentComplaint):
    """A time is neither a number nor, with first days, a date."""

    def __init__(self, column: str, value: str, line: int, *, dated: bool) -> None:
        wanted = "a date like 2031-05-28" if dated else "a number from 0"
        do = "Mend that row." if dated else "Mend that row, or name the column of first days with --start."
        super().__init__(f"{column} is {wanted}, not {value}.", where=f"line {line}", do=do)


class EndsTooSoon(ContentComplaint):
    """The last look alive comes after the first that saw it gone, or before the first day."""

    def __init__(self, left: str, right: str, line: int) -> None:
        super().__init__(
            f"A unit cannot be alive at {left} and gone by {right}.",
            where=f"line {line}",
            do="Mend that row.",
        )


def find_lasting(values: Mapping[str, Sequence[str]], lines: Sequence[int], question: Question) -> Lasting:
    """Answer how long units lasted from columns as read; `lines` say where each row stands."""
    left, right = _looks(values, lines, question)
    counts = (
        whole_numbers(values[question.count], lines, question.count) if question.count else [1] * len(left)
    )
    names = _group_names(values, lines, question)
    levels = sort_levels(names)
    places = {level: number for number, level in enumerate(levels)}
    rows = Rows.of(left, right, counts, [places[name] for name in names])
    groups = [_group(name, rows.of_group(number)) for number, name in enumerate(levels)]
    difference = _difference(rows) if len(levels) > 1 else None
    method = "Kaplan-Meier, Greenwood" if rows.exact else "Turnbull, bootstrap"
    return Lasting(groups, difference, f"{method}, 90 % at each time")


def _group_names(
    values: Mapping[str, Sequence[str]], lines: Sequence[int], question: Question
) -> Sequence[str]:
    if question.group is None:
        return ["all"] * len(lines)
    check_filled(values[question.group], lines, question.group)
    return values[question.group]


def _looks(
    values: Mapping[str, Sequence[str]], lines: Sequence[int], question: Question
) -> tuple[list[float], list[float]]:
    left, right = values[question.left], values[question.right]
    starts = values[question.start] if question.start else [None] * len(left)
    lefts, rights = [], []
    for low, high, start, line in zip(left, right, starts, lines, strict=True):
        day = _day(question.start or "", start, line) if start is not None else None
        lower = 0.0 if low == "" else _time(question.left, low, day, line)
        upper = inf if high.lower() in NEVER else _time(question.right, high, day, line)
        if not 0.0 <= lower <= upper:
            raise EndsTooSoon(low or "the first day", high, line)
        lefts.append(lower)
        rights.append(upper)
    return lefts, rights


def _day(column: str, value: str, line: int) -> date:
    try:
        return date.fromisoformat(value)
    except ValueError:
        raise NotATime(column, value or "empty", line, dated=True) from None


def _time(column: str, value: str, start: date | None, line: int) -> float:
    if start is not None:
        return float((_day(column, value, line) - start).days)
    try:
        number = float(value)
    except ValueError:
        raise NotATime(column, value, line, dated=False) from None
    if not isfinite(number):
        raise NotATime(column, value, line, dated=False)
    return number


def _group(name: str, rows: Rows) -> Group:
    steps = _exact_steps(rows) if rows.exact else _interval_steps(rows)
    half = half_gone([step.to for step in steps], [step.survival for step in steps])
    return Group(name, int(rows.counts.sum()), steps, None if isnan(half) else half)


def _exact_steps(rows: Rows) -> list[Step]:
    curve = kaplan_meier(rows.left, rows.died, rows.counts)
    times = curve.deaths.times.tolist()
    parts = (curve.survival.tolist(), map(_known, curve.low.tolist()), map(_known, curve.high.tolist()))
    return [Step(*row) for row in zip(times, times, *parts, strict=True)]


def _known(value: float) -> float | None:
    return None if isnan(value) else value


def _interval_steps(rows: Rows) -> list[Step]:
    found = turnbull(rows.left, rows.right, rows.counts)
    inner = found.innermost
    low, high = bootstrap_band(rows.left, rows.right, rows.counts, inner.rights)
    parts = (inner.lefts, inner.rights, found.survival, low, high, found.masses)
    return [
        Step(*row[:5])
        for row in zip(*(part.tolist() for part in parts), strict=True)
        if row[5] > LEAST_MASS and isfinite(row[1])
    ]


def _difference(rows: Rows) -> Difference:
    if rows.exact:
        seen, test = log_rank(rows.left, rows.died, rows.counts, rows.groups), "log-rank"
    else:
        seen = permutation_log_rank(rows.left, rows.right, rows.counts, rows.groups)
        test = "sun-permutation"
    return Difference(seen.p, test, seen.chi_square, seen.freedom)
