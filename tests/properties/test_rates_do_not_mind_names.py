"""Renaming or re-ordering levels and rows changes nothing; small and odd tables get honest answers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from findings_data import canker, cbpp, seeds
from graftwright.science.findings.compare import compare
from graftwright.science.findings.flat import fit_flat
from graftwright.science.findings.priors import InterceptPrior
from graftwright.science.findings.rates import fit_rates
from graftwright.science.findings.table import Column, Table


def renamed(column: Column, order: np.ndarray) -> Column:
    """Give the levels other names, which sort in another order."""
    names = [f"{place:03}" for place in order]
    return Column.of(column.name, [names[code] for code in column.codes])


@pytest.mark.parametrize("make", [seeds, cbpp, canker])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_names_and_order_do_not_matter(make: object, seed: int) -> None:
    table = make()
    rng = np.random.default_rng(seed)
    rows = rng.permutation(len(table.made))
    orders = [rng.permutation(len(column.levels)) for column in (*table.by, *table.batches)]
    columns = [renamed(c, order) for c, order in zip((*table.by, *table.batches), orders, strict=True)]
    columns = [Column(c.name, c.levels, c.codes[rows]) for c in columns]
    split = len(table.by)
    other = Table(
        table.taken[rows], table.made[rows], tuple(columns[:split]), table.terms, tuple(columns[split:])
    )
    ours, theirs = (fit_rates(t, InterceptPrior()) for t in (table, other))
    cells = ours.table.cells()
    moved = np.stack([order[cells[:, n]] for n, order in enumerate(orders[:split])], axis=1)
    first, second = ours.rates(ours.cell_log_odds(cells)), theirs.rates(theirs.cell_log_odds(moved))
    for part in ("mean", "low", "high"):
        assert getattr(first, part) == pytest.approx(getattr(second, part), abs=1e-6)
    batches = ours.batch_rates(0).mean, theirs.batch_rates(0).mean
    assert batches[0] == pytest.approx(batches[1][orders[split]], abs=1e-6)


@pytest.mark.parametrize("seed", [1, 2])
def test_flat_rates_do_not_mind_the_base(seed: int) -> None:
    table = cbpp()
    order = np.random.default_rng(seed).permutation(4)
    other = replace(table, by=(renamed(table.by[0], order),))
    ours, theirs = fit_flat(table), fit_flat(other)
    assert ours.log_likelihood == pytest.approx(theirs.log_likelihood, abs=1e-8)
    cells = ours.table.cells()
    first = ours.log_odds(ours.layout.matrix(cells))
    second = theirs.log_odds(theirs.layout.matrix(order[cells]))
    assert first[0] == pytest.approx(second[0], abs=1e-5)
    assert first[1] == pytest.approx(second[1], abs=1e-5)


COUNTS = st.integers(1, 12).flatmap(lambda made: st.tuples(st.integers(0, made), st.just(made)))


@settings(max_examples=40)
@given(st.lists(st.tuples(COUNTS, st.integers(0, 3), st.integers(0, 5)), min_size=1, max_size=12))
def test_any_small_table_has_an_answer_in_order(rows: list[tuple[tuple[int, int], int, int]]) -> None:
    variety = Column.of("variety", [str(row[1]) for row in rows])
    bag = Column.of("bag", [str(row[2]) for row in rows])
    table = Table.of([row[0][0] for row in rows], [row[0][1] for row in rows], (variety,), ((0,),), (bag,))
    fit = fit_rates(table, InterceptPrior())
    log_odds = fit.cell_log_odds(fit.table.cells())
    rates, new = fit.rates(log_odds), fit.new_batch(log_odds)
    assert (rates.low > 0.0).all()
    assert (rates.high < 1.0).all()
    assert (rates.low < rates.mean).all()
    assert (rates.mean < rates.high).all()
    assert (new[0] <= rates.low + 1e-6).all()
    assert (new[1] >= rates.high - 1e-6).all()


def one_column(taken: list[int], made: list[int]) -> Table:
    variety = Column.of("variety", [f"{number:02}" for number in range(len(made))])
    return Table.of(taken, made, (variety,), ((0,),))


def test_none_of_eight_and_all_of_eight() -> None:
    fit = fit_rates(one_column([0, 8], [8, 8]), InterceptPrior())
    rates = fit.rates(fit.cell_log_odds(fit.table.cells()))
    assert rates.low[0] < 0.02 < rates.mean[0] < 0.15
    assert rates.high[1] > 0.98 > rates.mean[1] > 0.85


def test_a_cell_never_made_is_known_less() -> None:
    table = one_column([4, 5], [8, 8])
    empty = Column("variety", ("00", "01", "02"), table.by[0].codes)
    fit = fit_rates(replace(table, by=(empty,)), InterceptPrior())
    rates = fit.rates(fit.cell_log_odds(fit.table.cells()))
    assert rates.high[2] - rates.low[2] > 1.3 * (rates.high[0] - rates.low[0])


def test_sixty_levels_are_drawn_to_each_other() -> None:
    rng = np.random.default_rng(4)
    taken = rng.binomial(6, 0.6, 60)
    fit = fit_rates(one_column(taken.tolist(), [6] * 60), InterceptPrior())
    rates = fit.rates(fit.cell_log_odds(fit.table.cells()))
    assert rates.mean.std() < 0.5 * (taken / 6).std()
    assert ((rates.low < 0.6) & (rates.high > 0.6)).mean() > 0.9


def test_no_columns_at_all_is_one_rate() -> None:
    fit = fit_rates(Table.of([5, 3], [8, 8]), InterceptPrior())
    rates = fit.rates(fit.cell_log_odds(fit.table.cells()))
    assert rates.mean.shape == (1,)
    assert 0.4 < rates.mean[0] < 0.6


def test_two_alike_cannot_be_told_and_two_unlike_can() -> None:
    alike = fit_rates(one_column([5, 5], [8, 8]), InterceptPrior())
    seen = compare(alike, np.array([0]), np.array([1]))
    assert seen.chance == pytest.approx(0.5, abs=1e-3)
    assert seen.low == pytest.approx(-seen.high, abs=0.01)
    unlike = fit_rates(one_column([10, 38], [40, 40]), InterceptPrior())
    seen = compare(unlike, np.array([1]), np.array([0]))
    assert seen.chance > 0.999
    assert seen.more_per_arm == 0
    assert 0.3 < seen.low < 0.7 < seen.high < 0.9


def test_a_small_lead_asks_for_more_grafts_than_a_large_one() -> None:
    def more(taken: list[int]) -> int | None:
        fit = fit_rates(one_column(taken, [13, 13]), InterceptPrior())
        return compare(fit, np.array([1]), np.array([0])).more_per_arm

    small, large = more([7, 8]), more([5, 11])
    assert large is not None
    assert small is None or small > large
