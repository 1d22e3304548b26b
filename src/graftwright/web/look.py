"""The one maker of pages: templates, strict about what they are given, and the words they share."""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.templating import Jinja2Templates

from graftwright.web import charts, wording
from graftwright.web.ribbons import ribbon
from graftwright.web.tallies import tally

HOME = Path(__file__).parent
STATIC = HOME / "static"


def environment() -> Environment:
    """Return the environment; a page that misses a value fails here, never shows a hole."""
    made = Environment(
        loader=FileSystemLoader(HOME / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {
        "day": wording.day_words,
        "short_day": wording.short_day,
        "week_day": wording.week_day,
        "full_day": wording.full_day,
        "grade": wording.GRADES.__getitem__,
        "month": wording.month_words,
        "weekday": wording.weekday_words,
    }
    made.globals |= {
        "tally_strokes": tally,
        "draw_ribbon": ribbon,
        "ribbon_columns": charts.ribbon_columns,
        "ribbon_rows": charts.ribbon_rows,
        "window_words": wording.window_words,
    }
    return made


def templates() -> Jinja2Templates:
    """Return what a page handler answers with."""
    return Jinja2Templates(env=environment())
