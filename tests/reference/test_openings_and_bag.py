"""Openings against classical limits and reference integrals; the box in time against its table."""

from __future__ import annotations

import math

import mpmath
import pytest
from scipy.special import ellipk

from graftwright.science.bag import water_after_g_m3
from graftwright.science.openings import (
    diffusivity_m2_s,
    exchange_conductance_m3_s,
    hole_conductance_m3_s,
    holes_conductance_m3_s,
    slit_conductance_m3_s,
)
from reference_rows import rows

D = 2.42e-5


@pytest.mark.parametrize("row", rows("psychrometrics", "vented_bag_mass_balance.csv"))
def test_box_in_time_equals_the_table(row: dict[str, str]) -> None:
    """Arithmetic of the closed solution; see data/psychrometrics/SOURCE.md."""
    box = {
        "initial_g_m3": float(row["initial_g_m3"]),
        "outside_g_m3": float(row["outside_g_m3"]),
        "source_g_per_h": float(row["vapour_source_g_per_h"]),
        "volume_m3": float(row["volume_m3"]),
        "air_changes_per_h": float(row["air_changes_per_h"]),
    }
    assert water_after_g_m3(float(row["time_h"]), **box) == pytest.approx(float(row["inside_g_m3"]), abs=1e-6)
    assert water_after_g_m3(1e6, **box) == pytest.approx(float(row["steady_state_g_m3"]), abs=1e-6)


def test_box_without_exchange_fills_at_the_rate_of_its_source() -> None:
    box = {"initial_g_m3": 8.0, "outside_g_m3": 5.0, "source_g_per_h": 0.05, "volume_m3": 0.005}
    shut = water_after_g_m3(2.0, air_changes_per_h=0.0, **box)
    nearly = water_after_g_m3(2.0, air_changes_per_h=1e-9, **box)
    assert shut == pytest.approx(8.0 + 0.05 * 2 / 0.005, rel=1e-12)
    assert nearly == pytest.approx(shut, rel=1e-6)


@pytest.mark.parametrize("wide", [0.1, 1.0, 10.0, 63.0])
def test_slit_by_the_elliptic_integral_of_scipy(wide: float) -> None:
    """Semi-axes a = length/2 and b of the same area; scipy's ellipk takes the parameter m = k²."""
    a, b = 0.1, 2 * wide / 1000 / math.pi
    side = 2 * math.pi * D * a / ellipk(1 - (b / a) ** 2)
    film = D * 0.2 * wide / 1000 / 0.00005
    assert slit_conductance_m3_s(200, wide, 0.05, D) == pytest.approx(1 / (2 / side + 1 / film), rel=1e-12)


def test_slit_by_the_capacity_integral() -> None:
    """Capacity of an elliptic disc, C = 2 / ∫₀^∞ ds / √(s (s + a²) (s + b²)); one side is 2π D C."""
    a, b = mpmath.mpf("0.1"), 2 * mpmath.mpf("0.01") / mpmath.pi
    integral = mpmath.quad(
        lambda t: 2 / mpmath.sqrt((t**2 + a**2) * (t**2 + b**2)), [0, 0.001, 0.01, 0.1, 1, mpmath.inf]
    )
    side = float(2 * mpmath.pi * D * 2 / integral)
    assert slit_conductance_m3_s(200, 10, 0, D) == pytest.approx(side / 2, rel=1e-9)


def test_round_openings_conduct_four_d_r_a_side() -> None:
    """H. Weber's disc: 4 D r a side (J. Crank, The Mathematics of Diffusion)."""
    one_side = 4 * D * 0.005
    assert hole_conductance_m3_s(10, 0, D) == pytest.approx(one_side / 2, rel=1e-12)
    as_slit = slit_conductance_m3_s(10, 10 * math.pi / 4, 0, D)
    assert as_slit == pytest.approx(one_side / 2, rel=1e-12)


def test_a_long_tube_conducts_by_its_length_alone() -> None:
    """Fick's law: D A / l where the ends no longer matter."""
    expected = D * math.pi * 0.001**2 / 4 / 1.0
    assert hole_conductance_m3_s(1, 1000, D) == pytest.approx(expected, rel=1e-3)


def test_near_holes_count_as_one_of_the_same_area() -> None:
    apart = holes_conductance_m3_s(9, 4, 20, 0.05, D)
    near = holes_conductance_m3_s(9, 4, 19.9, 0.05, D)
    assert apart == pytest.approx(9 * hole_conductance_m3_s(4, 0.05, D), rel=1e-12)
    assert near == pytest.approx(hole_conductance_m3_s(12, 0.05, D), rel=1e-12)
    assert holes_conductance_m3_s(0, 4, 20, 0.05, D) == 0
    assert holes_conductance_m3_s(1, 4, 0, 0.05, D) == hole_conductance_m3_s(4, 0.05, D)


def test_a_millimetre_a_second_is_41_millimoles() -> None:
    """p / (R T) = 40.9 mol m⁻³ at 25 °C and 101.325 kPa, R = 8.314 J mol⁻¹ K⁻¹ (CODATA)."""
    assert pytest.approx(40.9, abs=0.05) == 101_325 / (8.314 * 298.15)
    assert exchange_conductance_m3_s(1.0, 3.6) == pytest.approx(1e-3, rel=1e-12)


def test_diffusivity_near_massman() -> None:
    """Massman (1998): 2.178e-5 m² s⁻¹ at 0 °C, from memory; compilations differ by a few per cent."""
    assert diffusivity_m2_s(0.0) == pytest.approx(2.178e-5, rel=0.03)
    assert diffusivity_m2_s(20.0, 2 * 101.325 / 4) == pytest.approx(2 * 2.42e-5, rel=1e-12)
