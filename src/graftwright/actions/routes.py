"""Where grafts have stood and how warm it was there, and which of them walk together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from graftwright.actions.cohorts import Stay
    from graftwright.ledger.things import Thing

Steps = dict[str, list[str]]
Route = tuple[tuple[str, float | None], ...]  # from which day on, how warm (None: nobody said)

_DEEPEST = 50  # places within places


@dataclass(frozen=True)
class Walk:
    """Grafts in like places, treated on the same days."""

    members: tuple[Stay, ...]
    route: Route
    steps: Steps


def walks(found: Iterable[Stay], start: str, thing: Callable[[str], Thing | None]) -> list[Walk]:
    """Put places together whose grafts stood equally warm and were treated on the same days."""
    groups: dict[object, list[Stay]] = {}
    for stay in found:
        if stay.living:
            first_days = tuple(sorted((step, min(days)) for step, days in _steps(stay).items()))
            groups.setdefault((route_of(stay, start, thing), first_days), []).append(stay)
    return [
        Walk(tuple(members), route_of(members[0], start, thing), _steps(members[0]))
        for members in groups.values()
    ]


def _steps(stay: Stay) -> Steps:
    """Steps done here and, before they came, where they came from."""
    steps = dict(stay.steps)
    if stay.before:
        for step, days in _steps(stay.before).items():
            earlier = [day for day in days if day <= stay.came]
            if earlier:
                steps[step] = sorted([*earlier, *steps.get(step, [])])
    return steps


def route_of(stay: Stay, start: str, thing: Callable[[str], Thing | None]) -> Route:
    """From which day on the grafts stood at which temperature, as far as anybody said."""
    earlier = route_of(stay.before, start, thing) if stay.before else ()
    route = [step for step in earlier if step[0] < stay.came]
    for day, temperature in _temperatures(stay.place, stay.came if earlier else start, thing):
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
