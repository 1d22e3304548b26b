"""Curves and comparisons against R (survival, interval) and published masses: data/survival/SOURCE.md."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from findings_data import expected, rows_of
from graftwright.errors import ValueComplaint
from graftwright.science.lasting.bands import bootstrap_band
from graftwright.science.lasting.compare import log_rank, permutation_log_rank
from graftwright.science.lasting.kaplan_meier import half_gone, kaplan_meier
from graftwright.science.lasting.rows import Rows
from graftwright.science.lasting.turnbull import EXCESS, find_innermost, turnbull

REFERENCE = expected("survival")


def remission(arm: str | None = None) -> Rows:
    """Weeks of remission on 6-MP and control (Freireich et al. 1963)."""
    rows = [r for r in rows_of("survival", "gehan_remission.csv") if arm in {None, r["treat"]}]
    times = [float(row["time"]) for row in rows]
    right = [time if row["cens"] == "1" else np.inf for time, row in zip(times, rows, strict=True)]
    return Rows.of(times, right, [1] * len(rows), [int(row["treat"] == "control") for row in rows])


def cosmesis(arm: str | None = None) -> Rows:
    """Months to a change seen at irregular looks (Finkelstein & Wolfe 1985)."""
    rows = [r for r in rows_of("survival", "bcos_breast_cosmesis.csv") if arm in {None, r["treatment"]}]
    ends = [[float(row[name]) for row in rows] for name in ("left", "right")]
    return Rows.of(*ends, [1] * len(rows), [int(row["treatment"] == "RadChem") for row in rows])


def test_kaplan_meier_of_the_remission_trial() -> None:
    rows, theirs = remission("6-MP"), REFERENCE["gehan"]["km_6MP"]
    curve = kaplan_meier(rows.left, rows.died, rows.counts, level=0.95)
    assert curve.deaths.times.tolist() == theirs["time"]
    assert curve.deaths.at_risk.tolist() == theirs["n_risk"]
    assert curve.deaths.died.tolist() == theirs["n_event"]
    assert curve.survival == pytest.approx(theirs["survival"], abs=1e-6)
    assert curve.error == pytest.approx(theirs["greenwood_se"], abs=6e-6)
    assert curve.low == pytest.approx(theirs["ci_loglog_lower"], abs=1e-6)
    assert curve.high == pytest.approx(theirs["ci_loglog_upper"], abs=1e-6)


@pytest.mark.parametrize(("arm", "key"), [("6-MP", "6MP"), ("control", "control")])
def test_when_half_were_gone(arm: str, key: str) -> None:
    rows = remission(arm)
    curve = kaplan_meier(rows.left, rows.died, rows.counts)
    assert (
        half_gone(curve.deaths.times.tolist(), curve.survival.tolist()) == REFERENCE["gehan"]["median"][key]
    )


def test_log_rank_of_the_remission_trial() -> None:
    rows, theirs = remission(), REFERENCE["gehan"]["logrank"]
    seen = log_rank(rows.left, rows.died, rows.counts, rows.groups)
    assert seen.chi_square == pytest.approx(theirs["chi2"], abs=1e-6)
    assert seen.observed.tolist() == theirs["observed"]
    assert seen.expected == pytest.approx(theirs["expected"], abs=1e-6)


@pytest.mark.parametrize("arm", ["Rad", "RadChem"])
def test_masses_of_the_cosmesis_trial(arm: str) -> None:
    rows, theirs = cosmesis(arm), REFERENCE["bcos"]
    found = turnbull(rows.left, rows.right, rows.counts)
    held = found.masses > 1e-6
    named = [
        f"({left:g},{right:g}]"
        for left, right in zip(found.innermost.lefts[held], found.innermost.rights[held], strict=True)
    ]
    published = theirs["turnbull_published_4_decimals"][arm]
    assert named == list(published)
    assert found.masses[held] == pytest.approx(list(published.values()), abs=1e-4)
    assert found.masses[held] == pytest.approx(theirs["turnbull_recomputed_8_decimals"][arm], abs=1e-6)
    assert found.log_likelihood == pytest.approx(theirs["max_loglik"][arm], abs=1e-6)
    assert found.excess <= EXCESS


def test_sun_scores_of_the_cosmesis_trial() -> None:
    """Fay & Shaw (2010), J. Stat. Softw. 36(2): Z -2.6684, p 0.007622."""
    rows, theirs = cosmesis(), REFERENCE["bcos"]["published_sun_logrank_permutation"]
    seen = permutation_log_rank(rows.left, rows.right, rows.counts, rows.groups)
    assert seen.chi_square**0.5 == pytest.approx(abs(theirs["Z"]), abs=5e-5)
    assert seen.p == pytest.approx(theirs["p"], abs=5e-7)


def test_chickweed_sprouts_are_the_counted_shares() -> None:
    """With common looks the curve is the plain share not yet sprouted (200 seeds); and the published
    log-logistic curve through the same seeds (Ritz et al. 2013) runs within one and a half per cent of it.
    """
    rows = rows_of("survival", "chickweed_intervals.csv")
    left, right, counts = (np.array([float(row[name]) for row in rows]) for name in ("start", "end", "count"))
    found = turnbull(left, right, counts)
    plain = 1.0 - np.cumsum(counts)[counts > 0] / counts.sum()
    assert found.survival == pytest.approx(plain, abs=1e-7)
    model = REFERENCE["chickweed"]["recomputed"]
    share, slope, half = (model[name][0] for name in ("d", "b", "t50"))
    ends = found.innermost.rights[:-1]
    smooth = 1.0 - share / (1.0 + np.exp(slope * (np.log(ends) - np.log(half))))
    assert np.abs(found.survival[:-1] - smooth).max() < 0.015


def test_wheat_at_ten_degrees() -> None:
    dishes = rows_of("survival", "germination_intervals.csv")
    rows = [row for row in dishes if (row["temp"], row["species"]) == ("10", "wheat")]
    ends = [np.array([float(row[name]) for row in rows]) for name in ("start", "end")]
    counts = np.array([float(row["germinated"]) for row in rows])
    found = turnbull(*ends, counts)
    ends = zip(found.innermost.lefts, found.innermost.rights, strict=True)
    after = dict(zip((f"({a:g},{b:g}]" for a, b in ends), found.survival, strict=True))
    theirs = REFERENCE["germination"]["npmle_wheat_10_survival_after_interval"]
    for name in ("(5,6]", "(6,7]", "(7,9]"):
        assert after[name] == pytest.approx(theirs[name], abs=1e-7)


ROWS = st.lists(
    st.tuples(st.integers(0, 12), st.integers(1, 8), st.booleans(), st.integers(1, 3)),
    min_size=1,
    max_size=25,
)


@given(ROWS)
def test_the_curve_is_where_no_mass_can_grow(rows: list[tuple[int, int, bool, int]]) -> None:
    left = np.array([float(row[0]) for row in rows])
    right = np.array([np.inf if row[2] else float(row[0] + row[1]) for row in rows])
    found = turnbull(left, right, np.array([float(row[3]) for row in rows]))
    assert found.masses.sum() == pytest.approx(1.0, abs=1e-9)
    assert found.excess <= EXCESS
    assert all(a >= b for a, b in pairwise([1.0, *found.survival]))


@given(ROWS)
def test_exact_times_give_kaplan_meier(rows: list[tuple[int, int, bool, int]]) -> None:
    left = np.array([float(row[0]) for row in rows])
    died = np.array([not row[2] for row in rows])
    counts = np.array([float(row[3]) for row in rows])
    found = turnbull(left, np.where(died, left, np.inf), counts)
    curve = kaplan_meier(left, died, counts)
    held = np.isfinite(found.innermost.rights)
    assert found.innermost.rights[held].tolist() == curve.deaths.times.tolist()
    assert found.survival[held] == pytest.approx(curve.survival, abs=1e-6)


def test_ends_that_meet_do_not_share_a_moment() -> None:
    """(1, 2] and (2, 3] are apart; a loss at exactly 2 lies in the first and not in the second."""
    apart = find_innermost(np.array([1.0, 2.0]), np.array([2.0, 3.0]), np.ones(2))
    assert (apart.lefts.tolist(), apart.rights.tolist()) == ([1.0, 2.0], [2.0, 3.0])
    with_exact = find_innermost(np.array([1.0, 2.0, 2.0]), np.array([2.0, 2.0, 3.0]), np.ones(3))
    assert (with_exact.lefts.tolist(), with_exact.rights.tolist()) == ([2.0, 2.0], [2.0, 3.0])


def test_all_gone_and_none_gone() -> None:
    gone = kaplan_meier(np.array([3.0, 3.0]), np.array([True, True]), np.ones(2))
    assert gone.survival.tolist() == [0.0]
    assert np.isnan(gone.low).all()
    none = kaplan_meier(np.array([3.0, 3.0]), np.array([False, False]), np.ones(2))
    assert len(none.survival) == 0
    assert np.isnan(half_gone([], []))


def test_bands_cover_the_curve_and_narrow_with_more_units() -> None:
    rows = cosmesis("RadChem")
    found = turnbull(rows.left, rows.right, rows.counts)
    times = found.innermost.rights[np.isfinite(found.innermost.rights)]
    low, high = bootstrap_band(rows.left, rows.right, rows.counts, times)
    tenfold = bootstrap_band(rows.left, rows.right, rows.counts * 10.0, times)
    assert ((low <= found.survival + 0.02) & (found.survival - 0.02 <= high)).all()
    assert (tenfold[1] - tenfold[0]).mean() < 0.6 * (high - low).mean()


def test_times_that_run_backwards_are_refused() -> None:
    with pytest.raises(ValueComplaint) as told:
        turnbull(np.array([5.0]), np.array([3.0]), np.ones(1))
    assert str(told.value) == (
        "A unit cannot be alive at 5 and gone by 3. The left time is the last look that saw it alive; "
        "put the two right."
    )


def test_one_group_is_no_comparison() -> None:
    with pytest.raises(ValueComplaint) as told:
        log_rank(np.array([5.0]), np.array([True]), np.ones(1), np.array([0]))
    assert str(told.value) == "There is only one group, so nothing to compare. Name a column with two levels."
