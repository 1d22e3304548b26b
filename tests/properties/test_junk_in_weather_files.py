"""Whatever happens to a weather file, it is read or refused in a sentence; nothing else escapes."""

from __future__ import annotations

from contextlib import suppress
from random import Random
from typing import TYPE_CHECKING

import pytest

from graftwright.actions.cutting import Shares, cutting_window
from graftwright.actions.weather import Missing, frost_as_json, frost_dates, sum_chill, sum_degree_days
from graftwright.adapters.files.weather import Told, read_weather
from graftwright.errors import Trouble

if TYPE_CHECKING:
    from pathlib import Path

WHOLE = [
    "time,temperature_c\n2024-03-30 22:00,1.5\n2024-03-30 23:00,-0.5\n2024-03-31 00:00,10\n",
    'Date Time, GMT+01:00;Temp, °F\n03/30/2024 10:00 PM;"34,7"\n03/31/2024 1:00 AM;36,05\n',
    "date,tmin_c,tmax_c\n2024-01-01,1,5\n2024-01-02,2,6\n2024-01-04,2,6\n",
    "Year,Month,Day,Hour,Temp_C\n2024,3,30,22,1.5\n2024,3,30,24,10\n",
    "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG\nXX000000001,20240101,TMAX,56,,\nXX000000001,20240101,TMIN,-12,,\n",
    'STATION,DATE,LATITUDE,TMAX,TMAX_ATTRIBUTES,TMIN\nXX000000001,2024-01-01,-37.5,56,",,W",-12\n',
]
JUNK = [b",", b";", b"\n", b'"', b"-", b"99999", b"\x00", b".", b"T", b"+14:00", b"\r", b"\xff\xfe", b"\xc2"]


def spoilt(text: str, random: Random) -> bytes:
    raw = bytearray(text.encode())
    for _ in range(random.randrange(5)):
        place = random.randrange(len(raw) + 1)
        done = random.randrange(3)
        if done == 0:
            raw[place:place] = random.choice(JUNK)
        elif done == 1:
            del raw[place : place + random.randrange(6)]
        else:
            raw[place : place + 1] = bytes([random.randrange(256)])
    return bytes(raw)


def use(path: str, random: Random) -> None:
    told = Told(unit=random.choice([None, "C", "F", "tenths"]), zone=random.choice([None, "Europe/Paris"]))
    record = read_weather(path, told).record
    for answer in (
        lambda: sum_chill(record, "dynamic", latitude=50.0, missing=Missing(skip=True)),
        lambda: sum_degree_days(record, 5.0, "sine"),
        lambda: frost_as_json(frost_dates(record, 0.0)),
        lambda: cutting_window(record, 50, 5000, Shares(0.7, 0.25), leaf_fall="11-01", latitude=50.0),
    ):
        with suppress(Trouble):
            answer()


def spoil_and_use(folder: Path, seed: int, times: int) -> int:
    random, refused = Random(seed), 0
    path = folder / "spoilt.csv"
    for _ in range(times):
        path.write_bytes(spoilt(random.choice(WHOLE), random))
        try:
            use(str(path), random)
        except Trouble:
            refused += 1
    return refused


def test_four_hundred_spoilt_files(tmp_path: Path) -> None:
    assert 50 < spoil_and_use(tmp_path, seed=11, times=400) < 350


@pytest.mark.long
def test_twenty_thousand_spoilt_files(tmp_path: Path) -> None:
    assert spoil_and_use(tmp_path, seed=12, times=20_000) > 1000
