"""The application: which address opens which page, and what is said when one cannot be made."""

from __future__ import annotations

import logging
import os
import secrets
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from graftwright.bootstrap import open_book, which
from graftwright.errors import Trouble
from graftwright.web import troubles
from graftwright.web.guard import Guard
from graftwright.web.look import STATIC
from graftwright.web.models import ErrorPage
from graftwright.web.pages import (
    aside,
    check,
    first_run,
    handbook,
    own,
    put_right,
    record,
    season,
    thing,
    today,
)
from graftwright.web.visit import Desk, Visit, plain_page, utc_now
from graftwright.web.wording import day_by_day

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable
    from datetime import datetime

    from starlette.requests import Request
    from starlette.responses import Response

    from graftwright.bootstrap import Book

    Page = Callable[[Visit], Awaitable[Response]]

ENVIRONMENT = "GRAFTWRIGHT_SERVE"  # path of the notebook that `from_environment` opens
LOG = logging.getLogger("graftwright.web")


def make_app(book: Book, now: Callable[[], datetime] = utc_now) -> Starlette:
    """Return the pages of a book."""
    app = Starlette(
        routes=_routes(), middleware=[Middleware(Guard)], exception_handlers={HTTPException: _no_such_page}
    )
    app.state.desk = Desk(book, now)
    return app


def from_environment() -> Starlette:
    """Return the pages of the notebook that the environment names, else of the person's own, else of the demo."""
    return make_app(open_book(Path(os.environ[ENVIRONMENT]) if ENVIRONMENT in os.environ else which(None)))


def _routes() -> list[Route | Mount]:
    both = ["GET", "POST"]
    return [
        Mount("/static", StaticFiles(directory=STATIC)),
        Route("/", _page(today.today)),
        Route("/record", _page(record.record_list)),
        Route("/record/{kind}", _page(record.record), methods=both),
        Route("/check/{code}", _page(check.check), methods=both),
        Route("/correct/{number}", _page(put_right.correct), methods=both),
        Route("/cross-out/{number}", _page(put_right.cross_out), methods=both),
        Route("/season", _page(season.season)),
        Route("/season/plan", _page(season.plan_again), methods=["POST"]),
        Route("/aside", _page(aside.aside)),
        Route("/handbook", _page(handbook.handbook_list)),
        Route("/handbook/{sheet}", _page(handbook.sheet_page)),
        Route("/handbook/{sheet}/own", _page(own.own_value), methods=both),
        Route("/handbook/{sheet}/done", _page(own.done), methods=both),
        Route("/first", _page(first_run.first)),
        Route("/first/own", _page(first_run.own), methods=both),
        Route("/first/standing", _page(first_run.standing), methods=both),
        Route("/find", _page(thing.find)),
        Route("/named/{code}", _page(thing.thing)),
        Route("/{code}", _page(thing.thing)),
    ]


def _page(page: Page) -> Callable[[Request], Awaitable[Response]]:
    """Make a page answer requests, whatever goes wrong."""

    async def answer(request: Request) -> Response:
        try:
            return await page(await Visit.of(request))
        except Trouble as trouble:
            return _told(request, trouble)
        except HTTPException:
            raise
        except Exception as fault:  # noqa: BLE001 - the reader gets a sentence, the log the traceback
            return _fault(request, fault)

    return answer


def _told(request: Request, trouble: Trouble) -> Response:
    status = troubles.status_of_address(trouble)
    asked = request.query_params.get("code", "")
    where = f"You typed {asked[:60]}" if request.url.path == "/find" and asked else trouble.where
    sentence = day_by_day(troubles.sentence_of(trouble), request.app.state.desk.book.today)
    title = "Not found" if status == 404 else "Not written" if request.method == "POST" else "Not possible"
    page = ErrorPage(title, sentence, troubles.remedy_of(trouble), where)
    return plain_page(request, "error.html", page, status)


def _fault(request: Request, fault: Exception) -> Response:
    reference = secrets.token_hex(4).upper()
    LOG.error("fault %s at %s %s", reference, request.method, request.url.path, exc_info=fault)
    page = ErrorPage(
        "Something went wrong on our side", "The page could not be made.",
        "Nothing is lost. Go back and try once more.", reference=reference,
    )  # fmt: skip
    return plain_page(request, "error.html", page, 500)


async def _no_such_page(request: Request, trouble: Exception) -> Response:
    """Answer an address that nothing answers to, or one that takes no forms."""
    assert isinstance(trouble, HTTPException)
    known = troubles.NoSuchPage()
    page = ErrorPage("Not found", known.sentence, known.do)
    return plain_page(request, "error.html", page, trouble.status_code)
