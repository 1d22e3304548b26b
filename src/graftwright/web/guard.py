"""What every request passes before a page is made, and what every answer carries.

Pages are served to this machine alone: a request under another name, or a form sent from another
site, is turned away before it can read or write.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOOPBACK = {"127.0.0.1", "localhost", "::1"}
MOST_BYTES = 64_000  # a form with the longest note three times over
HEADERS = {
    "content-security-policy": "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-cache",
}


class Guard:
    """Turns away what must not come in, and puts the headers on what goes out."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        refusal = refused(scope["method"], Headers(scope=scope))
        await (refusal or self.app)(scope, receive, send_with_headers)


def refused(method: str, headers: Headers) -> PlainTextResponse | None:
    """Return the answer to a request that may not come in, or None."""
    if host_name(headers.get("host", "")) not in LOOPBACK:
        return PlainTextResponse("This book is open on its own machine only: use http://127.0.0.1.\n", 421)
    if method in {"GET", "HEAD"}:
        return None
    if not _same_site(headers):
        return PlainTextResponse("This form was sent from another site; nothing was written.\n", 403)
    length = headers.get("content-length", "")
    if not length.isdecimal():
        return PlainTextResponse("The form does not say how long it is; nothing was written.\n", 411)
    if len(length) > len(str(MOST_BYTES)) or int(length) > MOST_BYTES:
        return PlainTextResponse("The form is too long; nothing was written. Shorten the note.\n", 413)
    return None


def host_name(host: str) -> str:
    """Return the name in a Host header, without its port."""
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""


def _same_site(headers: Headers) -> bool:
    """Whether a form was sent from a page of ours.

    Browsers say so themselves; what says nothing of the kind is no browser and carries nobody's session.
    """
    said = headers.get("sec-fetch-site")
    if said is not None:
        return said in {"same-origin", "none"}
    origin = headers.get("origin")
    return origin is None or origin == f"http://{headers.get('host')}"
