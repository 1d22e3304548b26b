"""Maximum likelihood against R (glm, lme4's glmer) and exact integration: data/take_rate/SOURCE.md."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import chdtrc

from findings_data import canker, cbpp, expected, rows_of, seeds, table_of
from graftwright.errors import ValueComplaint
from graftwright.science.findings.flat import FlatFit, fit_flat

REFERENCE = expected("take_rate")
# coefficients of the seeds reference, in the order intercept, O73, cucumber, both, as sums for the
# cells O73 bean, O73 cucumber, O75 bean, O75 cucumber
SEED_CELLS = np.array([[1, 1, 0, 0], [1, 1, 1, 1], [1, 0, 0, 0], [1, 0, 1, 0]])


def cell_log_odds(fit: FlatFit) -> np.ndarray:
    return fit.log_odds(fit.layout.matrix(fit.table.cells()))[0]


@pytest.mark.parametrize(
    ("points", "key", "log_likelihood"),
    [(1, "glmm_laplace", -53.769572), (25, "glmm_agq25", -53.7574207), (15, "glmm_agq25", -53.7574207)],
)
def test_seeds_as_lme4_fits_them(points: int, key: str, log_likelihood: float) -> None:
    fit, theirs = fit_flat(seeds(), points), REFERENCE["seeds"][key]
    assert cell_log_odds(fit) == pytest.approx(SEED_CELLS @ theirs["coef"], abs=1e-3)
    assert fit.sds[0] == pytest.approx(theirs["sigma"], abs=2e-3)
    assert fit.log_likelihood == pytest.approx(log_likelihood, abs=1e-4)


def test_seeds_as_integrated_exactly() -> None:
    fit, exact = fit_flat(seeds(), 25), REFERENCE["seeds"]["glmm_exact_ml_by_numerical_integration"]
    assert cell_log_odds(fit) == pytest.approx(SEED_CELLS @ exact["coef"], abs=1e-5)
    assert fit.sds[0] == pytest.approx(exact["sigma"], abs=1e-5)
    assert fit.log_likelihood == pytest.approx(exact["loglik"], abs=1e-6)


def test_seeds_as_published_from_data_cloning() -> None:
    """OpenBUGS documentation, K = 256; given to three or four digits with Monte Carlo error."""
    theirs = REFERENCE["seeds"]["published_mle_data_cloning"]
    order = ("alpha0", "alpha1", "alpha2", "alpha12")
    fit = fit_flat(seeds(), 25)
    assert cell_log_odds(fit) == pytest.approx(SEED_CELLS @ [theirs[name][0] for name in order], abs=2e-3)
    assert fit.sds[0] == pytest.approx(theirs["sigma"][0], abs=1e-3)


def test_the_plates_of_the_seeds_lie_where_lme4_puts_them() -> None:
    fit = fit_flat(seeds(), 25)
    # both sort plates by code point: P1, P10, P11 ...
    theirs = REFERENCE["seeds"]["glmm_agq25"]["plate_modes"]
    assert fit.sds[0] * fit.peak.effects == pytest.approx(theirs, abs=2e-3)


def test_seeds_without_plates_as_glm_fits_them() -> None:
    fit, theirs = fit_flat(seeds(())), REFERENCE["seeds"]["glm_binomial"]
    assert cell_log_odds(fit) == pytest.approx(SEED_CELLS @ theirs["coef"], abs=1e-6)
    errors = fit.log_odds(fit.layout.matrix(fit.table.cells()))[1]
    assert errors[2] == pytest.approx(theirs["se"][0], abs=1e-6)  # O75 bean is the reference's base
    assert fit.method == "maximum likelihood, treatment contrasts, no batches"


@pytest.mark.parametrize(("points", "key"), [(1, "glmm_laplace"), (25, "glmm_agq25")])
def test_cbpp_as_lme4_fits_it(points: int, key: str) -> None:
    fit, theirs = fit_flat(cbpp(), points), REFERENCE["cbpp"][key]
    assert fit.coefficients == pytest.approx(theirs["coef"], abs=1e-3)
    assert fit.sds[0] == pytest.approx(theirs["sigma_herd"], abs=2e-3)
    assert fit.errors == pytest.approx(theirs["se"], abs=6e-3)


def test_cbpp_likelihoods() -> None:
    exact = REFERENCE["cbpp"]["glmm_exact_ml_by_numerical_integration"]
    fit = fit_flat(cbpp(), 25)
    assert fit.coefficients == pytest.approx(exact["coef"], abs=1e-5)
    assert fit.log_likelihood == pytest.approx(exact["loglik"], abs=1e-6)
    # never below lme4's own optimum by more than 1e-4; here a little above it
    laplace = REFERENCE["cbpp"]["glmm_laplace"]["loglik"]
    assert laplace - 1e-4 <= fit_flat(cbpp(), 1).log_likelihood <= laplace + 1e-3


def test_the_herds_of_cbpp_lie_where_lme4_puts_them() -> None:
    fit = fit_flat(cbpp(), 25)
    modes = fit.sds[0] * fit.peak.effects
    assert modes == pytest.approx(REFERENCE["cbpp"]["herd_modes_agq25"], abs=2e-3)


def test_two_groupings_at_once() -> None:
    """Herd and single row of cbpp: lme4's Laplace fit."""
    fit, theirs = fit_flat(cbpp(("herd", "row"))), REFERENCE["cbpp"]["herd_plus_observation_level_laplace"]
    assert fit.model.points == 1
    assert fit.coefficients == pytest.approx(theirs["coef"], abs=2e-3)
    assert fit.sds == pytest.approx([theirs["sigma_herd"], theirs["sigma_obs"]], abs=3e-3)
    assert fit.log_likelihood == pytest.approx(theirs["loglik"], abs=2e-3)


