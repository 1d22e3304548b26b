"""A million logger rows from CSV into arrays beside pandas, which is needed for this alone."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from _pair import compare

from graftwright.adapters.files.weather import read_weather
from graftwright.science.series import Readings

ROWS = 1_000_000


def write(path: Path) -> None:
    times = np.datetime64("2004-01-01T00:00") + np.arange(ROWS) * np.timedelta64(10, "m")
    celsius = 10 + 8 * np.sin(np.arange(ROWS) / 23_000) + np.random.default_rng(1).normal(0, 2, ROWS)
    texts = np.datetime_as_string(times, unit="m")
    with path.open("w") as file:
        file.write("time,temperature_c\n")
        file.writelines(f"{text},{value:.2f}\n" for text, value in zip(texts, celsius, strict=True))


def main() -> None:
    if find_spec("pandas") is None:
        print("a million logger rows: not measured, because pandas is not installed")
        return
    import pandas as pd  # type: ignore[import-untyped]

    with TemporaryDirectory() as folder:
        path = Path(folder) / "rows.csv"
        write(path)
        read, frame = read_weather(str(path)).record, pd.read_csv(path, parse_dates=["time"])
        assert isinstance(read, Readings)
        assert np.array_equal(frame["temperature_c"].to_numpy(), read.celsius)
        assert (frame["time"].to_numpy() == read.times).all()
        compare(
            ("a million logger rows", lambda: read_weather(str(path))),
            (f"pandas {pd.__version__}", lambda: pd.read_csv(path, parse_dates=["time"])),
            at_most=2,
            rounds=10,
        )


if __name__ == "__main__":
    main()
