"""Values of the handbook typed by hand: numbers, spans, shares, units, words."""

from __future__ import annotations

from typing import Any

import pytest

from graftwright.errors import ContentComplaint
from graftwright.handbook.fields import Flag, Number, Span, Word
from graftwright.handbook.paper import Paper
from graftwright.handbook.typed import read_typed

DAYS = Number(0.1, 3660.0, "d")
WARMTH = Span(-10.0, 45.0, "°C")
SHARE = Number(0.001, 0.999)


@pytest.mark.parametrize(
    ("kind", "typed", "value"),
    [
        (DAYS, "9", 9),
        (DAYS, "9.5", 9.5),
        (DAYS, "9,5", 9.5),
        (DAYS, "+9 d", 9),
        (DAYS, "9 days", 9),
        (DAYS, "1 Day", 1),
        (Number(-60.0, 60.0, "°C"), "-3", -3),
        (Number(-60.0, 60.0, "°C"), "-3.5 C", -3.5),
        (Number(1, 10, "d", whole=True), "4", 4),
        (WARMTH, "20 to 24", [20, 24]),
        (WARMTH, "20 24", [20, 24]),
        (WARMTH, "20-24", [20, 24]),
        (WARMTH, "20 - 24 °C", [20, 24]),
        (WARMTH, "20,24", [20, 24]),
        (WARMTH, "20,5 to 24,5", [20.5, 24.5]),
        (WARMTH, "[20, 24]", [20, 24]),
        (WARMTH, "-8 -3", [-8, -3]),
        (WARMTH, "-8 to -3", [-8, -3]),
        (WARMTH, "20 \N{EN DASH} 24", [20, 24]),
        (SHARE, "0.7", 0.7),
        (SHARE, "70 %", 0.7),
        (SHARE, "70 percent", 0.7),
        (Flag(), "yes", True),
        (Flag(), "No", False),
        (Word(), "six pin holes", "six pin holes"),
    ],
)
def test_what_people_type_is_read(kind: Any, typed: str, value: Any) -> None:
    read = read_typed(kind, typed, "value")
    assert read == value
    assert type(read) is type(value)
    assert list(kind.check_value(read, ("days",), Paper("value"))) == []


@pytest.mark.parametrize(
    ("kind", "typed", "sentence"),
    [
        (DAYS, "soon", "'days' must be a number."),
        (DAYS, "9 10", "'days' must be a number."),
        (DAYS, "9" * 40, "'days' must be a number."),
        (DAYS, "1e3", "'days' must be a number."),
        (DAYS, "nan", "'days' must be a number."),
        (DAYS, "0", "'days' is 0 d; it must lie between 0.1 and 3660 d."),
        (DAYS, "9 weeks", "The unit here is d, not 'weeks'."),
        (SHARE, "70", "'days' is 70; it must lie between 0.001 and 0.999."),
        (SHARE, "0.7 d", "'days' must be a number."),
        (WARMTH, "22", "'days' must be a pair [from, to] of numbers."),
        (WARMTH, "24 to 20", "'days' runs from 24 down to 20."),
        (WARMTH, "68 to 75 F", "The unit here is °C, not 'F'."),
        (Number(1, 10, whole=True), "4.5", "'days' must be a whole number."),
        (Flag(), "perhaps", "'days' must be true or false."),
        (Word(("usual", "slow")), "quick", "'quick' is no days."),
    ],
)
def test_what_cannot_stand_is_said_as_of_a_file(kind: Any, typed: str, sentence: str) -> None:
    def read() -> None:
        for trouble in kind.check_value(read_typed(kind, typed, "value"), ("days",), Paper("value")):
            raise trouble

    with pytest.raises(ContentComplaint) as told:
        read()
    assert told.value.sentence == sentence