def test_a_scatter_of_exactly_zero_is_an_answer() -> None:
    fit, theirs = fit_flat(canker(), 1), REFERENCE["jansen_apple_canker"]["glmm_block_laplace"]
    assert fit.sds[0] == 0.0
    assert fit.coefficients == pytest.approx(theirs["coef"], abs=1e-3)
    assert fit.errors == pytest.approx(theirs["se"], abs=1e-3)
    assert fit.log_likelihood == pytest.approx(theirs["loglik"], abs=1e-4)
    low, high = fit.profile_interval(0)
    assert low == 0.0 < high


def test_one_scatter_of_zero_beside_another_that_is_not() -> None:
    theirs = REFERENCE["jansen_apple_canker"]["block_plus_observation_level_laplace"]
    fit = fit_flat(canker(("block", "row")))
    assert fit.sds[0] == 0.0
    assert fit.sds[1] == pytest.approx(theirs["sigma_obs"], abs=2e-3)
    assert fit.coefficients == pytest.approx(theirs["coef"], abs=3e-3)
    assert fit.log_likelihood == pytest.approx(theirs["loglik"], abs=1e-3)


def test_deviances_of_the_germination_trial() -> None:
    """Mead, Curnow & Hasted (2002), p. 350: printed analysis of deviance."""
    rows = [{**row, "all": "1"} for row in rows_of("take_rate", "mead_germination.csv")]
    published = REFERENCE["mead_germination"]["published_deviance"]
    taken, made = (np.array([float(row[name]) for row in rows]) for name in ("germ", "seeds"))
    share = np.clip(taken / made, 1e-300, 1.0)
    saturated = float(taken @ np.log(share) + (made - taken) @ np.log(np.clip(1.0 - share, 1e-300, 1.0)))
    terms = {"null": (), "temp": ((0,),), "conc": ((1,),), "temp+conc": ((0,), (1,))}
    terms["temp*conc"] = ((0,), (1,), (0, 1))
    for name, asked in terms.items():
        # the rows are kept apart by their number, so that the deviance is that of 64 dishes
        fit = fit_flat(table_of(rows, ("germ", "seeds"), ("temp", "conc"), asked))
        log_odds = fit.log_odds(fit.layout.matrix(_codes(fit, rows)))[0]
        reached = float(taken @ log_odds - made @ np.logaddexp(0.0, log_odds))
        freedom, deviance = published[name]
        assert 2.0 * (saturated - reached) == pytest.approx(deviance, abs=0.006)
        assert len(rows) - fit.model.fixed == freedom


