"""Histories and counts as pages show them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.say import reason_word
from graftwright.ledger.lines import THERE
from graftwright.web.models import History
from graftwright.web.pages.names import href
from graftwright.web.parts import Count, Fate, HistoryLine
from graftwright.web.wording import capital, day_by_day, long_day

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from graftwright.actions.ports import Reading
    from graftwright.actions.show import Card, Told
    from graftwright.ledger.lines import Line
    from graftwright.web.visit import Visit

LATEST = 12  # lines of a history that are shown at once
MADE, GROWING, RECOUNTED = "made", "growing", "recounted"


def history_line(told: Told, today: date) -> HistoryLine:
    """Return one line of a history."""
    day = date.fromisoformat(told.day)
    changeable = not told.crossed_by and told.kind != "cross-out"
    return HistoryLine(
        number=told.number,
        day=long_day(day, today) if told.happened.startswith(told.day) else told.happened,
        words=capital(day_by_day(told.sentence, today)),
        by=told.by,
        crossed_out=told.crossed_why or ("corrected" if told.crossed_by else ""),
        replaced_by=told.crossed_by if told.crossed_by and not told.crossed_why else None,
        correct_href=f"/correct/{told.number}" if changeable else "",
        cross_out_href=f"/cross-out/{told.number}" if changeable else "",
    )


def history(visit: Visit, reading: Reading, card: Card, parts: Iterable[str] = ()) -> History:
    """Return a history: its latest lines, all if that was asked, or those behind a number that was tapped."""
    word, address = visit.asked("behind"), href(card.code)
    lines = tuple(history_line(told, visit.today) for told in card.history)
    if word:
        only = behind(reading, (card.code, *parts), word)
        kept = tuple(line for line in lines if line.number in only)
        return History(kept, f"What was written: {word}", f"{address}?all=yes#history")
    if len(lines) <= LATEST or visit.asked("all"):
        return History(lines)
    return History(lines[:LATEST], all_href=f"{address}?all=yes#history")


def behind(reading: Reading, codes: Iterable[str], word: str) -> set[int]:
    """Return the numbers of the entries that a count was made of."""
    own = set(codes)
    return {
        e.number
        for e, lines in reading.told(own)
        for line in lines
        if line.account.thing in own and line.amount and _counts_as(line) == word
    }


def _counts_as(line: Line) -> str:
    name, detail = line.account.name, line.account.detail
    if name in {"made", "outside"}:
        return MADE
    if name == THERE:
        return GROWING
    if name == "recount":
        return RECOUNTED
    return reason_word(name, detail) if name in {"lost", "culled", "discarded"} else name


def counts(card: Card, address: str) -> tuple[Count, ...]:
    """Return the parts of a batch's or lot's sentence, each leading to the lines behind it."""
    return tuple(Count(n, words, fate, f"{address}?behind={word.replace(' ', '+')}#history")
                 for n, words, fate, word in _counted(card))  # fmt: skip


def _counted(card: Card) -> Iterator[tuple[int, str, Fate, str]]:
    found = card.tally
    lot = card.kind in {"seed", "scionwood", "stock"}
    if found["came"] or not lot:
        yield found["came"], _CAME.get(card.kind, "made"), "made", MADE
    for word, n in sorted(found["gone"].items()):
        if word == RECOUNTED:
            yield abs(n), f"{'fewer' if n > 0 else 'more'} at recount", "gone", word
        else:
            yield n, word, "lost" if _died(word, lot=lot) else "gone", word
    planted = found["there"].get("planted", 0)
    rest = sum(found["there"].values()) - planted
    if planted:
        yield planted, "planted", "growing", GROWING
    if rest or not planted:
        yield rest, "there" if lot else "growing", "growing", GROWING


_CAME = {"seed": "nuts came in", "scionwood": "buds came in", "stock": "stocks came in"}


def _died(word: str, *, lot: bool) -> bool:
    return not lot and word not in {"given", "sold", "used"} and not word.startswith("culled")
