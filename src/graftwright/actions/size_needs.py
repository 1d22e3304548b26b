"""What a number of grafts to start means in nuts, sticks, material and hours, by a sheet."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from graftwright.actions.chain import chain
from graftwright.actions.plan_work import graft_stays, material, seed_stays, work
from graftwright.errors import ValueComplaint
from graftwright.handbook.errors import nearest
from graftwright.handbook.untried import untried
from graftwright.science.sizing import alive, how_many

if TYPE_CHECKING:
    from collections.abc import Iterable

    from graftwright.handbook import Handbook, Sheet, Species
    from graftwright.science.sizing import Stage

USUAL_STICK = 5  # usable buds; a first guess
_SURE_OF_NUTS = 0.9
_IN_THE_WARMTH = 14.0  # days from bringing nuts out to grafting; a first guess


class NothingKnown(ValueComplaint):
    """A genus that the handbook does not know."""

    def __init__(self, genus: str, known: Iterable[str]) -> None:
        super().__init__(f"The handbook knows nothing of '{genus}'.", do=nearest(genus, known))


class NoShares(ValueComplaint):
    """A sheet that cannot plan for a genus."""

    def __init__(self, why: str) -> None:
        super().__init__(why, do="Choose another sheet, or give the shares yourself with --stage.")


class NoSuchStick(ValueComplaint):
    """A stick without a bud, or with far too many."""

    def __init__(self, buds: int) -> None:
        super().__init__(f"A stick cannot have {buds:,} buds.", do="Give a number from 1 to 100.")


@dataclass(frozen=True)
class Method:
    """A sheet for a genus, as a grower of some experience works it."""

    sheet: Sheet
    species: Species
    experience: str
    stick: int = USUAL_STICK

    def __post_init__(self) -> None:
        """Refuse what has no figures."""
        why = untried(self.sheet, self.species, self.species.genus)
        if why:
            raise NoShares(why)
        if not 1 <= self.stick <= 100:
            raise NoSuchStick(self.stick)

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The shares that pass each stage of the sheet."""
        return chain(self.sheet.stages, self.species.genus, self.experience)

    @property
    def buds(self) -> int:
        """Buds on each scion."""
        return int((self.sheet.buds_per_scion or (1, 1))[0])


def method(handbook: Handbook, key: str, genus: str, experience: str, stick: int = USUAL_STICK) -> Method:
    """Find sheet and genus in the handbook."""
    sheet = handbook.sheet(key)
    if genus not in handbook.species:
        raise NothingKnown(genus, handbook.species)
    return Method(sheet, handbook.species[genus], experience, stick)


def needs(grafts: int, by: Method) -> dict[str, float]:
    """Return what these grafts take: what is used up later is for the grafts expected then.

    Nuts are the fewest of which enough sprout in nine seasons of ten.
    """
    counts = {one.name: one.expected for one in alive(grafts, by.stages)}
    seed = chain(by.species.seed_stages, by.species.genus, by.experience)
    nuts = how_many(grafts, _SURE_OF_NUTS, seed).start if seed else 0
    used: dict[str, float] = defaultdict(float)
    for name, amount in material(by.sheet, grafts, counts):
        used[name] += amount
    pieces = {name: round(n, 1) if "litres" in name else ceil(n - 1e-9) for name, n in used.items()}
    return {
        **({"nuts": nuts} if nuts else {}),
        "sticks": ceil(grafts * by.buds / by.stick),
        **pieces,
        "hours": round(_minutes(grafts, nuts, counts, by) / 60, 1),
    }


def _minutes(grafts: int, nuts: int, counts: dict[str, float], by: Method) -> float:
    stays = [*graft_stays(by.sheet, grafts, counts, likely_days(by.sheet, by.species.genus))]
    chill = by.species.chill
    if nuts and chill:
        cold = chill.days[0] if chill.days else chill.minimum_days or 0.0
        stays += seed_stays(by.species, nuts, (0.0, cold, cold + _IN_THE_WARMTH))
    return sum(spent for _, spent, _ in work(stays))


def likely_days(sheet: Sheet, genus: str) -> dict[str, float]:
    """Return the days from grafting to each milestone in a room at the best temperature."""
    days: dict[str, float] = {}
    clock, began, now = None, 0.0, 0.0
    for stage in sheet.stages[:-1]:
        if stage.started_by and stage.started_by != clock:
            clock, began = stage.started_by, now
        figures = stage.figures(genus)
        if figures and figures.pace:
            now = max(now, began + figures.pace.days)
        days[stage.milestone or ""] = now
    return days
