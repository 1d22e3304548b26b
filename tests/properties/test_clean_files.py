"""The quick way through clean files answers like the careful one, or leaves the file to it."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from graftwright.adapters.files.clean_csv import read_clean

HEAD = b"time,temperature_c\n"


def body(rows: list[str], end: str = "\n") -> bytes:
    return HEAD + end.join([*rows, ""]).encode()


def read(raw: bytes):
    return read_clean(raw, len(HEAD))


@pytest.mark.parametrize("seconds", [False, True])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("gap", ["T", " "])
def test_equal_to_the_language_itself(seconds: bool, end: str, gap: str) -> None:
    """Against `datetime64` and `float` of every row; 70,000 rows are more than two pieces."""
    random = Random(8)
    moments = np.datetime64("1999-12-31T23:59:58") + np.cumsum(
        np.array([random.randrange(1, 90_000) for _ in range(70_000)], dtype="timedelta64[s]")
    )
    texts = [str(moment)[: 19 if seconds else 16].replace("T", gap) for moment in moments]
    values = [
        f"{'-' if random.random() < 0.3 else ''}{random.randrange(10 ** random.randrange(1, 4))}"
        + (f".{random.randrange(10**places):0{places}}" if (places := random.randrange(5)) else "")
        for _ in texts
    ]
    rows = [f"{text},{value}" for text, value in zip(texts, values, strict=True) if len(value) <= 8]
    clean = read(body(rows, end))
    assert clean is not None
    columns = list(zip(*(row.split(",") for row in rows), strict=True))
    expected = np.array([text.replace(" ", "T") for text in columns[0]], dtype="datetime64[s]")
    np.testing.assert_array_equal(clean.seconds, expected.astype(np.int64))
    np.testing.assert_array_equal(clean.numbers, np.array([float(value) for value in columns[1]]))


GOOD = "2024-02-29T12:30,3.5"


@pytest.mark.parametrize(
    "row",
    [
        "2023-02-29T12:30,3.5",
        "2024-13-01T12:30,3.5",
        "2024-00-01T12:30,3.5",
        "2024-02-00T12:30,3.5",
        "2024-02-28T24:30,3.5",
        "2024-02-28T12:60,3.5",
        "2024-02-28T12:3o,3.5",
        "2024/02/28T12:30,3.5",
        "2024-02-28 12:30,3.5",
        "2024-02-28T12:30;3.5",
        "2024-02-28T12:30Z,3.5",
        "2024-02-28T12:30,",
        "2024-02-28T12:30,-",
        "2024-02-28T12:30,3.5.1",
        "2024-02-28T12:30,3-5",
        "2024-02-28T12:30,+3.5",
        "2024-02-28T12:30,1e3",
        "2024-02-28T12:30,nan",
        "2024-02-28T12:30, 3.5",
        '2024-02-28T12:30,"3,5"',
        "2024-02-28T12:30,3.5,4",
        "2024-02-28T12:30,3:5",
        "2024-02-28T12:30,3/5",
        "2024-02-28T12:30,123456789",
        "2024-02-28T12:30,3.1415926",
        "",
        "the end",
    ],
)
def test_whatever_is_not_clean_is_left_alone(row: str) -> None:
    assert read(body([GOOD])) is not None
    assert read(body([GOOD, row, GOOD])) is None
    assert read(body([GOOD, row])) is None


def test_a_last_line_without_an_end_counts() -> None:
    clean = read(HEAD + GOOD.encode())
    assert clean is not None
    assert clean.numbers.tolist() == [3.5]
    assert read(HEAD) is None
