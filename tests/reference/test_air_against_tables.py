"""Moist air against published values and reference libraries; see data/psychrometrics/SOURCE.md."""

from __future__ import annotations

import pytest

from graftwright.science.air import (
    absolute_humidity_g_m3,
    air_state,
    dew_point_c,
    saturation_vapour_pressure_kpa,
    vapour_pressure_kpa,
)
from reference_rows import rows

PSYCHROLIB = rows("psychrometrics", "psychrolib_minus20_to_60.csv")
STATES = rows("psychrometrics", "moist_air_states.csv")
FAO = rows("psychrometrics", "fao56_published.csv")
ASHRAE = rows("psychrometrics", "ashrae_2017_published.csv")
CURVES = rows("psychrometrics", "saturation_vapour_pressure.csv")


def fao(example: str, quantity: str, given: str = "") -> tuple[float, float]:
    """A printed value, with the tolerance for a formula other than FAO's own."""
    [row] = [r for r in FAO if (r["example"], r["quantity"]) == (example, quantity) and given in r["input"]]
    value = float(row["value"])
    return value, max(0.001 * value, 10.0 ** -int(row["quoted_decimals"]))


@pytest.mark.parametrize("row", PSYCHROLIB, ids=lambda r: f"{r['tdry_C']}C-{r['rh_pct']}pct")
def test_states_of_psychrolib_from_minus_20_to_60(row: dict[str, str]) -> None:
    temperature, humidity = float(row["tdry_C"]), float(row["rh_pct"])
    state = air_state(temperature, humidity)
    assert state.saturation_kpa * 1000 == pytest.approx(float(row["saturation_Pa"]), rel=1e-3)
    assert state.vapour_kpa * 1000 == pytest.approx(float(row["vapour_pressure_Pa"]), rel=1e-3)
    assert state.dew_point_c == pytest.approx(float(row["dewpoint_C"]), abs=0.02)


@pytest.mark.parametrize("row", STATES, ids=lambda r: f"{r['tdry_C']}-{r['rh_fraction']}-{r['pressure_Pa']}")
def test_states_of_two_libraries(row: dict[str, str]) -> None:
    state = air_state(float(row["tdry_C"]), 100 * float(row["rh_fraction"]))
    assert state.vapour_kpa * 1000 == pytest.approx(float(row["vapour_pressure_Pa"]), rel=1e-3)
    assert state.vpd_kpa * 1000 == pytest.approx(float(row["vpd_Pa"]), rel=1e-3, abs=0.1)
    assert state.dew_point_c == pytest.approx(float(row["dewpoint_C"]), abs=0.02)
    assert state.dew_point_c == pytest.approx(float(row["coolprop_dewpoint_C"]), abs=0.02)


@pytest.mark.parametrize("row", CURVES, ids=lambda r: r["temp_C"])
def test_saturation_against_iapws_and_ashrae(row: dict[str, str]) -> None:
    ours = saturation_vapour_pressure_kpa(float(row["temp_C"])) * 1000
    assert ours == pytest.approx(float(row["psychrolib_ashrae_Pa"]), rel=1e-3)
    if row["coolprop_iapws95_Pa"]:
        assert ours == pytest.approx(float(row["coolprop_iapws95_Pa"]), rel=1e-3)


@pytest.mark.parametrize(
    "row",
    [r for r in ASHRAE if r["quantity"] == "saturation_vapour_pressure"],
    ids=lambda r: r["input"],
)
def test_saturation_printed_by_ashrae(row: dict[str, str]) -> None:
    kind, size = row["quoted_tolerance"].split()
    ours = saturation_vapour_pressure_kpa(float(row["input"].removesuffix(" C"))) * 1000
    assert ours == pytest.approx(float(row["value"]), **{kind: float(size)})


@pytest.mark.parametrize(
    ("example", "celsius"), [("3", 24.5), ("3", 15.0), ("4", 19.5), ("5", 18.0), ("5", 25.0)]
)
def test_saturation_of_the_fao_examples(example: str, celsius: float) -> None:
    value, tolerance = fao(example, "saturation_vapour_pressure", f"{celsius:g} C")
    assert saturation_vapour_pressure_kpa(celsius) == pytest.approx(value, abs=tolerance)


def test_mean_saturation_of_fao_example_3() -> None:
    value, tolerance = fao("3", "mean_saturation_vapour_pressure")
    mean = (saturation_vapour_pressure_kpa(24.5) + saturation_vapour_pressure_kpa(15.0)) / 2
    assert mean == pytest.approx(value, abs=tolerance)


def test_vapour_pressure_of_fao_example_5() -> None:
    value, tolerance = fao("5", "actual_vapour_pressure")
    mean = (vapour_pressure_kpa(18.0, 82.0) + vapour_pressure_kpa(25.0, 54.0)) / 2
    assert mean == pytest.approx(value, abs=tolerance)
    value, tolerance = fao("5", "actual_vapour_pressure_from_RHmax_only")
    assert vapour_pressure_kpa(18.0, 82.0) == pytest.approx(value, abs=tolerance)


def test_dew_point_of_fao_example_20() -> None:
    value, tolerance = fao("20", "actual_vapour_pressure_from_dewpoint")
    assert saturation_vapour_pressure_kpa(14.8) == pytest.approx(value, abs=tolerance)
    assert dew_point_c(saturation_vapour_pressure_kpa(14.8)) == pytest.approx(14.8, abs=1e-9)


def test_absolute_humidity_from_the_humidity_ratio_of_psychrolib() -> None:
    """Mass of vapour in a cubic metre is W/(1 + W) of the density of the moist air."""
    for row in STATES:
        ratio, density = float(row["humidity_ratio_kgkg"]), float(row["density_kgm3"])
        ours = absolute_humidity_g_m3(float(row["vapour_pressure_Pa"]) / 1000, float(row["tdry_C"]))
        assert ours == pytest.approx(1000 * density * ratio / (1 + ratio), rel=2e-3)
