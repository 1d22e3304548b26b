"""A million logger rows from CSV into arrays against pandas, which is needed for this alone."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd  # type: ignore[import-untyped]

from graftwright.actions.weather_series import Readings
from graftwright.adapters.files.weather import read_weather

if TYPE_CHECKING:
    from collections.abc import Callable

ROWS = 1_000_000
RUNS = 7
TARGET = 2.0


def write(path: Path) -> None:
    times = np.datetime64("2004-01-01T00:00") + np.arange(ROWS) * np.timedelta64(10, "m")
    celsius = 10 + 8 * np.sin(np.arange(ROWS) / 23_000) + np.random.default_rng(1).normal(0, 2, ROWS)
    texts = np.datetime_as_string(times, unit="m")
    with path.open("w") as file:
        file.write("time,temperature_c\n")
        file.writelines(f"{text},{value:.2f}\n" for text, value in zip(texts, celsius, strict=True))


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "rows.csv"
        write(path)
        turns = [
            (
                seconds(lambda: pd.read_csv(path, parse_dates=["time"])),
                seconds(lambda: read_weather(str(path))),
            )
            for _ in range(RUNS)
        ]
        frame = pd.read_csv(path, parse_dates=["time"])
        read = read_weather(str(path))
    assert isinstance(read, Readings)
    assert np.array_equal(frame["temperature_c"].to_numpy(), read.celsius)
    assert (frame["time"].to_numpy() == read.times).all()
    peer, ours = (min(column) for column in zip(*turns, strict=True))
    print(f"pandas {pd.__version__} {peer * 1000:.0f} ms, ours {ours * 1000:.0f} ms for {ROWS:,} rows")
    print(f"ratio {ours / peer:.2f}, target at most {TARGET:g}")


if __name__ == "__main__":
    main()
