"""Maximum likelihood with two crossed groupings beside lme4's `glmer`, both timed within their process.

Needs R with lme4 (Debian: r-cran-lme4). Run: python benchmarks/rates_without_priors.py [grafts …]
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from _rates import SIZES, grafts, write

from graftwright.science.findings.flat import fit_flat

R = """
suppressMessages(library(lme4))
d <- read.csv(commandArgs(TRUE)[1], colClasses = c("integer", "integer", rep("character", 3)))
for (k in 1:as.integer(commandArgs(TRUE)[2])) {
  t <- system.time(f <- glmer(cbind(taken, made - taken) ~ variety + (1 | sitting) + (1 | stock), d, binomial))
  cat(t[["elapsed"]], sprintf("%.6f", logLik(f)), "\\n")
}
"""


def compare(number: int, folder: Path) -> None:
    table, rounds = grafts(number), 5 if number < 100_000 else 1
    write(table, folder / "cells.csv")
    (folder / "fit.R").write_text(R, encoding="utf-8")
    words = ("Rscript", str(folder / "fit.R"), str(folder / "cells.csv"), str(rounds))
    said = subprocess.run(words, capture_output=True, text=True, check=True).stdout.split()
    theirs, reached = [float(word) for word in said[::2]], float(said[1])
    fit_flat(table)
    ours = []
    for _ in range(max(rounds, 3)):
        start = perf_counter()
        fit = fit_flat(table)
        ours.append(perf_counter() - start)
    gained = fit.log_likelihood - reached
    print(
        f"{number:,} grafts in {len(table.made):,} cells: ours {median(ours):.3f} s, glmer {median(theirs):.2f} s, "
        f"{median(theirs) / median(ours):.0f} times faster (target 15); log likelihood {gained:+.6f} against glmer",
        flush=True,
    )


if __name__ == "__main__":
    with TemporaryDirectory() as place:
        for grafts_made in [int(word) for word in sys.argv[1:]] or [n for n in SIZES if n != 10_000]:
            compare(grafts_made, Path(place))
