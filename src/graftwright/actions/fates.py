"""What became of a batch's grafts at each stage, and how much of what will come would have shown by now."""

from __future__ import annotations

import math
from collections import Counter
from datetime import date
from typing import TYPE_CHECKING

from graftwright.ledger.lines import THERE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from graftwright.actions.cohorts import Stay, Told
    from graftwright.actions.course import Course
    from graftwright.handbook.stages import LossShown
    from graftwright.ledger.lines import Line
    from graftwright.ledger.stages import Path

LOST, FINISHED = "lost", ("given", "sold")  # given and sold trees were made all the same
_WAYS_OUT = {LOST, "culled", *FINISHED}


def left(batch: str, parts: Iterable[str], told: Sequence[Told], path: Path) -> dict[str, dict[str, int]]:
    """Count the grafts that left a batch, by the stage they stood at and by how they left."""
    owners = {batch, *parts}
    found: dict[str, Counter[str]] = {}
    for _, lines in told:
        own = [line for line in lines if line.account.thing in owners]
        standing = _by(own, lambda line: line.account.detail if line.account.name == THERE else "")
        out = _by(own, lambda line: line.account.name if line.account.name in _WAYS_OUT else "")
        for how, n in sorted(out.items()):
            _take(found, standing, how, n, path)
    return {stage: dict(sorted(ways.items())) for stage, ways in sorted(found.items())}


def _by(lines: Iterable[Line], key: Callable[[Line], str]) -> Counter[str]:
    totals: Counter[str] = Counter()
    for line in lines:
        totals[key(line)] += line.amount
    del totals[""]
    return totals


def _take(found: dict[str, Counter[str]], standing: Counter[str], how: str, n: int, path: Path) -> None:
    """Those that left did so at the least advanced stage they can have had."""
    for stage in sorted((one for one in standing if standing[one] < 0), key=path.rank):
        some = min(n, -standing[stage])
        if some > 0:
            found.setdefault(stage, Counter())[how] += some
            standing[stage] += some
            n -= some


def looked(members: Iterable[Stay]) -> str:
    """Return the day up to which the fate of grafts that walk together is known; '' where none lives."""
    return min((stay.last_look for stay in members if stay.living), default="")


def due(
    course: Course, genus: str, members: Sequence[Stay], passes: Mapping[str, float]
) -> dict[str, tuple[float, float | None]]:
    """Return for each stage somebody stands at the shares of passes and of losses due by the last look."""
    found: dict[str, tuple[float, float | None]] = {}
    seen_to = looked(members)
    for stage in course.stages:
        here = [stay for stay in members if stay.standing[stage.key] > 0]
        figures = stage.figures(genus)
        if here and figures and figures.survival:
            entered = min(stay.reached.get(stage.key, stay.came) for stay in here)
            days = (date.fromisoformat(seen_to) - date.fromisoformat(entered)).days
            found[stage.key] = passes.get(stage.key, 0.0), _losses(stage.loss_shown, days)
    return found


def _losses(shown: LossShown | None, days: int) -> float | None:
    if shown is None:
        return None
    if days <= 0:
        return 0.0
    return 0.5 * math.erfc(-math.log(days / shown.days) / (shown.spread * math.sqrt(2.0)))
