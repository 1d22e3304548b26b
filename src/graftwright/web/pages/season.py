"""Season: what is wanted and whether it will be made, the plan, the batches and the hours."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from graftwright import bootstrap
from graftwright.actions import keep_plan
from graftwright.actions.amounts import amount_of
from graftwright.actions.outlook import outlook
from graftwright.actions.outlook_answer import promise_sentence, sentences
from graftwright.actions.plan_changes import changes
from graftwright.actions.wanted import wanted
from graftwright.web.charts import Away, Milestone, Ribbon
from graftwright.web.models import PlanPart, SeasonPage, WeekHours, WishLine
from graftwright.web.pages.names import Names
from graftwright.web.pages.record import entry_id, page_after
from graftwright.web.pages.ribbons_of import ribbons
from graftwright.web.parts import Act, Form, Subject
from graftwright.web.wording import MILESTONES, day_by_day, full_day, many, short_day

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from starlette.responses import Response

    from graftwright.actions.outlook import Chance
    from graftwright.actions.ports import Reading
    from graftwright.web.visit import Visit

SHOWN_FROM = 0.05  # hours; less is not worth a line
MOST_BATCHES = 6  # with a ribbon each; the others are found from Today


async def season(visit: Visit) -> Response:
    """Answer with the season as it stands today."""
    with visit.book.notebook.reading() as reading:
        page = _page(visit, reading)
    return visit.page("season.html", page, here="season")


async def plan_again(visit: Visit) -> Response:
    """Make the plan from today's wishes and keep it."""
    entered = bootstrap.keep_the_plan(visit.book, entry_id(visit))
    return visit.to(page_after(entered), entered.number)


def _page(visit: Visit, reading: Reading) -> SeasonPage:
    rests_on = bootstrap.asked(visit.book, reading)
    seen = outlook(reading, visit.book.site, rests_on)
    wishes = wanted(reading, visit.book.site, visit.today, rests_on.experience)
    plan = _plan(visit, reading)
    stale = plan is not None and keep_plan.wishes_changed(plan.value, wishes, visit.today)
    return SeasonPage(
        day=visit.today,
        wishes=tuple(_wish(one, visit.today) for one in seen.chances),
        together=tuple(
            f"All wishes on the sheet {sheet} in one season: {chance:.0%}." for sheet, chance, _ in seen.together
        ),
        promised=tuple(promise_sentence(one) for one in seen.promised),
        plan=plan,
        stale=stale,
        form=Form("/season/plan", bootstrap.new_id(), "Make the plan again" if plan else "Make the plan", "/season"),
        batches=tuple(_batches(visit, reading)),
    )  # fmt: skip


def _wish(one: Chance, today: date) -> WishLine:
    first, *rest = (day_by_day(sentence, today) for sentence in sentences(one))
    number = one.wish.number
    acts = (Act("Change it", f"/correct/{number}"), Act("No longer wanted", f"/cross-out/{number}"))
    mark = one.with_planned if one.with_planned is not None and not one.made else one.chance
    purpose = f" for {one.wish.purpose}" if one.wish.purpose else ""
    return WishLine(
        f"{one.wish.trees} {one.wish.variety}{purpose}", first, tuple(rest), f"{mark:.0%}",
        "late" if mark < one.wish.sure else "coming", acts,
    )  # fmt: skip


# the plan that is kept


def _plan(visit: Visit, reading: Reading) -> PlanPart | None:
    told = reading.of_kind("plan")
    if not told:
        return None
    value: dict[str, Any] = told[-1].get("plan")
    since = changes(told[-2].get("plan"), value) if len(told) > 1 else ()
    return PlanPart(
        value,
        f"Kept on {full_day(date.fromisoformat(told[-1].day))}, entry {told[-1].number}.",
        tuple(day_by_day(sentence, visit.today) for sentence in since),
        tuple(day_by_day(one["sentence"], visit.today) for one in value["unmet"]),
        tuple(day_by_day(sentence, visit.today) for sentence in (*value["warnings"], *value["notes"])),
        tuple(_planned(value, visit)),
        tuple(_hours(value["hours"])),
        ", ".join(amount_of(name, amount) for name, amount in value["totals"].items()),
    )


def _planned(value: Mapping[str, Any], visit: Visit) -> Iterator[tuple[str, tuple[str, ...], Ribbon]]:
    away = tuple(Away(first, last) for first, last in visit.book.site.free.away)
    for n, one in enumerate(value["batches"]):
        on = date.fromisoformat(one["graft_on"])
        rows = tuple(_row(window) for window in one["windows"])
        title = f"{one['grafts']} grafts of {one['variety']}, planned"
        ribbon = Ribbon(f"plan-{n}", title, on, "graft on", visit.today, rows, away=away)
        yield (
            f"{one['variety']}: graft {one['grafts']} on {short_day(on, visit.today)}",
            _steps(one, visit),
            ribbon,
        )


def _row(window: Mapping[str, Any]) -> Milestone:
    earliest, likely, latest = (date.fromisoformat(window[name]) for name in ("earliest", "likely", "latest"))
    return Milestone(MILESTONES.get(window["name"], window["name"]), earliest, likely, latest)


def _steps(one: Mapping[str, Any], visit: Visit) -> tuple[str, ...]:
    said = []
    if one["bring_out"]:
        chill, out = (
            short_day(date.fromisoformat(one[name]), visit.today) for name in ("chill_on", "bring_out")
        )
        said.append(f"Chill {many(one['nuts'], 'nut')} on {chill}, bring them out on {out}.")
    alive = ", ".join(f"{part['name']} {part['expected']:.0f} ({part['low']} to {part['high']})"
                      for part in one["counts"])  # fmt: skip
    return (
        *said,
        f"Alive after: {alive}.",
        *(day_by_day(warning, visit.today) for warning in one["warnings"]),
    )


def _hours(hours: Mapping[str, float]) -> Iterator[WeekHours]:
    most = max(hours.values(), default=0.0)
    for week, spent in hours.items():
        year, number = week.split("-W")
        monday = date.fromisocalendar(int(year), int(number), 1)
        if spent >= SHOWN_FROM:
            yield WeekHours(monday, spent, 100 * spent / most)


# the batches that grow


def _batches(visit: Visit, reading: Reading) -> Iterator[tuple[Subject, tuple[Ribbon, ...]]]:
    living = [one for one in reading.living() if one.groups and one.living]
    for forecast in living[:MOST_BATCHES]:
        places = [place for group in forecast.groups for place in group.places]
        names = Names(reading, [forecast.batch, *places])
        drawn = ribbons(forecast, names, visit.book.site, visit.today)[:1]
        if drawn:
            yield names.subject(forecast.batch), drawn
