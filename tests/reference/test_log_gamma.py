"""Log-gamma differences against mpmath, which computes them by arbitrary-precision arithmetic."""

from __future__ import annotations

import cmath
import math

import mpmath
import pytest

from graftwright.science.log_gamma import rise, slopes


@pytest.mark.parametrize("x", [0.003, 0.5, 1.0, 7.25, 20.0, 1e3, 1e5, 1e7])
@pytest.mark.parametrize("turn", [0.0, 0.3, 0.5, 0.62])  # of a half turn, off the positive axis
@pytest.mark.parametrize("length", [1e-3, 0.7, 5.0, 60.0, 3e3])
def test_rise_is_the_difference_of_two_log_gammas(x: float, turn: float, length: float) -> None:
    z = cmath.rect(length, math.pi * turn)
    with mpmath.workdps(40):
        exact = mpmath.loggamma(mpmath.mpc(x) + mpmath.mpc(z)) - mpmath.loggamma(x)
        error = complex(rise(x, z) - exact)
    turns = round(error.imag / (2 * math.pi))
    assert abs(error - 2j * math.pi * turns) < 2e-14 * (1 + length) * max(1.0, abs(math.log(x + length)))


def test_rise_keeps_small_steps_of_large_arguments() -> None:
    """From 10 million a step of one adds ln(10 million), to the last digits."""
    assert rise(1e7, 1 + 0j).real == pytest.approx(math.log(1e7), abs=1e-14)


@pytest.mark.parametrize("x", [1e-3, 0.4, 1.0, 9.99, 10.0, 314.0, 1e7])
def test_slopes_are_the_polygammas(x: float) -> None:
    expected = [float(mpmath.polygamma(order, x)) for order in range(3)]
    assert slopes(x) == pytest.approx(expected, rel=1e-9)
