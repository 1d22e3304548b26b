"""Times two pieces of work in turn within one run and prints their ratio.

A machine slows down and speeds up while one waits, so each round times both, one right after the
other and each first in every second round, and the ratio is taken round by round.
"""

from __future__ import annotations

import subprocess
from dataclasses import dataclass
from statistics import median, quantiles
from time import perf_counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    Work = Callable[[], object]


@dataclass(frozen=True)
class Timing:
    """Seconds that our work and its peer took, round by round."""

    ours_s: tuple[float, ...]
    peer_s: tuple[float, ...]

    @property
    def ratios(self) -> list[float]:
        return [ours / peer for ours, peer in zip(self.ours_s, self.peer_s, strict=True)]


def command(*words: str | Path, env: Mapping[str, str] | None = None) -> Work:
    """Make a piece of work of a command; one that fails ends the benchmark."""

    def run() -> object:
        return subprocess.run(words, env=env, capture_output=True, check=True)

    return run


def time_in_turn(ours: Work, peer: Work, *, rounds: int = 20) -> Timing:
    """Time both, after each has run once untimed."""
    ours(), peer()
    pairs = []
    for number in range(rounds):
        first, second = (ours, peer) if number % 2 else (peer, ours)
        seconds = _seconds(first), _seconds(second)
        pairs.append(seconds if number % 2 else seconds[::-1])
    return Timing(tuple(ours_s for ours_s, _ in pairs), tuple(peer_s for _, peer_s in pairs))


def sentence(ours: str, peer: str, timing: Timing, *, at_most: float) -> str:
    """Say the figure: both medians, the median ratio with its middle half, and whether the target is met."""
    ratio = median(timing.ratios)
    low, _, high = quantiles(timing.ratios, n=4)
    return (
        f"{ours}: {median(timing.ours_s):.4f} s, {peer}: {median(timing.peer_s):.4f} s, "
        f"ratio {ratio:.2f} ({low:.2f} to {high:.2f}), target at most {at_most:g}: "
        f"{'met' if ratio <= at_most else 'not met'}"
    )


def compare(ours: tuple[str, Work], peer: tuple[str, Work], *, at_most: float, rounds: int = 20) -> None:
    """Time two named pieces of work and print the figure."""
    timing = time_in_turn(ours[1], peer[1], rounds=rounds)
    print(sentence(ours[0], peer[0], timing, at_most=at_most), flush=True)


def _seconds(work: Work) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start
