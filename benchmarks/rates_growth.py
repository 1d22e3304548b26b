"""The refit behind the findings page at 1,000,000 grafts beside the same at 10,000: target 40 times."""

from __future__ import annotations

from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING

from _rates import grafts

from graftwright.science.findings.priors import InterceptPrior
from graftwright.science.findings.rates import fit_rates

if TYPE_CHECKING:
    from graftwright.science.findings.table import Table


def refit(table: Table) -> float:
    """Time the fit and every rate that a page shows."""
    start = perf_counter()
    fit = fit_rates(table, InterceptPrior())
    fit.rates(fit.cell_log_odds(fit.table.cells()))
    for number in range(len(table.batches)):
        fit.batch_rates(number)
    return perf_counter() - start


def main() -> None:
    small, large = grafts(10_000), grafts(1_000_000)
    rounds = [(refit(small), refit(large)) for _ in range(3)]
    times = median(slow / fast for fast, slow in rounds)
    print(
        f"10,000 grafts {median(a for a, _ in rounds):.2f} s, 1,000,000 grafts {median(b for _, b in rounds):.1f} s: "
        f"{times:.0f} times (target 40)",
        flush=True,
    )


if __name__ == "__main__":
    main()
