"""The season of a notebook: its plan and its outlook."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from graftwright.cli.books import the_book
from graftwright.cli.output import answer

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.actions.outlook import Outlook
    from graftwright.actions.plan_parts import Plan
    from graftwright.actions.ports import Draft
    from graftwright.actions.wish_file import Wish, Wishes
    from graftwright.bootstrap import Book


@click.command()
@click.pass_context
def outlook(ctx: click.Context) -> None:
    """Will the numbers be made: the chance of each wish, and what can still be done.

    Wishes are entered with `graftwright record wish` or taken from a file by `graftwright plan FILE
    --keep`. Stages count as independent within a season.
    """
    from graftwright.actions.outlook import outlook as look_out
    from graftwright.actions.outlook_answer import as_json
    from graftwright.bootstrap import asked

    book = the_book(ctx)
    with book.notebook.reading() as reading:
        seen = look_out(reading, book.site, asked(book, reading))
    answer(ctx, as_json(seen), "\n".join(_lines(seen)))


def _lines(seen: Outlook) -> Iterator[str]:
    from graftwright.actions.outlook_answer import promise_sentence, sentences

    if not seen.chances and not seen.promised:
        yield "No wish is open. Enter one; graftwright record wish --help says how."
    for one in seen.chances:
        first, *rest = sentences(one)
        yield f"{one.wish.number:>4}  {first}"
        yield from (f"      {sentence}" for sentence in rest)
    for sheet, chance, error in seen.together:
        yield f"All wishes on the sheet {sheet} together: {chance:.0%}, give or take {2 * error:.1%}."
    yield from map(promise_sentence, seen.promised)


def plan_book(ctx: click.Context, *, keep: bool) -> tuple[Plan, dict[str, Any]]:
    """Plan the wishes of the notebook, say what changed since the plan kept last, and keep it if asked."""
    from graftwright.actions import keep_plan
    from graftwright.actions.plan_changes import changes
    from graftwright.bootstrap import asked

    book = the_book(ctx)
    with book.notebook.reading() as reading:
        made = keep_plan.make(reading, book.site, asked(book, reading))
    value = {**made.value, "changes": list(changes(made.before, made.value)) if made.before else []}
    if keep:
        value["kept_as"] = _kept(book, keep_plan.keep(made.value, made.wishes.wishes))
    return made.plan, value


def keep_file(ctx: click.Context, wishes: Wishes, value: dict[str, Any]) -> int:
    """Enter the wishes of a file, as far as they are new, and its plan; return the number of the plan's entry."""
    from graftwright.actions import keep_plan

    book = the_book(ctx)
    for draft in keep_plan.wishes_to_tell(wishes.wishes, _told(book)):
        book.enter(draft)
    numbered = keep_plan.numbered_as(value, wishes.wishes, _told(book))
    return _kept(book, keep_plan.keep(numbered, _told(book)))


def _told(book: Book) -> list[Wish]:
    from graftwright.actions.wanted import told_wishes
    from graftwright.bootstrap import asked

    with book.notebook.reading() as reading:
        return told_wishes(reading, asked(book, reading).experience)


def _kept(book: Book, draft: Draft) -> int:
    entered = book.enter(draft).entry
    assert entered is not None
    return entered.number
