"""Normal and binomial chances against scipy.special (Cephes and Boost) and mpmath."""

from __future__ import annotations

import mpmath
import numpy as np
import pytest
from scipy import special

from graftwright.science.chance import at_least, normal_below, normal_between


def test_normal_below_equals_scipy():
    z = np.linspace(-8.9, 8.9, 20001)
    assert np.abs(normal_below(z) - special.ndtr(z)).max() < 1e-10
    assert (np.abs(normal_below(z) / special.ndtr(z) - 1)).max() < 1e-5


def test_normal_below_at_the_ends():
    assert normal_below([-np.inf, -40.0, 40.0, np.inf]) == pytest.approx([0, 0, 1, 1], abs=1e-15)


@pytest.mark.parametrize(
    ("low", "high"), [(6.0, 6.01), (-6.01, -6.0), (-0.3, 0.2), (-np.inf, -7.0), (5, np.inf)]
)
def test_narrow_cells_far_out_keep_their_digits(low, high):
    with mpmath.workdps(40):
        exact = (
            float(mpmath.ncdf(high) - mpmath.ncdf(low))
            if high < 0
            else float(mpmath.ncdf(-low) - mpmath.ncdf(-high))
        )
    assert normal_between(low, high) == pytest.approx(exact, rel=1e-4)


def test_cells_turned_round_hold_nothing():
    assert normal_between([1.0, 2.0, np.inf], [1.0, 1.0, np.inf]).tolist() == [0, 0, 0]


@pytest.mark.parametrize("trials", [1, 2, 7, 40, 1000, 20_000])
def test_binomial_tails_equal_scipy(trials):
    k = np.unique(np.linspace(1, trials, 12).astype(int))[:, None]
    q = np.concatenate((np.geomspace(1e-6, 0.5, 40), 1 - np.geomspace(1e-6, 0.5, 40)))
    exact = special.betainc(k, trials - k + 1, q)
    assert at_least(k, trials, q) == pytest.approx(exact, rel=1e-8, abs=1e-12)


def test_binomial_tails_at_the_ends():
    got = at_least([0, -3, 4, 3, 3, 1, 1], [3, 3, 3, 3, 3, 0, 5], [0.2, 0.2, 0.9, 1.0, 0.0, 0.5, 0.0])
    assert got.tolist() == [1, 1, 0, 1, 0, 0, 0]
