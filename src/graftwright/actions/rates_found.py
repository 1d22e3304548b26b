"""The question about what took, and the answer's fields as scripts read them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Question:
    """Which columns hold the counts, which are compared and which group; how sure one was before."""

    taken: str
    made: str
    by: tuple[tuple[str, ...], ...] = ()
    batch: tuple[str, ...] = ()
    usual: tuple[float, float] | None = None
    flat: bool = False

    @property
    def compared(self) -> tuple[str, ...]:
        """Names of the compared columns, each once, in the order named."""
        return tuple(dict.fromkeys(name for term in self.by for name in term))

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column the question needs."""
        return tuple(dict.fromkeys((self.taken, self.made, *self.compared, *self.batch)))


@dataclass(frozen=True)
class Cell:
    """One combination of compared levels; `new_batch` is where one more batch of it may lie."""

    by: dict[str, str]
    taken: int
    made: int
    rate: float | None
    low: float | None
    high: float | None
    new_batch: dict[str, float] | None = None


@dataclass(frozen=True)
class Effect:
    """The intercept, a deviation or a contrast, in log odds."""

    name: str
    mean: float | None
    sd: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Scatter:
    """How much the levels of a grouping differ: sd in log odds."""

    name: str
    mean: float
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Batch:
    """One level of a grouping: its take at the middle of its own grafts."""

    name: str
    level: str
    rate: float
    low: float
    high: float


@dataclass(frozen=True)
class Compared:
    """The best cell against the next: chance that it is better, its lead in share."""

    better: dict[str, str]
    than: dict[str, str]
    chance: float
    low: float
    high: float
    more_per_arm: int | None


@dataclass(frozen=True)
class Rates:
    """The answer: what took, with what it rests on. Fields are those that scripts read."""

    cells: list[Cell]
    effects: list[Effect]
    batch_sd: list[Scatter]
    batches: list[Batch]
    priors: list[dict[str, object]]
    method: str
    notes: list[str]
    compared: Compared | None = None
    level_sd: list[Scatter] | None = None
    log_likelihood: float | None = None
