"""Benches drawn from the pace model as it is written down, without the code that forecasts them.

Draw a batch's u and each plant's z, add up the temperature response hour by hour, and note when each
plant passes each milestone; a check counts the plants whose time has come.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

HORIZON_DAYS = 160


@dataclass
class Bench:
    hourly_c: np.ndarray
    cardinal: list[tuple[float, float, float]]
    days: list[float]
    spread: float
    batch_spread: float
    reached: np.ndarray  # day since the start, by plant and milestone

    @property
    def plants(self) -> int:
        return len(self.reached)


@dataclass
class Seen:
    day: float
    passed: tuple[int, ...]
    seen: int
    lost: tuple[int, ...] = ()


def simulate(rng, hourly_c=None, plants=None) -> Bench:
    plants = plants or int(rng.integers(2, 41))
    hourly_c = room(rng) if hourly_c is None else hourly_c
    cardinal = [(10.0, 23.0, 32.0), (10.0, 23.0, 32.0), (5.0, 24.0, 35.0)]
    days = [float(d) for d in rng.uniform(7, 12) * np.array([1.0, 1.5, 1.8])]
    spread, batch_spread = float(rng.uniform(0.12, 0.3)), float(rng.uniform(0.08, 0.25))
    needed = np.exp(spread * rng.standard_normal(plants) + batch_spread * rng.standard_normal())
    reached = np.column_stack([when(hourly_c, c, d * needed) for c, d in zip(cardinal, days, strict=True)])
    return Bench(hourly_c, cardinal, days, spread, batch_spread, np.maximum.accumulate(reached, axis=1))


def room(rng) -> np.ndarray:
    """A heated room: its own mean, a daily wave, and slow drifts."""
    hour = np.arange(HORIZON_DAYS * 24)
    wave = rng.uniform(0, 4) * np.sin(2 * np.pi * hour / 24)
    drift = 2 * np.sin(2 * np.pi * hour / (24 * rng.uniform(5, 30)) + rng.uniform(0, 6))
    return rng.uniform(18, 25) + wave + drift


def when(hourly_c, cardinal, needed) -> np.ndarray:
    """Add up hour by hour; within the hour of passing, time goes with the share still missing."""
    low, best, high = cardinal
    a = math.log(2) / math.log((high - low) / (best - low))
    warm = np.clip(hourly_c, low, high) - low
    rate = (2 * warm**a * (best - low) ** a - warm ** (2 * a)) / (best - low) ** (2 * a) / 24
    total = np.cumsum(rate)
    passing = (total[None, :] < needed[:, None]).sum(axis=1)
    start = np.where(passing > 0, total[passing - 1], 0.0)
    return (passing + (needed - start) / rate[passing]) / 24


def check_days(rng, bench, fewest=1) -> list[float]:
    return sorted(rng.uniform(2, 1.6 * bench.days[2], int(rng.integers(fewest, 6))).tolist())


def counts(reached, day) -> tuple[int, ...]:
    return tuple((reached <= day).sum(axis=0).tolist())


def right_checks(rng, bench, fewest=1) -> list[Seen]:
    return [Seen(day, counts(bench.reached, day), bench.plants) for day in check_days(rng, bench, fewest)]


def checks_of_some(rng, bench) -> list[Seen]:
    def look(day):
        who = rng.choice(bench.plants, int(rng.integers(1, bench.plants + 1)), replace=False)
        return Seen(day, counts(bench.reached[who], day), len(who))

    return [look(day) for day in check_days(rng, bench)]


def with_made_up_check(rng, bench, which) -> list[Seen]:
    """One check has counts that have nothing to do with the batch."""
    checks = right_checks(rng, bench, fewest=2)
    wrong = which(rng, len(checks))
    made_up = sorted(rng.integers(0, bench.plants + 1, 3).tolist(), reverse=True)
    checks[wrong] = Seen(checks[wrong].day, tuple(made_up), bench.plants)
    return checks


def with_one_plant_misjudged(rng, bench, which) -> list[Seen]:
    """In one check one plant, drawn from all, is put a stage too far or not far enough."""
    checks = right_checks(rng, bench, fewest=2)
    wrong = which(rng, len(checks))
    day = checks[wrong].day
    stages = (bench.reached <= day).sum(axis=1)
    who = int(rng.integers(bench.plants))
    stages[who] = (
        stages[who] + 1 if stages[who] == 0 or (stages[who] < 3 and rng.random() < 0.5) else stages[who] - 1
    )
    passed = tuple(int((stages > j).sum()) for j in range(3))
    checks[wrong] = Seen(day, passed, bench.plants)
    return checks


def with_losses(rng, bench) -> tuple[list[Seen], np.ndarray]:
    """Plants die between checks, whatever their pace; also returns which count at each milestone."""
    alive = np.ones(bench.plants, bool)
    seen_there = np.zeros(bench.reached.shape, bool)
    checks = []
    for day in check_days(rng, bench):
        dying = alive & (rng.random(bench.plants) < 0.15)
        lost = np.bincount(seen_there[dying].sum(axis=1), minlength=4)
        alive &= ~dying
        checks.append(Seen(day, counts(bench.reached[alive], day), int(alive.sum()), tuple(lost.tolist())))
        seen_there[alive] = bench.reached[alive] <= day
    return checks, alive[:, None] | seen_there


def earlier(rng, checks) -> int:
    return int(rng.integers(checks - 1))


def the_last(rng, checks) -> int:
    return checks - 1
