"""The beta-binomial likelihood against published and recomputed figures: data/take_rate/SOURCE.md."""

from __future__ import annotations

import numpy as np
import pytest

from findings_data import expected, rows_of
from graftwright.errors import ValueComplaint
from graftwright.science.findings.seasons import season_log_likelihood

REFERENCE = expected("take_rate")


def rats(number: int = 71) -> tuple[np.ndarray, np.ndarray]:
    rows = rows_of("take_rate", "rat_tumour_71.csv")[:number]
    return tuple(np.array([float(row[name]) for row in rows]) for name in ("y", "n"))


def at(number: int, alpha: np.ndarray, beta: np.ndarray) -> np.ndarray:
    return season_log_likelihood(*rats(number), alpha / (alpha + beta), 1.0 / (1.0 + alpha + beta))


@pytest.mark.parametrize("number", [70, 71])
def test_rat_tumours_are_likeliest_where_published(number: int) -> None:
    """Tarone (1982); Gelman et al., Bayesian Data Analysis, ch. 5."""
    theirs = REFERENCE["rat_tumour"]["recomputed"]
    alpha, beta = theirs[f"mle{number}_alpha_beta"]
    top = at(number, np.array([alpha]), np.array([beta]))[0]
    assert top == pytest.approx(theirs[f"mle{number}_loglik"], rel=1e-9)
    near = np.array([-1e-4, 1e-4])
    across = (
        at(number, alpha * (1.0 + near), np.full(2, beta)),
        at(number, np.full(2, alpha), beta * (1.0 + near)),
    )
    for sides in across:
        assert (sides < top).all()
        # as far below on either side: the top is within 1e-6 of these parameters
        assert sides[0] == pytest.approx(sides[1], abs=1e-9)


def test_rat_tumours_fully_bayesian() -> None:
    """E(alpha, beta) = (2.4, 14.3) under the prior (alpha + beta)^(-5/2), BDA section 5.3."""
    theirs = REFERENCE["rat_tumour"]["recomputed"]["full_bayes_grid_E_alpha_beta"]
    ratio, size = np.meshgrid(np.linspace(-2.3, -1.3, 200), np.linspace(1.0, 5.0, 200))
    beta = np.exp(size) / (1.0 + np.exp(ratio))
    alpha = np.exp(ratio) * beta
    log = at(71, alpha, beta) - 2.5 * np.log(alpha + beta) + np.log(alpha) + np.log(beta)
    weight = np.exp(log - log.max())
    found = [(weight * part).sum() / weight.sum() for part in (alpha, beta)]
    assert found == pytest.approx(theirs, rel=0.01)


def test_seeds_with_one_rho_for_all_plates() -> None:
    """Seeds: beta-binomial with a mean for each kind and one rho (VGAM): log likelihood -53.766763."""
    theirs = REFERENCE["seeds"]["beta_binomial_common_rho"]
    rows = rows_of("take_rate", "crowder_seeds.csv")
    one, two, both = theirs["coef"][1], theirs["coef"][2], theirs["coef"][3]
    total = 0.0
    for row in rows:
        o73, cucumber = row["gen"] == "O73", row["extract"] == "cucumber"
        log_odds = theirs["coef"][0] + one * o73 + two * cucumber + both * (o73 and cucumber)
        counts = (np.array([float(row[name])]) for name in ("germ", "n"))
        mean = np.array([1.0 / (1.0 + np.exp(-log_odds))])
        total += season_log_likelihood(*counts, mean, np.array([theirs["rho"]]))[0]
    assert total == pytest.approx(theirs["loglik"], abs=1e-5)


def test_a_share_outside_its_range_is_refused() -> None:
    one = np.array([1.0])
    with pytest.raises(ValueComplaint) as told:
        season_log_likelihood(one, one, np.array([0.5]), np.array([1.0]))
    assert str(told.value) == (
        "How much seasons differ is a share between 0 and 1, not 1. Write 60 % as 0.6."
    )
