"""`graftwright air` as a whole process against the bare interpreter."""

from __future__ import annotations

import subprocess
import sys
import time

RUNS = 40
TARGET = 12.0
BARE = [sys.executable, "-c", "pass"]
AIR = [
    sys.executable,
    "-c",
    "from graftwright.cli.main import main; main(['air', '--temperature', '23', '--humidity', '60'])",
]


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    """Take turns, so that a busy machine burdens both alike, and compare the fastest runs."""
    turns = [(seconds(BARE), seconds(AIR)) for _ in range(RUNS)]
    bare, air = (min(column) for column in zip(*turns, strict=True))
    print(f"bare interpreter {bare * 1000:.1f} ms, graftwright air {air * 1000:.1f} ms")
    print(f"ratio {air / bare:.1f}, target at most {TARGET:g}")


if __name__ == "__main__":
    main()
