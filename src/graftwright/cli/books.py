"""Which notebook a command works on."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import click

    from graftwright.bootstrap import Book


def the_book(ctx: click.Context) -> Book:
    """Open the notebook that the options before the command name."""
    from graftwright import bootstrap

    book = bootstrap.open_book(bootstrap.which(ctx.find_object(object).notebook))  # type: ignore[attr-defined]
    ctx.call_on_close(book.notebook.close)
    return book
