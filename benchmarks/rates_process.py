"""`findings rates` on 2,000 grafts as a whole process, beside an R script that does the same work.

Needs R with lme4 (Debian: r-cran-lme4). Run: python benchmarks/rates_process.py
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from _pair import command, compare
from _rates import grafts, write

R = """
suppressMessages(library(lme4))
d <- read.csv(commandArgs(TRUE)[1], colClasses = c("integer", "integer", rep("character", 3)))
f <- glmer(cbind(taken, made - taken) ~ variety + (1 | sitting) + (1 | stock), d, binomial)
print(summary(f)); print(ranef(f, condVar = TRUE))
"""


def main() -> None:
    with TemporaryDirectory() as place:
        table, script = Path(place) / "cells.csv", Path(place) / "rates.R"
        write(grafts(2_000), table)
        script.write_text(R, encoding="utf-8")
        start = (sys.executable, "-c", "from graftwright.cli.main import main; main()")
        asked = ("findings", "rates", table, "--taken", "taken", "--made", "made", "--by", "variety")
        ours = command(*start, *asked, "--batch", "sitting", "--batch", "stock", "--json")
        compare(
            ("findings rates", ours), ("R script", command("Rscript", script, table)), at_most=0.8, rounds=6
        )


if __name__ == "__main__":
    main()
