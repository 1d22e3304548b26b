"""From a batch's stored windows to the ribbons that show them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.say import counted
from graftwright.ledger.codes import shown
from graftwright.ledger.windows import outward
from graftwright.web.charts import Away, Check, Milestone, Ribbon, Span
from graftwright.web.wording import MILESTONES, many

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.actions.site import Site
    from graftwright.ledger import windows
    from graftwright.web.pages.names import Names

MOST_RIBBONS = 4  # more kinds of treatment than that in one batch are read from the list of its places


def ribbons(forecast: windows.Forecast, names: Names, site: Site, today: date) -> tuple[Ribbon, ...]:
    """Return a ribbon for each part of a batch that walks together, the largest first."""
    groups = sorted(forecast.groups, key=lambda group: -group.living)[:MOST_RIBBONS]
    made = (_ribbon(forecast, group, n, names, site, today) for n, group in enumerate(groups))
    return tuple(ribbon for ribbon in made if ribbon.milestones)


def _ribbon(
    forecast: windows.Forecast, group: windows.Group, nth: int, names: Names, site: Site, today: date
) -> Ribbon:
    start = date.fromisoformat(forecast.start)
    return Ribbon(
        key=f"{shown(forecast.batch)}-{nth}",
        title=_title(group, names),
        start=start,
        start_words="grafted",
        today=today,
        milestones=tuple(_milestones(start, group)),
        checks=tuple(
            Check(date.fromisoformat(day), counted(seen) or "looked at") for day, seen in group.looks
        ),
        away=tuple(Away(first, last) for first, last in site.free.away),
    )


def _title(group: windows.Group, names: Names) -> str:
    places = [place for place in group.places if place]
    where = names.whereabouts(places[0]) if len(places) == 1 else names.some(places)
    stalled = next((one.stalled for one in group.milestones if one.stalled), "")
    warmth = group.temperature
    kept = f"kept at an {warmth}" if warmth.startswith("assumed") else f"at {warmth}"
    title = f"{many(group.living, 'graft')}{where and f' in {where}'}, {kept}"
    return f"{title}: {stalled}" if stalled else title


def _milestones(start: date, group: windows.Group) -> Iterator[Milestone]:
    for one in group.milestones:
        name = MILESTONES.get(one.name, one.name)
        windows_ = [_span(start, window) for window in (one.first, one.tenth, one.half, one.most)]
        first, tenth, half, most = windows_
        if half is None:
            seen = _seen(group, one)
            if seen:
                yield Milestone(name, seen, seen, seen, seen=seen)
            continue
        earliest, latest = tenth or half, most or half
        yield Milestone(name, earliest.likely, half.likely, latest.likely, None, first, tenth, half, most)


def _span(start: date, window: windows.Window | None) -> Span | None:
    if window is None:
        return None
    earliest, likely, latest = outward(start, window)
    return Span(earliest, likely, latest) if earliest and likely and latest else None


def _seen(group: windows.Group, milestone: windows.Milestone) -> date | None:
    """Return the first check that saw every graft behind a milestone, if all are."""
    if not milestone.of or milestone.reached < milestone.of:
        return None
    before = [one.stage for one in group.milestones]
    not_yet = set(before[: before.index(milestone.stage) + 1])
    return next((date.fromisoformat(day) for day, seen in group.looks if not not_yet & _any(seen)), None)


def _any(seen: dict[str, int]) -> set[str]:
    return {stage for stage, n in seen.items() if n}