def _codes(fit: FlatFit, rows: list[dict[str, str]]) -> np.ndarray:
    return np.array([[column.levels.index(row[column.name]) for column in fit.table.by] for row in rows])


def plum_rows() -> list[dict[str, str]]:
    """Bartlett's plum cuttings, alive of 240 planted for each time and length."""
    cells: dict[tuple[str, str], dict[str, int]] = {}
    for row in rows_of("take_rate", "bartlett_plum_cuttings.csv"):
        cell = cells.setdefault((row["Time"], row["Length"]), {"Alive": 0, "Dead": 0})
        cell[row["Alive"]] += int(row["Freq"])
    return [
        {"time": time, "length": length, "alive": str(c["Alive"]), "made": str(c["Alive"] + c["Dead"])}
        for (time, length), c in cells.items()
    ]


def test_plum_cuttings_have_no_three_way_interaction() -> None:
    """Bartlett (1935), J. R. Stat. Soc. Suppl. 2:248-252; G2 2.294 on 1 degree of freedom."""
    rows, theirs = plum_rows(), REFERENCE["bartlett_plum"]
    plain, crossed = (
        fit_flat(table_of(rows, ("alive", "made"), ("time", "length"), terms))
        for terms in (((0,), (1,)), ((0,), (1,), (0, 1)))
    )
    fallen = 2.0 * (crossed.log_likelihood - plain.log_likelihood)
    # the reference stops its proportional fitting a little early, at a G2 above the least
    assert fallen == pytest.approx(theirs["no_three_way_interaction"]["G2"], abs=1e-5)
    p = theirs["no_three_way_interaction"]["p_G2"]
    assert float(chdtrc(1, fallen)) == pytest.approx(p, abs=1e-5)
    assert plain.coefficients == pytest.approx(theirs["glm_time_plus_length"]["coef"], abs=1e-6)
    assert plain.errors == pytest.approx(theirs["glm_time_plus_length"]["se"], abs=1e-6)
    assert plain.log_likelihood == pytest.approx(theirs["glm_time_plus_length"]["loglik"], abs=1e-6)


def test_rates_that_run_off_are_refused_with_a_sentence() -> None:
    """Rooted apple shoots: three cells of 30 of 30, 30 of 30 and 40 of 40 (Ridout et al. 1998)."""
    counted = REFERENCE["ridout_appleshoots"]["rooted_by_photoperiod_and_bap"]
    rows = [
        {"photo": photo, "bap": bap, "rooted": str(rooted), "made": str(made)}
        for photo, cells in counted.items()
        for bap, (rooted, made) in cells.items()
    ]
    table = table_of(rows, ("rooted", "made"), ("photo", "bap"), ((0,), (1,), (0, 1)))
    with pytest.raises(ValueComplaint) as told:
        fit_flat(table)
    assert str(told.value) == (
        "Without priors these rates have no estimate: somewhere all or none of the grafts took. "
        "Leave out --flat, or join that level with another."
    )


def test_the_profile_interval_of_a_scatter() -> None:
    """R 4.2.2, lme4 1.1.31: confint(glmer(cbind(incidence, size - incidence) ~ period + (1 | herd), cbpp,
    binomial), parm = "theta_", level = 0.9, method = "profile") gives 0.388922 and 1.00764.
    """
    assert fit_flat(cbpp(), 1).profile_interval(0) == pytest.approx((0.388922, 1.00764), abs=1e-3)
