"""What took, and was it luck: rates from a table of counts, with what is known about each."""

from __future__ import annotations

from itertools import combinations
from math import exp, isnan
from typing import TYPE_CHECKING

from graftwright.actions.counts import counts
from graftwright.actions.rates_found import Batch, Cell, Compared, Effect, Rates, Scatter
from graftwright.errors import ValueComplaint
from graftwright.science.findings.compare import compare
from graftwright.science.findings.flat import fit_flat
from graftwright.science.findings.priors import InterceptPrior
from graftwright.science.findings.rates import METHOD, fit_rates
from graftwright.science.findings.separable import not_told_apart
from graftwright.science.findings.table import Column, Table

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from graftwright.actions.rates_found import Question
    from graftwright.science.arrays import FloatArray, IntArray
    from graftwright.science.findings.flat import FlatFit
    from graftwright.science.findings.rates import RateFit, Spread

POINT_90 = 1.6448536269514722  # 95 % point of the standard normal


class ColumnInTwoParts(ValueComplaint):
    """One column is named for two jobs."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"The column {name} cannot be counted, compared and a batch at the same time.",
            do="Name it for one of them.",
        )


def find_rates(values: Mapping[str, Sequence[str]], lines: Sequence[int], question: Question) -> Rates:
    """Answer a question about take from columns as read; `lines` say where each row stands."""
    jobs = (question.taken, question.made, *question.compared, *question.batch)
    for name in jobs:
        if jobs.count(name) > 1:
            raise ColumnInTwoParts(name)
    table = _table(values, lines, question)
    notes = not_told_apart(table)
    return _flat(table, notes) if question.flat else _default(table, question, notes)


def _table(values: Mapping[str, Sequence[str]], lines: Sequence[int], question: Question) -> Table:
    taken, made = counts(values, lines, question.taken, question.made)
    compared = question.compared
    terms = {
        tuple(compared.index(name) for name in part): None
        for term in question.by
        for size in range(1, len(term) + 1)
        for part in combinations(term, size)
    }
    by = tuple(Column.of(name, values[name]) for name in compared)
    batches = tuple(Column.of(name, values[name]) for name in question.batch)
    return Table.of(taken, made, by, tuple(sorted(terms, key=len)), batches)


def _default(table: Table, question: Question, notes: list[str]) -> Rates:
    prior = InterceptPrior.from_usual(*question.usual) if question.usual else InterceptPrior()
    fit = fit_rates(table, prior)
    cells = fit.table.cells()
    log_odds = fit.cell_log_odds(cells)
    rates = fit.rates(log_odds)
    scatter = fit.scatter_spread()
    terms = ["*".join(table.by[number].name for number in term) for term in table.terms]
    sds = _scatters([*terms, *(column.name for column in table.batches)], scatter)
    return Rates(
        cells=_cells(fit.table, cells, rates, zip(*fit.new_batch(log_odds), strict=True)),
        effects=_effects(fit),
        batch_sd=sds[len(terms) :],
        batches=_batches(fit),
        priors=_priors(prior, terms, [column.name for column in table.batches]),
        method=METHOD,
        notes=notes,
        compared=_best_two(fit, cells, rates),
        level_sd=sds[: len(terms)],
    )


def _cells(table: Table, cells: IntArray, rates: Spread, new: Iterable[tuple[float, float]]) -> list[Cell]:
    taken, made = table.cell_counts(cells)
    answer = []
    for number, (cell, (low, high)) in enumerate(zip(cells.tolist(), new, strict=True)):
        beside = {"low": float(low), "high": float(high)} if table.batches else None
        counted = int(taken[number]), int(made[number])
        spread = float(rates.mean[number]), float(rates.low[number]), float(rates.high[number])
        answer.append(Cell(_named(table, cell), *counted, *spread, beside))
    return answer


def _named(table: Table, cell: Sequence[int]) -> dict[str, str]:
    return {column.name: column.levels[code] for column, code in zip(table.by, cell, strict=True)}


def _effects(fit: RateFit) -> list[Effect]:
    names = ["intercept", *(label for term in fit.table.terms for label in fit.table.term_labels(term))]
    spread = fit.effects()
    parts = (spread.mean.tolist(), spread.sd.tolist(), spread.low.tolist(), spread.high.tolist())
    return [Effect(*row) for row in zip(names, *parts, strict=True)]


def _scatters(names: list[str], spread: Spread) -> list[Scatter]:
    parts = (spread.mean.tolist(), spread.low.tolist(), spread.high.tolist())
    return [Scatter(*row) for row in zip(names, *parts, strict=True)]


def _batches(fit: RateFit) -> list[Batch]:
    answer = []
    for number, column in enumerate(fit.table.batches):
        spread = fit.batch_rates(number)
        parts = (spread.mean.tolist(), spread.low.tolist(), spread.high.tolist())
        rows = zip(column.levels, *parts, strict=True)
        made = fit.table.made_of(column).tolist()
        answer += [Batch(column.name, *row) for row, some in zip(rows, made, strict=True) if some]
    return answer


def _priors(prior: InterceptPrior, terms: list[str], batches: list[str]) -> list[dict[str, object]]:
    intercept: dict[str, object] = {
        "of": "intercept",
        "law": "normal",
        "mean": prior.mean,
        "sd": prior.sd,
        "in_words": prior.in_words(),
    }
    sds: list[dict[str, object]] = [
        {"of": f"sd of {name}", "law": "half-normal", "scale": 1.0} for name in (*terms, *batches)
    ]
    return [intercept, *sds]


def _best_two(fit: RateFit, cells: IntArray, rates: Spread) -> Compared | None:
    """Compare the best of the cells that were made with the next."""
    _, made = fit.table.cell_counts(cells)
    order = sorted((number for number in range(len(cells)) if made[number] > 0), key=lambda n: -rates.mean[n])
    if len(order) < 2:
        return None
    best, second = cells[order[0]], cells[order[1]]
    seen = compare(fit, best, second)
    named = (_named(fit.table, best.tolist()), _named(fit.table, second.tolist()))
    return Compared(*named, seen.chance, seen.low, seen.high, seen.more_per_arm)


def _flat(table: Table, notes: list[str]) -> Rates:
    fit = fit_flat(table)
    unknown = [
        f"{name} has no estimate without priors: the counts cannot tell it from the others."
        for name, known in zip(fit.layout.names, fit.layout.known, strict=True)
        if not known
    ]
    return Rates(
        cells=_flat_cells(fit),
        effects=[
            Effect(name, *_wald(mean, sd))
            for name, mean, sd in zip(fit.layout.names, fit.coefficients, fit.errors, strict=True)
        ],
        batch_sd=[
            Scatter(column.name, float(sd), *_profile(fit, number))
            for number, (column, sd) in enumerate(zip(fit.table.batches, fit.sds, strict=True))
        ],
        batches=_flat_batches(fit),
        priors=[],
        method=fit.method,
        notes=[*notes, *unknown],
        log_likelihood=fit.log_likelihood,
    )


def _wald(mean: float, sd: float) -> tuple[float | None, float | None, float | None, float | None]:
    if isnan(mean):
        return None, None, None, None
    return float(mean), float(sd), float(mean - POINT_90 * sd), float(mean + POINT_90 * sd)


def _profile(fit: FlatFit, number: int) -> tuple[float | None, float | None]:
    return fit.profile_interval(number) if fit.can_profile else (None, None)


def _flat_cells(fit: FlatFit) -> list[Cell]:
    cells = fit.table.cells()
    taken, made = fit.table.cell_counts(cells)
    log_odds, errors = fit.log_odds(fit.layout.matrix(cells))
    answer = []
    for number, cell in enumerate(cells.tolist()):
        seen = made[number] > 0
        spread = _shares(log_odds, errors, number) if seen else (None, None, None)
        answer.append(Cell(_named(fit.table, cell), int(taken[number]), int(made[number]), *spread))
    return answer


def _shares(log_odds: FloatArray, errors: FloatArray, number: int) -> tuple[float, float, float]:
    middle, wide = float(log_odds[number]), POINT_90 * float(errors[number])
    return _share(middle), _share(middle - wide), _share(middle + wide)


def _share(log_odds: float) -> float:
    return 1.0 / (1.0 + exp(-log_odds)) if log_odds > -700.0 else 0.0


def _flat_batches(fit: FlatFit) -> list[Batch]:
    answer = []
    for number, column in enumerate(fit.table.batches):
        log_odds, errors = fit.batch_log_odds(number)
        made = fit.table.made_of(column)
        for place, level in enumerate(column.levels):
            if made[place] > 0:
                answer.append(Batch(column.name, level, *_shares(log_odds, errors, place)))
    return answer
