"""Today: what will not wait, what is due on the way round, the next check, what comes."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from graftwright.actions.today import lines_of_the_day
from graftwright.ledger.due import COMING, LATE
from graftwright.web.models import PlaceLines, TodayPage
from graftwright.web.pages.cautions import of_the_day
from graftwright.web.pages.due_lines import due_lines
from graftwright.web.pages.names import Names
from graftwright.web.parts import Act
from graftwright.web.wording import long_day, weekday_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from starlette.responses import Response

    from graftwright.ledger.due import DueLine
    from graftwright.web.visit import Visit


async def today(visit: Visit) -> Response:
    """Answer with the list of the day."""
    day = visit.today
    with visit.book.notebook.reading() as reading:
        lines = lines_of_the_day(reading, visit.book.site, day)
        living = reading.living()
        names = Names(reading, {code for line in lines for code in (line.subject, line.place)})
        cautions = of_the_day(reading, living)
    pressing = [line for line in lines if line.state == LATE]
    due = [line for line in lines if line.state not in (LATE, COMING)]
    page = TodayPage(
        day=day,
        next_check=_next_check(lines, day, names, any_living=bool(living)),
        begin=() if living else (Act("Begin here", "/first"),),
        pressing=due_lines(pressing, names, day),
        places=tuple(_by_place(due, names, day)),
        coming=due_lines((line for line in lines if line.state == COMING), names, day),
        cautions=cautions,
    )
    return visit.page("today.html", page, here="today")


def _by_place(lines: Sequence[DueLine], names: Names, day: date) -> Iterable[PlaceLines]:
    def heading(line: DueLine) -> str:
        return names.heading(line.place) if line.subject else "The book"

    for place, there in groupby(lines, key=heading):
        yield PlaceLines(place, due_lines(there, names, day, near=True))


def _next_check(lines: Sequence[DueLine], day: date, names: Names, *, any_living: bool) -> str:
    checks = [line for line in lines if line.what == "check"]
    if not any_living:
        return "No graft stands in this book, so there is nothing to look at."
    if not checks:
        return "Nothing needs a look in the next fourteen days."
    first = min(max(line.day, day) for line in checks)
    then = [line for line in checks if max(line.day, day) == first]
    titles = list(dict.fromkeys(names.title(line.subject) for line in then))
    when = "Today" if first == day else f"{weekday_words(first)} {long_day(first, day)}"
    more = f" and {len(titles) - 2} more" if len(titles) > 2 else ""
    return f"{when}: {', '.join(titles[:2])}{more}."
