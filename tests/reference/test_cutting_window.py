"""The scion-cutting window against running sums of another implementation; data/thermal/SOURCE.md."""

from __future__ import annotations

import json

import numpy as np
import pytest

from graftwright.cli.main import run
from graftwright.science.cutting import CuttingHours, cutting_hours, spread_hours
from reference_rows import DATA, rows

TABLE = rows("thermal", "ka_hourly_2008_11_to_2009_03.csv")
CELSIUS, CHILLED, FORCED = (
    np.array([float(row[name]) for row in TABLE]) for name in ("Temp", "CP_cum", "GDH_cum")
)


@pytest.mark.parametrize(("need", "budbreak"), [(40, 1000), (50, 800), (60, 600)])
def test_window_of_a_published_winter(need: float, budbreak: float) -> None:
    opens = int(np.flatnonzero(0.7 * need <= CHILLED)[0])
    met = int(np.flatnonzero(need <= CHILLED)[0])
    closes = int(np.flatnonzero(FORCED - FORCED[met - 1] >= 0.25 * budbreak)[0])
    assert cutting_hours(CELSIUS, need, 0.7, budbreak, 0.25) == CuttingHours(opens, closes)


def test_a_winter_may_be_too_mild_or_too_short() -> None:
    assert cutting_hours(CELSIUS, 100, 0.7, 1000, 0.25) == CuttingHours(
        int(np.flatnonzero(CHILLED >= 70)[0]), None
    )
    assert cutting_hours(CELSIUS, 500, 0.7, 1000, 0.25) == CuttingHours(None, None)
    assert cutting_hours(CELSIUS, 50, 0.7, 50_000, 0.25).closes is None


def test_the_spread_over_winters_is_numpys() -> None:
    """numpy's default quantile is of type 7."""
    hours = [700, 640, 820, 655, 901]
    expected = tuple(np.quantile(hours, [0.1, 0.5, 0.9]))
    assert spread_hours(hours) == pytest.approx(expected)
    assert spread_hours([700, None]) == (None, None, None)
    assert spread_hours([700]) == (700, 700, 700)


DAILY = str(DATA / "thermal" / "ka_daily_2005_2010.csv")
ASK = [
    "weather",
    "cutting",
    DAILY,
    "--unit",
    "C",
    "--latitude",
    "50.4",
    "--portions",
    "60",
    "--forcing",
    "6000",
]


def test_window_of_a_site(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(ASK, json=True) == 0
    value = json.loads(capsys.readouterr().out)
    assert value["winters"] == 4
    assert value["left_out"] == 0
    assert value["opens"]["low"] <= "12-31"
    assert "01-01" <= value["opens"]["likely"] < value["closes"]["low"] < value["closes"]["high"]
    assert run(ASK, json=False) == 0
    assert capsys.readouterr().out.startswith("from 4 winters; 8 in 10 lie between the dates in brackets\n")


def test_a_record_without_a_whole_winter(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*ASK, "--leaf-fall", "02-30"], json=True) == 12
    capsys.readouterr()
    orchard = str(DATA / "thermal" / "winters_walnut_orchard_hourly_2008.csv")
    words = ["weather", "cutting", orchard, "--unit", "C", "--portions", "60", "--forcing", "6000"]
    assert run(words, json=True) == 11
    error = json.loads(capsys.readouterr().out)["error"]
    assert error["sentence"] == "The file holds no whole winter: 242 days from 11-01 on without a long gap."
