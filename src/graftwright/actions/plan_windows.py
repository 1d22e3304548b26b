"""Windows of grafts that are still to be made, as days after grafting, hardening or chilling."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.clockwork import Windows
from graftwright.actions.cohorts import Stay
from graftwright.actions.course import Course
from graftwright.actions.routes import Walk
from graftwright.ledger.stages import Path
from graftwright.ledger.windows import Milestone, Window

if TYPE_CHECKING:
    from graftwright.handbook.sheets import Sheet
    from graftwright.handbook.species import Species

HORIZON_DAYS = 360
SPROUTING_DAYS = 120  # nuts that have no root after so long in the warmth will have none
_ENOUGH = 50  # from here on more plants hardly move the day of the half or of nine in ten
_START = date(2001, 1, 1)  # any day: only days after it are used
_NEVER = Window(None, None, None)

Degrees = tuple[tuple[int, float], ...]  # so many days, so warm


@dataclass(frozen=True)
class Reach:
    """When a milestone is reached: by half of the plants, and by nine in ten of them."""

    stage: str
    name: str
    half: Window
    most: Window

    @property
    def ready(self) -> float | None:
        """The later of 'half are there in nine of ten seasons' and 'nine in ten are there, at even odds'."""
        half, most = self.half.latest, self.most.likely
        return None if half is None or most is None else max(half, most)


@dataclass
class Clocks:
    """Asks the clocks of sheets and species at the room's temperatures, once for each question."""

    room_c: float
    refrigerator_c: float
    _known: dict[tuple[object, ...], tuple[Reach, ...]] = field(default_factory=dict)

    def after_grafting(self, sheet: Sheet, species: Species, grafts: int) -> tuple[Reach, ...]:
        """Return the milestones of a sheet, in days after grafting."""
        return self._ask(sheet.key, Course(sheet.stages), species, grafts, ((HORIZON_DAYS, self.room_c),), "")

    def after_hardening(self, sheet: Sheet, species: Species, grafts: int) -> Reach | None:
        """Return the end of hardening, in days after the grafts were set out."""
        warmth = ((HORIZON_DAYS, self.room_c),)
        found = self._ask(sheet.key, Course(sheet.stages), species, grafts, warmth, "harden")
        return next((one for one in found if one.stage == "hardening"), None)

    def after_chilling(self, species: Species, nuts: int, cold_days: int) -> Reach | None:
        """Return when nuts have a usable root, in days after they were put to chill."""
        degrees = ((cold_days, self.refrigerator_c), (SPROUTING_DAYS, self.room_c))
        found = self._ask("seed", Course(species.seed_stages), species, nuts, degrees, "chill")
        return next((one for one in found if one.stage == "sprouting"), None)

    def _ask(
        self, key: str, course: Course, species: Species, plants: int, degrees: Degrees, step: str
    ) -> tuple[Reach, ...]:
        plants = max(1, min(plants, _ENOUGH))
        question = (key, species.genus, plants, degrees, step)
        if question not in self._known:
            self._known[question] = _reaches(course, species, plants, degrees, step)
        return self._known[question]


def _reaches(course: Course, species: Species, plants: int, degrees: Degrees, step: str) -> tuple[Reach, ...]:
    hourly = [warmth for days, warmth in degrees for _ in range(24 * days)]
    first = course.path[0]
    stay = Stay("", Path(course.path), came=_START.isoformat(), standing=Counter({first: plants}))
    walk = Walk((stay,), (), {step: [_START.isoformat()]} if step else {})
    milestones, _ = Windows(course, species.genus, species, _START, walk, hourly).all()
    return tuple(_reach(one) for one in milestones)


def _reach(milestone: Milestone) -> Reach:
    return Reach(milestone.stage, milestone.name, milestone.half or _NEVER, milestone.most or _NEVER)
