"""A stage of a sheet or of a seed: how it ends, what it asks for, what is known of it for a genus."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from graftwright.handbook.values import Origin

Span = tuple[float, float]


@dataclass(frozen=True)
class Pace:
    """How long from the step that starts the clock until half the plants are there.

    `days` are days at the optimum of the species' `response` where the kind is thermal, plain days
    where it is calendar. `spread` (between plants) and `batch_spread` are standard deviations of
    the logarithm; `worth` is how many batches the figure is worth.
    """

    kind: str
    response: str | None
    days: float
    spread: float
    batch_spread: float
    worth: float
    origin: Origin


@dataclass(frozen=True)
class Share:
    """The long-run share that pass a stage, what it is worth in grafts, and how far seasons differ."""

    mean: float
    worth: float
    rho: float
    origin: Origin


@dataclass(frozen=True)
class Survival:
    """The share for each answer to 'have you done this before?'."""

    first_time: Share
    some: Share
    practised: Share

    def of(self, experience: str) -> Share:
        """Give the share for `first_time`, `some` or `practised`."""
        shares = {"first_time": self.first_time, "some": self.some, "practised": self.practised}
        return shares[experience]


@dataclass(frozen=True)
class Light:
    """Photon flux [µmol m⁻² s⁻¹] and hours a day, each from-to."""

    ppfd: Span
    hours: Span


@dataclass(frozen=True)
class Keep:
    """The air to keep: temperature and night temperature [°C], humidity [%], light."""

    temperature: Span | None = None
    rest: Span | None = None  # of buds and roots, where only the union is warmed
    night: Span | None = None
    humidity: Span | None = None
    light: Light | None = None
    in_below: float | None = None  # °C: bring in when the night goes below it


@dataclass(frozen=True)
class StageFigures:
    """What is known of a stage for one genus; what is not known is None."""

    genus: str
    pace: Pace | None = None
    keep: Keep | None = None
    survival: Survival | None = None


@dataclass(frozen=True)
class ActWithin:
    """How many days after the milestone there are to act, and what comes of waiting longer."""

    days: float
    harm: str


@dataclass(frozen=True)
class LossShown:
    """Median days from entering the stage until a loss shows, and the log spread round it."""

    days: float
    spread: float


@dataclass(frozen=True)
class Task:
    """Work the sheet wants: `at` the start, the end or each check, every so many days, or after some.

    `only_from` limits it to scions of one sort of wood, such as side shoots.
    """

    do: str
    minutes: float
    per: str
    at: str | None = None
    every_days: float | None = None
    after_days: float | None = None
    only_from: str | None = None
    caution: tuple[str, ...] = ()


@dataclass(frozen=True)
class Use:
    """Material for one graft."""

    item: str
    each: float | None = None
    litres: float | None = None


@dataclass(frozen=True)
class Step:
    """One step of weaning or hardening: what, how open, how many hours, and the sign to look for."""

    what: str
    hours: Span
    sign: str
    variant: str = "usual"
    opening: str | None = None
    humidity: Span | None = None


@dataclass(frozen=True)
class Stage:
    """Where a unit stands; it ends at its milestone, which is the key of the next stage."""

    key: str
    of: str
    ends: str | None = None
    milestone: str | None = None
    started_by: str | None = None
    ended_by: str | None = None
    sign: str = ""
    measure: str | None = None
    at_least: float | None = None
    act_within: ActWithin | None = None
    check_every: float | None = None
    loss_shown: LossShown | None = None
    give_up_after: float | None = None
    work: tuple[Task, ...] = ()
    uses: tuple[Use, ...] = ()
    steps: tuple[Step, ...] = ()
    caution: tuple[str, ...] = ()
    by_genus: Mapping[str, StageFigures] = field(default_factory=dict)

    def figures(self, genus: str) -> StageFigures | None:
        """Give what is known of this stage for a genus."""
        return self.by_genus.get(genus)
