"""The quick way through a clean file: ISO stamps of one width, a comma, a plain number.

Eight bytes are looked at as one word. Whatever is not exactly of that kind is left to the careful
way by answering None; nothing is mended here.
"""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Words = NDArray[np.uint64]

CHUNK = 1 << 15
NEWLINE, RETURN, COMMA, MINUS, POINT, ZERO = (ord(char) for char in "\n\r,-.0")
MOST_DECIMALS = 4


@dataclass(frozen=True)
class Clean:
    """Seconds since 1970 as written, and the numbers beside them."""

    seconds: NDArray[np.int64]
    numbers: NDArray[np.float64]


class _NotClean(Exception):
    """The file needs the careful way."""


def read_clean(raw: bytes, start: int) -> Clean | None:
    """Read two columns from byte `start` on, or answer None."""
    body = raw[start:] if raw.endswith(b"\n") else raw[start:] + b"\n"
    width = body.find(b",")
    if width not in {16, 19}:
        return None
    try:
        return _read(np.frombuffer(b"00000000" + body, dtype=np.uint8), width)
    except _NotClean:
        return None


def _read(padded: NDArray[np.uint8], width: int) -> Clean:
    """Go through the file in pieces that fit the processor's cache."""
    ends = np.flatnonzero(padded == NEWLINE)
    starts = np.concatenate(([8], ends[:-1] + 1))
    words = np.ndarray((padded.size - 7,), dtype="<u8", buffer=padded, strides=(1,))
    seconds = np.empty(ends.size, dtype=np.int64)
    numbers = np.empty(ends.size)
    for low in range(0, ends.size, CHUNK):
        piece = slice(low, low + CHUNK)
        begin, end = starts[piece], ends[piece]
        end = end - (padded[end - 1] == RETURN)
        _demand(end - begin > width + 1)
        _demand(padded[begin + width] == COMMA)
        seconds[piece] = _seconds(words, padded, begin, width)
        numbers[piece] = _numbers(words[end - 8], end - begin - width - 1)
    return Clean(seconds, numbers)


def _seconds(
    words: Words, padded: NDArray[np.uint8], begin: NDArray[np.int64], width: int
) -> NDArray[np.int64]:
    """Read ``YYYY-MM-DDTHH:MM`` and, where the width says so, ``:SS``."""
    year_month, rest = words[begin], words[begin + 8]
    gap = padded[begin[0] + 10]
    _demand(np.isin(gap, (ord("T"), ord(" "))))
    _demand_digits(year_month, "0000-00-")
    _demand_digits(rest, f"00{chr(gap)}00:00")
    month_start, month_days = _months(year_month)
    day, hour, minute = _two(rest, 0), _two(rest, 3), _two(rest, 6)
    _demand((day >= 1) & (day <= month_days) & (hour <= 23) & (minute <= 59))
    seconds = month_start + ((day - 1) * 24 + hour) * 3600 + minute * 60
    if width == 19:
        tail = words[begin + 11]
        _demand_digits(tail, "00:00:00")
        second = _two(tail, 6)
        _demand(second <= 59)
        seconds = seconds + second
    return seconds


def _months(year_month: Words) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Seconds at which each row's month begins, and its days; one look-up for each run of rows."""
    edges = np.flatnonzero(year_month[1:] != year_month[:-1]) + 1
    firsts = np.concatenate(([0], edges))
    starts, days = zip(*(_month(word) for word in year_month[firsts]), strict=True)
    lengths = np.diff(np.concatenate((firsts, [year_month.size])))
    return np.repeat(starts, lengths), np.repeat(days, lengths)


def _month(word: np.uint64) -> tuple[int, int]:
    text = int(word).to_bytes(8, "little").decode()
    year, month = int(text[:4]), int(text[5:7])
    if year < 1 or not 1 <= month <= 12:
        raise _NotClean
    return int(np.datetime64(text[:7], "s").astype(np.int64)), calendar.monthrange(year, month)[1]


def _numbers(words: Words, width: NDArray[np.int64]) -> NDArray[np.float64]:
    """Read the number in the last `width` bytes of each word: sign, digits, point, decimals."""
    _demand((width >= 1) & (width <= 8))
    shift = ((8 - width) * 8).astype(np.uint64)
    zeros = np.uint64(int.from_bytes(b"00000000", "little"))
    kept = np.uint64(0xFFFFFFFFFFFFFFFF) << shift
    words = (words & kept) | (zeros & ~kept)
    negative = ((words >> shift) & np.uint64(0xFF)) == MINUS
    _demand(~negative | (width >= 2))
    words = words ^ (negative.astype(np.uint64) * np.uint64(MINUS ^ ZERO) << shift)
    decimals = _decimals(words)
    numbers = np.empty(words.size)
    for count in np.unique(decimals):
        chosen = decimals == count
        numbers[chosen] = _eight_digits(_without_point(words[chosen], int(count))) / 10.0**count
    return np.where(negative, -numbers, numbers)


def _decimals(words: Words) -> NDArray[np.int64]:
    """Count the digits behind the point; 0 also where there is none."""
    found = np.zeros(words.size, dtype=np.int64)
    for count in range(1, MOST_DECIMALS + 1):
        found[_byte(words, 7 - count) == POINT] = count
    return found


def _without_point(words: Words, decimals: int) -> Words:
    """Move what stands before the point over it, and a zero in from the left."""
    if decimals == 0:
        return words
    below = np.uint64((1 << 8 * (7 - decimals)) - 1)
    above = ~np.uint64((1 << 8 * (8 - decimals)) - 1)
    return ((words & below) << np.uint64(8)) | (words & above) | np.uint64(ZERO)


def _eight_digits(words: Words) -> NDArray[np.float64]:
    """Add up eight digits two, four and eight at a time."""
    _demand_digits(words, "00000000")
    digits = words & np.uint64(0x0F0F0F0F0F0F0F0F)
    digits = (digits * np.uint64(10) + (digits >> np.uint64(8))) & np.uint64(0x00FF00FF00FF00FF)
    digits = (digits * np.uint64(100) + (digits >> np.uint64(16))) & np.uint64(0x0000FFFF0000FFFF)
    digits = (digits * np.uint64(10_000) + (digits >> np.uint64(32))) & np.uint64(0xFFFFFFFF)
    return digits.astype(np.float64)


def _two(words: Words, place: int) -> NDArray[np.int64]:
    return (_byte(words, place) & 15) * 10 + (_byte(words, place + 1) & 15)


def _byte(words: Words, place: int) -> NDArray[np.int64]:
    return ((words >> np.uint64(8 * place)) & np.uint64(0xFF)).astype(np.int64)


def _demand_digits(words: Words, shape: str) -> None:
    """Refuse words that have not a digit wherever the shape has 0, and else its very signs."""
    digits = bytes(0xFF if char == "0" else 0 for char in shape)
    place = int.from_bytes(digits, "little")
    high = np.uint64(place & 0xF0F0F0F0F0F0F0F0)
    threes = np.uint64(place & 0x3030303030303030)
    six = np.uint64(place & 0x0606060606060606)
    signs = np.uint64(int.from_bytes(shape.encode(), "little") & ~place)
    _demand((words & ~np.uint64(place)) == signs)
    _demand((words & high) == threes)
    _demand(((words + six) & high) == threes)


def _demand(holds: NDArray[np.bool_] | np.bool_) -> None:
    if not np.all(holds):
        raise _NotClean
