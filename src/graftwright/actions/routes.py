"""Where grafts have stood and how warm it was there, and which of them walk together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from graftwright.actions.cohorts import Spot
    from graftwright.ledger.things import Thing

Steps = dict[str, list[str]]
Route = tuple[tuple[str, float | None], ...]  # from which day on, how warm (None: nobody said)

_DEEPEST = 50  # places within places


@dataclass(frozen=True)
class Walk:
    """Grafts in like places, treated on the same days."""

    members: tuple[Spot, ...]
    route: Route
    steps: Steps


def walks(found: Iterable[Spot], start: str, thing: Callable[[str], Thing | None]) -> list[Walk]:
    """Put places together whose grafts stood equally warm and were treated on the same days."""
    every = {spot.place: spot for spot in found}
    groups: dict[object, list[Spot]] = {}
    for spot in every.values():
        if spot.living:
            key = (
                route_of(spot, every, start, thing),
                tuple(sorted((s, min(d)) for s, d in _steps(spot, every).items())),
            )
            groups.setdefault(key, []).append(spot)
    return [
        Walk(tuple(members), route_of(members[0], every, start, thing), _steps(members[0], every))
        for members in groups.values()
    ]


def _came_from(spot: Spot, every: Mapping[str, Spot]) -> Spot | None:
    before = every.get(spot.before) if spot.before is not None else None
    return None if before is spot else before


def _without(every: Mapping[str, Spot], spot: Spot) -> dict[str, Spot]:
    """Leave a place out, so that a way that returns to it ends."""
    return {place: one for place, one in every.items() if one is not spot}


def _steps(spot: Spot, every: Mapping[str, Spot]) -> Steps:
    """Steps done here and, before they came, where they came from."""
    steps = dict(spot.steps)
    before = _came_from(spot, every)
    if before:
        for step, days in _steps(before, _without(every, spot)).items():
            earlier = [day for day in days if day <= spot.came]
            if earlier:
                steps[step] = sorted([*earlier, *steps.get(step, [])])
    return steps


def route_of(
    spot: Spot, every: Mapping[str, Spot], start: str, thing: Callable[[str], Thing | None]
) -> Route:
    """From which day on the grafts stood at which temperature, as far as anybody said."""
    before = _came_from(spot, every)
    earlier = route_of(before, _without(every, spot), start, thing) if before else ()
    route = [step for step in earlier if step[0] < spot.came]
    for day, temperature in _temperatures(spot.place, spot.came if earlier else start, thing):
        if not route or route[-1][1] != temperature:
            route.append((day, temperature))
    return tuple(route)


def _temperatures(
    place: str, came: str, thing: Callable[[str], Thing | None]
) -> list[tuple[str, float | None]]:
    """Temperatures of a place since a day: its own, else that of the place it stood in then."""
    days, chain, seen = {came}, [place], set[str]()
    while chain:
        code = chain.pop()
        found = thing(code) if code and code not in seen else None
        seen.add(code)
        for name in ("within", "temperature_c"):
            sayings = found.said.get(name, ()) if found else ()
            days |= {one.key[:10] for one in sayings if one.key[:10] > came}
            chain += [one.value for one in sayings if name == "within"]
    return [(day, _at(place, f"{day} 9", thing)) for day in sorted(days)]


def _at(place: str, key: str, thing: Callable[[str], Thing | None]) -> float | None:
    for _ in range(_DEEPEST):
        found = thing(place) if place else None
        if found is None:
            return None
        own = found.get("temperature_c", at=key)
        if own is not None:
            return float(own)
        place = found.get("within", "", at=key)
    return None


def hourly(route: Route, start: date, days: int, assumed: float) -> list[float]:
    """Temperature of each hour from the batch's first day on; `assumed` where nobody said one."""
    hours: list[float] = []
    for n, (day, temperature) in enumerate(route):
        since = 0 if n == 0 else (date.fromisoformat(day) - start).days
        until = days if n + 1 == len(route) else (date.fromisoformat(route[n + 1][0]) - start).days
        hours += [assumed if temperature is None else temperature] * (24 * max(until - since, 0))
    return hours


def said_temperature(route: Sequence[tuple[str, float | None]], assumed: float) -> str:
    """Say how warm it is there now, and whether anybody said so."""
    now = route[-1][1] if route else None
    return f"assumed {assumed:g} °C" if now is None else f"{round(now, 1):g} °C as you said"
