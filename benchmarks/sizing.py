"""How many to start and will it do: beside plain simulation, and beside a bare start of the interpreter."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from _pair import command, compare, compare_faster

from graftwright.science.outlook import Wish, outlooks
from graftwright.science.shares import Entered
from graftwright.science.sizing import Stage, how_many

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Counts = NDArray[np.int64]
    Floats = NDArray[np.float64]

GRAFTWRIGHT = Path(sys.executable).with_name("graftwright")
SIZE = (
    "plan",
    "size",
    "--want",
    "50",
    "--sure",
    "0.9",
    "--stage",
    "sprouted=0.8@20",
    "--stage",
    "take=0.75@20",
)
CHAIN = [Stage(f"stage {number}", 0.75 + 0.03 * number, 20 + 5 * number) for number in range(7)]
WANT, SURE = 20_000, 0.9


def simulated_start(draws: int) -> int:
    """One product of Beta draws, and a bisection with one binomial draw a try."""
    rng = np.random.default_rng(1)
    passing = np.ones(draws)
    for stage in CHAIN:
        passing *= rng.beta(stage.passing, (stage.weight or 0.0) - stage.passing, draws)
    short, enough = WANT, int(4 * WANT / passing.mean())
    while enough - short > 1:
        start = (short + enough) // 2
        reached = (rng.binomial(start, passing) >= WANT).mean() >= SURE
        short, enough = (short, start) if reached else (start, enough)
    return enough


BATCHES = [Entered(n % 6, n % 3 * 5, n % 4, 40, 0.1 + 0.04 * n, 0.9 - 0.04 * n) for n in range(20)]
SHEET = CHAIN[:6]


def simulated_outlooks(wishes: Sequence[Wish], draws: int) -> list[Floats]:
    """The same model, drawn: the season's shares once, then each wish stage by stage."""
    rng = np.random.default_rng(1)
    shares = [drawn_share(rng, number, draws) for number in range(len(SHEET))]
    return [summary(simulated_wish(rng, wish, shares, draws), wish.want) for wish in wishes]


def drawn_share(rng: np.random.Generator, number: int, draws: int) -> Floats:
    stage, p = SHEET[number], (np.arange(2000) + 0.5) / 2000
    log = (stage.passing - 1) * np.log(p) + ((stage.weight or 0.0) - stage.passing - 1) * np.log1p(-p)
    for each in BATCHES:
        if each.stage == number:
            passing, failing = each.still_to_come()
            log += each.passed * np.log(p) + each.lost * np.log1p(-p)
            log += each.waiting * np.log(p * passing + (1 - p) * failing)
    below = np.cumsum(np.exp(log - log.max()))
    drawn: Floats = np.interp(rng.random(draws) * below[-1], below, p)
    return drawn


def simulated_wish(rng: np.random.Generator, wish: Wish, shares: Sequence[Floats], draws: int) -> Counts:
    there: Counts | None = None
    for number, p in enumerate(shares):
        standing = [each for each in wish.own if each.stage == number]
        if there is not None:
            there = rng.binomial(there, p)
        for each in standing:
            passed = rng.binomial(each.waiting, each.fate(p, 1 - p))
            there = passed if there is None else there + passed
    return np.zeros(draws, dtype=np.int64) if there is None else there


def summary(left: Counts, want: int) -> Floats:
    return np.array([(left >= want).mean(), *np.quantile(left, [0.1, 0.5, 0.9])])


def main() -> None:
    compare_faster(
        ("how many to start, 7 stages, 20,000 wanted", lambda: how_many(WANT, SURE, CHAIN)),
        ("1,000,000 draws", lambda: simulated_start(1_000_000)),
        at_least=60,
        rounds=5,
    )
    bare = ("bare interpreter", command(sys.executable, "-c", "pass"))
    compare(("graftwright plan size", command(GRAFTWRIGHT, *SIZE)), bare, at_most=8)
    apart = [Wish(20, (batch,)) for batch in BATCHES]
    at_once = [Wish(400, tuple(BATCHES))]
    for name, wishes in (("20 wishes of one batch of 40", apart), ("one wish of 20 batches of 40", at_once)):
        compare_faster(
            (f"outlook, {name}", partial(outlooks, SHEET, wishes)),
            ("100,000 draws", partial(simulated_outlooks, wishes, 100_000)),
            at_least=5,
            rounds=10,
        )


if __name__ == "__main__":
    main()
