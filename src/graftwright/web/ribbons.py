"""Drawing a ribbon as SVG, the same for the same days.

Across it is drawn in shares of the width and down it in pixels, so that it fills a phone and a
laptop with letters of one size. Meaning is carried by shape: a bud-shaped lens is a window (thin
where few plants are expected, thick at the likely day), a ring the first plant, a filled diamond
what was seen, a numbered pin a check, hatching the days away, the upright line today.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from markupsafe import Markup

from graftwright.web.charts import Check, Milestone, Ribbon, described, row_words
from graftwright.web.svg import element, number, per_cent
from graftwright.web.wording import short_day

if TYPE_CHECKING:
    from collections.abc import Iterator

HEAD = 54  # today's flag, then the pins of the checks
ROW = 58
AXIS = 42
FAR_AHEAD = 42  # days; what begins later than that is drawn without today
MOST_DATES = 8  # each needs 40 pixels of the 336 that a small phone has
CLOSEST = 0.05  # two pins of 18 pixels touch on it
_LENS = 24


@dataclass(frozen=True)
class _Scale:
    """Days to shares of the width; half a day of air stands at either end."""

    first: date
    last: date

    def share(self, day: date, part: float = 0.5) -> float:
        whole = (self.last - self.first).days + 1
        return min(1.0, max(0.0, ((day - self.first).days + part) / whole))

    def at(self, day: date, part: float = 0.5) -> str:
        return per_cent(self.share(day, part))

    @property
    def long(self) -> bool:
        return (self.last - self.first).days > 300

    def days(self) -> Iterator[date]:
        for step in range((self.last - self.first).days + 1):
            yield self.first + timedelta(days=step)


def ribbon(of: Ribbon) -> Markup:
    """Return the drawing alone."""
    scale = _scale(of)
    foot = HEAD + ROW * len(of.milestones)
    title, said = f"ribbon-{of.key}-title", f"ribbon-{of.key}-said"
    return element(
        "svg",
        element("title", of.title, id=title),
        element("desc", described(of), id=said),
        *_weeks(scale, foot),
        *_away(of, scale, foot),
        *(_row(row, of.today, scale, HEAD + ROW * n) for n, row in enumerate(of.milestones)),
        *_axis(scale, foot),
        *_pins(of, scale),
        *((_today(of.today, scale, foot),) if scale.first <= of.today else ()),
        class_="ribbon",
        role="img",
        width="100%",
        height=foot + AXIS + (16 if of.away else 0),
        aria_labelledby=f"{title} {said}",
    )


def _scale(of: Ribbon) -> _Scale:
    """Span everything drawn, at least a fortnight, and a day beyond it; today, unless it is far before the start."""
    days = [of.start, *(check.day for check in of.checks)]
    if of.today > of.start - timedelta(days=FAR_AHEAD):
        days.append(of.today)
    for row in of.milestones:
        days += [row.earliest, row.latest, *([row.seen] if row.seen else [])]
        days += [end for _, span in row.plants for end in (span.earliest, span.latest)]
    first, last = min(days) - timedelta(days=1), max(days) + timedelta(days=1)
    return _Scale(first, max(last, first + timedelta(days=14)))


def _weeks(scale: _Scale, foot: int) -> Iterator[Markup]:
    for day, _, _ in _dates(scale):
        x = scale.at(day, 0)
        yield element("line", x1=x, x2=x, y1=HEAD, y2=foot, class_="r-week")


def _dates(scale: _Scale) -> Iterator[tuple[date, str, str]]:
    """Yield the days that are named, each with its word and, where it changes, the greater one."""
    before = ""
    for day in _ticks(scale):
        month = short_day(day).split()[1]
        word, greater = (month, str(day.year)) if scale.long else (str(day.day), month)
        yield day, word, "" if greater == before else greater
        before = greater


def _ticks(scale: _Scale) -> list[date]:
    """Return Mondays, or months when it is long, so few that they never touch on a phone."""
    marks = [day for day in scale.days() if (day.day == 1 if scale.long else day.weekday() == 0)]
    return marks[:: -(-len(marks) // MOST_DATES)]


def _axis(scale: _Scale, foot: int) -> Iterator[Markup]:
    yield element("line", x1="0", x2="100%", y1=foot, y2=foot, class_="r-axis")
    if not scale.long:
        yield from _weekends(scale, foot)
    for day, word, greater in _dates(scale):
        x = scale.share(day, 0)
        place = {"x": per_cent(x), "text_anchor": _anchor(x, 0.04), "class_": "r-date"}
        yield element("text", word, y=foot + 21, **place)
        yield element("text", greater, y=foot + 38, **place)


def _anchor(share: float, edge: float) -> str:
    """Keep words inside the drawing where they stand near an end of it."""
    return "start" if share < edge else "end" if share > 1 - edge else "middle"


def _weekends(scale: _Scale, foot: int) -> Iterator[Markup]:
    """Thicken the axis on the days most growers are free."""
    for day in scale.days():
        if day.weekday() == 5:
            x1, x2 = scale.at(day, 0), scale.at(day, 2)
            yield element("line", x1=x1, x2=x2, y1=foot + 2, y2=foot + 2, class_="r-weekend")


def _row(row: Milestone, today: date, scale: _Scale, top: int) -> Markup:
    middle = top + 40
    right = f"seen {short_day(row.seen, today)}" if row.seen else f"likely {short_day(row.likely, today)}"
    return element(
        "g",
        element("title", f"{row.name}: {row_words(row, today)}"),
        element("line", x1="0", x2="100%", y1=top + ROW, y2=top + ROW, class_="r-rule"),
        element("text", row.name, x="0", y=top + 20, class_="r-name"),
        element("text", right, x="100%", y=top + 20, text_anchor="end", class_="r-likely"),
        _doubt(row, scale, middle),
        _lens(row, scale, middle),
        _first(row, scale, middle),
        _seen(row, scale, middle),
        class_="r-seen" if row.seen else "r-coming",
    )


def _doubt(row: Milestone, scale: _Scale, y: int) -> Markup:
    """Draw a thin line as far as the days are uncertain."""
    if not row.plants:
        return Markup("")
    early = min(span.earliest for _, span in row.plants)
    late = max(span.latest for _, span in row.plants)
    return element("line", x1=scale.at(early), x2=scale.at(late), y1=y, y2=y, class_="r-doubt")


def _lens(row: Milestone, scale: _Scale, y: int) -> Markup:
    """Draw a bud: pointed at the earliest and latest day, thick at the likely one."""
    left, peak, right = scale.share(row.earliest, 0), scale.share(row.likely), scale.share(row.latest, 1)
    at = 100 * (peak - left) / (right - left)
    up, down = (
        f"C{number(at * 0.5)} {12 + 2 * s} {number(at * 0.7)} {12 + 11 * s} {number(at)} {12 + 11 * s}"
        f"C{number(at + (100 - at) * 0.3)} {12 + 11 * s} {number(at + (100 - at) * 0.5)} {12 + 2 * s} 100 12"
        for s in (-1, 1)
    )
    shape = element("path", d=f"M0 12{up}M0 12{down}", vector_effect="non-scaling-stroke")
    heart = element("line", x1=number(at), x2=number(at), y1=1, y2=23, vector_effect="non-scaling-stroke")
    return element(
        "svg",
        shape,
        heart,
        x=per_cent(left),
        y=y - _LENS // 2,
        width=per_cent(right - left),
        height=_LENS,
        viewBox="0 0 100 24",
        preserveAspectRatio="none",
        class_="r-lens",
    )


def _first(row: Milestone, scale: _Scale, y: int) -> Markup:
    if row.first is None:
        return Markup("")
    return element("circle", cx=scale.at(row.first.likely), cy=y, r=4.5, class_="r-first")


def _seen(row: Milestone, scale: _Scale, y: int) -> Markup:
    if row.seen is None:
        return Markup("")
    return _mark(scale.at(row.seen), y, "M0 -9L8 0L0 9L-8 0Z", "r-diamond")


def _mark(x: str, y: float, path: str, kind: str) -> Markup:
    """Stand a small fixed shape at a share of the width."""
    return element("svg", element("path", d=path), x=x, y=y, overflow="visible", class_=kind)


def _pins(of: Ribbon, scale: _Scale) -> Iterator[Markup]:
    """Draw all, the latest checks first; one that would cover another keeps its stem alone."""
    free = 2.0
    for which, check in reversed(list(enumerate(of.checks, start=1))):
        share = scale.share(check.day)
        numbered = free - share >= CLOSEST
        free = share if numbered else free
        yield _pin(which, check, of.today, per_cent(share), numbered=numbered)


def _pin(which: int, check: Check, today: date, x: str, *, numbered: bool) -> Markup:
    head = (
        element("circle", cx=x, cy=HEAD - 16, r=9, class_="r-pin"),
        element("text", str(which), x=x, y=HEAD - 11.5, text_anchor="middle", class_="r-which"),
    )
    return element(
        "g",
        element("title", f"check {which}, {short_day(check.day, today)}: {check.words}"),
        element("line", x1=x, x2=x, y1=HEAD - 7, y2=HEAD + 6, class_="r-stem"),
        *(head if numbered else ()),
    )


def _today(day: date, scale: _Scale, foot: int) -> Markup:
    share = scale.share(day)
    x, anchor = per_cent(share), _anchor(share, 0.2)
    return element(
        "g",
        element("line", x1=x, x2=x, y1=22, y2=foot + 6, class_="r-today"),
        element("text", f"today {short_day(day)}", x=x, y=15, text_anchor=anchor, class_="r-flag"),
    )


def _away(of: Ribbon, scale: _Scale, foot: int) -> Iterator[Markup]:
    shown = [gone for gone in of.away if gone.last >= scale.first and gone.first <= scale.last]
    if not shown:
        return
    hatch = f"ribbon-{of.key}-hatch"
    stripe = element("path", d="M0 8L8 0M-2 2L2 -2M6 10L10 6")
    yield element(
        "pattern", stripe, id=hatch, width=8, height=8, patternUnits="userSpaceOnUse", class_="r-hatch"
    )
    for gone in shown:
        left, right = scale.share(gone.first, 0), scale.share(gone.last, 1)
        x, width = per_cent(left), per_cent(right - left)
        yield element("rect", x=x, y=HEAD, width=width, height=foot - HEAD, fill=f"url(#{hatch})")
        middle = (left + right) / 2
        place = {"x": per_cent(middle), "text_anchor": _anchor(middle, 0.06), "class_": "r-date"}
        yield element("text", "away", y=foot + AXIS + 10, **place)
