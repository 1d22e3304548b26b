from __future__ import annotations

import json
import math

import pytest

from graftwright.cli.main import run
from graftwright.science.air import air_state, dew_point_c, saturation_vapour_pressure_kpa
from graftwright.science.limits import OutOfRange


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    assert run(["air", *words], json=True) == 0
    value = json.loads(capsys.readouterr().out)
    assert isinstance(value, dict)
    return value


def test_answers_with_the_fields_scripts_rely_on(capsys: pytest.CaptureFixture[str]) -> None:
    value = answer(capsys, "--temperature", "24", "--humidity", "80")
    names = {"saturation_kpa", "vapour_kpa", "vpd_kpa", "dew_point_c", "absolute_g_m3", "over"}
    assert set(value) == names
    assert value["over"] == "water"


def test_a_warmer_leaf_feels_a_larger_deficit(capsys: pytest.CaptureFixture[str]) -> None:
    """24 °C, 80 %: 0.597 kPa by FAO-56; the leaf's own saturation takes the place of the air's."""
    plain = answer(capsys, "--temperature", "24", "--humidity", "80")
    warm = answer(capsys, "--temperature", "24", "--humidity", "80", "--leaf", "27")
    assert plain["vpd_kpa"] == pytest.approx(0.597, abs=0.001)
    assert warm["vpd_kpa"] == pytest.approx(3.565 - 0.8 * 2.984, abs=0.005)  # the same paper's 27 °C
    assert warm["dew_point_c"] == plain["dew_point_c"]


def test_dew_on_a_cold_leaf_is_a_negative_deficit_and_said(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["air", "--temperature", "24", "--humidity", "90", "--leaf", "18"]
    assert run(words, json=False) == 0
    shown = capsys.readouterr().out
    assert "The leaf is colder than the dew point: dew forms on it." in shown
    assert "-0.6" in shown


@pytest.mark.parametrize(("celsius", "over"), [(-20, "ice"), (-0.01, "ice"), (0, "water"), (60, "water")])
def test_says_water_or_ice(celsius: float, over: str) -> None:
    assert air_state(celsius, 50).over == over


@pytest.mark.parametrize("celsius", [-20.0, -0.001, 0.0, 0.001, 23.0, 60.0])
def test_saturated_air_is_at_its_dew_point(celsius: float) -> None:
    state = air_state(celsius, 100)
    assert state.vpd_kpa == 0
    assert state.dew_point_c == pytest.approx(celsius, abs=1e-6)


def test_the_dew_point_never_falls_as_vapour_rises_through_freezing() -> None:
    pressures = [0.6105 + 1e-6 * i for i in range(1500)]
    points = [dew_point_c(p) for p in pressures]
    assert points == sorted(points)  # type: ignore[type-var]


def test_air_without_water_has_no_dew_point(capsys: pytest.CaptureFixture[str]) -> None:
    value = answer(capsys, "--temperature", "20", "--humidity", "0")
    assert value["dew_point_c"] is None
    assert value["vpd_kpa"] == value["saturation_kpa"]
    assert dew_point_c(saturation_vapour_pressure_kpa(-100)) == pytest.approx(-100, abs=1e-6)
    assert dew_point_c(0.99 * saturation_vapour_pressure_kpa(-100)) is None


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["60.1", "50"], "The air temperature must be between -20 and 60 °C, not 60.1."),
        (["-20.1", "50"], "The air temperature must be between -20 and 60 °C, not -20.1."),
        (["nan", "50"], "The air temperature must be between -20 and 60 °C, not nan."),
        (["20", "-1"], "The relative humidity must be between 0 and 100 %, not -1."),
        (["20", "101"], "The relative humidity must be between 0 and 100 %, not 101."),
        (["20", "inf"], "The relative humidity must be between 0 and 100 %, not inf."),
        (["20", "50", "61"], "The leaf temperature must be between -20 and 60 °C, not 61."),
    ],
)
def test_refuses_what_is_out_of_range(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    options = ["--temperature", "--humidity", "--leaf"]
    spoken = [word for pair in zip(options, words, strict=False) for word in pair]
    assert run(["air", *spoken], json=True) == 12
    out, err = capsys.readouterr()
    error = {"code": "value", "sentence": sentence, "where": "", "do": "Correct the number or its unit."}
    assert json.loads(out) == {"error": error}
    assert err == f"{sentence} Correct the number or its unit.\n"


@pytest.mark.parametrize("pressure", [-0.001, math.inf, math.nan, 1e5])
def test_a_vapour_pressure_that_cannot_be_is_refused(pressure: float) -> None:
    with pytest.raises(OutOfRange, match="vapour pressure must be between 0 and"):
        dew_point_c(pressure)
