"""Where the batches of a sheet stand this season, and what became of their grafts at each stage of the chain."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.fates import FINISHED, LOST
from graftwright.actions.wanted import varieties_of
from graftwright.ledger.windows import outward

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from graftwright.actions.ports import Reading
    from graftwright.handbook import Handbook
    from graftwright.ledger.windows import Forecast
    from graftwright.science.shares import Entered
    from graftwright.science.sizing import Stage


@dataclass(frozen=True)
class Standing:
    """One batch of a season: what it is, and what became of it stage by stage."""

    batch: str
    variety: str
    start: date
    made: int
    living: int
    finished: int  # and here
    given: int
    entered: tuple[Entered, ...]
    ready: date | None  # the latest day on which it comes to its last milestone by growth


def sheet_of(forecast: Forecast) -> str:
    """Key of the method sheet that a batch was made with."""
    return str(forecast.rests_on.get("sheet", "")).partition("/")[0]


def standing(
    reading: Reading, season: Iterable[Forecast], sheet: str, genus: str, stages: Sequence[Stage],
    handbook: Handbook,
) -> list[Standing]:  # fmt: skip
    own = [one for one in season if sheet_of(one) == sheet and one.rests_on.get("genus") == genus]
    varieties = varieties_of(reading, [one.batch for one in own])
    path = [stage.key for stage in handbook.sheet(sheet).stages]
    return [_one(one, varieties.get(one.batch, ""), path, [stage.name for stage in stages]) for one in own]


def _one(forecast: Forecast, variety: str, path: Sequence[str], chained: Sequence[str]) -> Standing:
    """Lay a batch's fates on the stages of the chain; a stage of which nothing is known is passed at once."""
    at = {key: next((n for n, name in enumerate(chained) if path.index(name) >= place), len(chained))
          for place, key in enumerate(path)}  # fmt: skip
    known = {key: ways for key, ways in forecast.left.items() if key in at}
    standing = [(at[key], key, n, group.due.get(key)) for group in forecast.groups
                for key, n in group.stages.items() if n and key in at]  # fmt: skip
    out = [(at[key], how, n) for key, ways in known.items() for how, n in ways.items()]
    living = sum(n for _, _, n, _ in standing)
    given = sum(n for _, how, n in out if how in FINISHED)
    entered: list[Entered] = []
    for number in range(len(chained)):
        passed = sum(n for place, _, n, _ in standing if place > number)
        passed += sum(n for place, _, n in out if place > number)
        lost = sum(n for place, how, n in out if place == number and how == LOST)
        here = [(n, due or (0.0, None)) for place, _, n, due in standing if place == number]
        entered += _entered(number, passed, lost, here)
    finished = sum(n for place, _, n, _ in standing if place == len(chained))
    made = living + sum(n for _, _, n in out)
    return Standing(
        forecast.batch,
        variety,
        date.fromisoformat(forecast.start),
        made,
        living,
        finished,
        given,
        tuple(entered),
        _ready(forecast),
    )


def _entered(
    number: int, passed: int, lost: int, here: Sequence[tuple[int, tuple[float, float | None]]]
) -> list[Entered]:
    """Those waiting tell by what would have shown; where the sheet does not say when, only with all the rest."""
    from graftwright.science.shares import Entered

    if any(losses is None for _, (_, losses) in here):
        waiting = sum(n for n, _ in here)
        return [Entered(number, passed, lost, waiting, min(passes for _, (passes, _) in here), None)]
    found = [Entered(number, waiting=n, passes_due=passes, losses_due=losses) for n, (passes, losses) in here]
    return [Entered(number, passed, lost), *found] if passed or lost else found


def _ready(forecast: Forecast) -> date | None:
    days = [
        outward(date.fromisoformat(forecast.start), one.half)[2]
        for group in forecast.groups if group.living for one in group.milestones if one.half and one.reached < one.of
    ]  # fmt: skip
    return max((day for day in days if day), default=None)
