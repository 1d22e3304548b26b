"""Curves of survival: from looks beside R's `survfit`, from exact times beside lifelines.

Needs R with survival (Debian: r-cran-survival) and lifelines (from the package index).
Run: python benchmarks/curves.py
"""

from __future__ import annotations

import subprocess
from importlib import import_module
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.lasting.kaplan_meier import kaplan_meier
from graftwright.science.lasting.turnbull import turnbull

if TYPE_CHECKING:
    from collections.abc import Callable

R = """
suppressMessages(library(survival))
d <- read.csv(commandArgs(TRUE)[1])
t <- system.time(f <- survfit(Surv(left, right, type = "interval2") ~ 1, d))
cat(t[["elapsed"]], min(f$surv), "\\n")
"""


def looks(number: int) -> tuple[np.ndarray, np.ndarray]:
    """Losses between looks a few days apart, followed for 150 days."""
    rng = np.random.default_rng(7)
    gone = rng.weibull(1.5, number) * 60.0
    seen = np.round(rng.uniform(1.0, 14.0, (number, 60)).cumsum(axis=1))
    left = np.where(seen < gone[:, None], seen, 0.0).max(axis=1)
    right = np.where(seen >= gone[:, None], seen, np.inf).min(axis=1)
    right[right > 150.0] = np.inf
    return left, right


def seconds(work: Callable[[], object], rounds: int) -> float:
    spent = []
    for _ in range(rounds):
        start = perf_counter()
        work()
        spent.append(perf_counter() - start)
    return median(spent)


def against_survfit(folder: Path) -> None:
    left, right = looks(10_000)
    rows = [f"{a},{b if np.isfinite(b) else 'NA'}" for a, b in zip(left, right, strict=True)]
    (folder / "looks.csv").write_text("left,right\n" + "\n".join(rows) + "\n", encoding="utf-8")
    (folder / "curve.R").write_text(R, encoding="utf-8")
    words = ("Rscript", str(folder / "curve.R"), str(folder / "looks.csv"))
    theirs = float(subprocess.run(words, capture_output=True, text=True, check=True).stdout.split()[0])
    ours = seconds(lambda: turnbull(left, right, np.ones(len(left))), 5)
    print(
        f"10,000 rows of looks: ours {ours:.4f} s, survfit {theirs:.2f} s, {theirs / ours:.0f} times (target 20)"
    )


def against_lifelines() -> None:
    fitter = import_module("lifelines").KaplanMeierFitter
    rng = np.random.default_rng(8)
    times, died = np.round(rng.weibull(1.5, 1_000_000) * 400.0), rng.random(1_000_000) < 0.7
    ours = seconds(lambda: kaplan_meier(times, died, np.ones(len(times))), 5)
    theirs = seconds(lambda: fitter(alpha=0.1).fit(times, died), 3)
    print(
        f"1,000,000 exact times in whole days: ours {ours:.3f} s, lifelines {theirs:.2f} s, "
        f"{theirs / ours:.1f} times (target 5)"
    )


if __name__ == "__main__":
    with TemporaryDirectory() as place:
        against_survfit(Path(place))
    against_lifelines()
