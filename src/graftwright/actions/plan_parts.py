"""What a plan is made of: batches, the steps of the grower in them, and wishes that are not met."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

    from graftwright.science.sizing import Alive


@dataclass(frozen=True)
class Dated:
    """A milestone with its earliest, likely and latest day."""

    name: str
    earliest: date
    likely: date
    latest: date


@dataclass(frozen=True)
class Step:
    """Work that has to fall on a free day: so many plants, so many minutes."""

    name: str
    on: date
    plants: int
    minutes: float


@dataclass(frozen=True)
class Batch:
    """Grafts of one wish made in one sitting, the nuts for them, and what follows."""

    wish: int
    variety: str
    species: str
    sheet: str
    grafts: int
    nuts: int
    graft_on: date
    chill_on: date | None
    bring_out: date | None
    ready: date
    minutes: float
    windows: tuple[Dated, ...]
    counts: tuple[Alive, ...]
    warnings: tuple[str, ...]
    purpose: str = ""
    floated: bool = False
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True)
class Unmet:
    """A wish that is not met in full: how many of its grafts have a place, and why not all.

    `clashes` are the wishes it shares days, wood or sprouts with. `clash` is a set of wishes that cannot all
    be met, though the others can as soon as any one of them is left out; empty where none was found.
    """

    wish: int
    variety: str
    needed: int
    placed: int
    sentence: str
    clashes: tuple[int, ...] = ()
    clash: tuple[int, ...] = ()
    purpose: str = ""


@dataclass(frozen=True)
class Plan:
    """All batches, all that cannot be met, warnings about no batch alone, and what the plan rests on."""

    today: date
    batches: tuple[Batch, ...]
    unmet: tuple[Unmet, ...]
    warnings: tuple[str, ...]
    notes: tuple[str, ...] = ()
