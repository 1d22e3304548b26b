"""Looking: today, show, aside, verify."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from graftwright.cli.books import the_book
from graftwright.cli.output import answer

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from graftwright.ledger.aside import KeptAside
    from graftwright.ledger.due import DueLine


@click.command()
@click.option("--date", "day", metavar="DAY", help="The list of another day, such as 2027-04-24.")
@click.pass_context
def today(ctx: click.Context, day: str | None) -> None:
    """What is due, late and coming, in walking order, each line with its reason."""
    from graftwright.actions.called import called
    from graftwright.actions.today import as_json, lines_of_the_day
    from graftwright.cli.paper import when
    from graftwright.ledger.days import read_day

    book = the_book(ctx)
    on = book.today if day is None else read_day(day)
    with book.notebook.reading() as reading:
        lines = lines_of_the_day(reading, book.site, on)
        names = called(reading, _codes(lines))
    demo = "DEMO · " if book.is_demo else ""
    heading = f"{demo}{book.site.name} · {when(on)}"
    answer(ctx, as_json(lines, on), "\n".join([heading, *_listed(lines, lambda code: names.get(code, code))]))


def _codes(lines: Iterable[DueLine]) -> set[str]:
    return {code for line in lines for code in (line.place, line.subject) if code}


def _listed(lines: Iterable[DueLine], name: Callable[[str], str]) -> list[str]:
    """Write due lines for people: one heading for each state."""
    from graftwright.cli.paper import tasks

    states: dict[str, list[DueLine]] = {}
    for line in lines:
        states.setdefault(line.state, []).append(line)
    written = []
    for state, found in states.items():
        written += ["", state.upper(), *tasks(found, name, about=True)]
    return written or ["", "Nothing is due, and nothing comes within two weeks."]


@click.command()
@click.argument("code")
@click.pass_context
def show(ctx: click.Context, code: str) -> None:
    """What this is: counts, where it stands, what comes next, and its whole history.

    CODE is the code of a lot, batch, plant or place, or the name of a place, variety or person.
    """
    from graftwright.actions.show import as_card_json
    from graftwright.actions.show import show as show_card
    from graftwright.cli.card import card_lines

    if not code.strip():
        raise click.MissingParameter(ctx=ctx, param=ctx.command.params[0])
    book = the_book(ctx)
    with book.notebook.reading() as reading:
        card = show_card(reading, book.site, book.today, code)
    answer(ctx, as_card_json(card, book.today), "\n".join(card_lines(card)))


@click.group(no_args_is_help=False)
def aside() -> None:
    """Entries that could not stand and wait for a person."""


@aside.command("list")
@click.pass_context
def list_aside(ctx: click.Context) -> None:
    """What is kept aside, each with its reason."""
    book = the_book(ctx)
    with book.notebook.reading() as reading:
        kept = reading.aside()
    value = {"kept_aside": [{"id": one.id, "kind": one.kind, "subject": one.subject, "happened": one.happened,
                             "by": one.by, "reason": one.reason, "do": one.do, "received": one.received}
                            for one in kept]}  # fmt: skip
    lines = [line for one in kept for line in _kept(one)]
    answer(ctx, value, "\n".join(lines) or "Nothing is kept aside.")


def _kept(one: KeptAside) -> list[str]:
    from graftwright.cli.paper import hanging
    from graftwright.ledger.codes import shown

    by = one.by or "nobody named"
    heading = f"{one.happened}  {one.kind} {shown(one.subject)} ({by})"
    return [*hanging(heading, 0), *hanging(f"{one.reason} {one.do}", 4, 0)]


@click.command()
@click.option("--windows", is_flag=True, help="Work all windows out again, too.")
@click.pass_context
def verify(ctx: click.Context, windows: bool) -> None:
    """Prove that every entry, derived again from the first, gives what is stored."""
    from graftwright.bootstrap import prove

    book = the_book(ctx)
    proof = prove(book, windows=windows)
    entries = "1 entry" if proof.entries == 1 else f"{proof.entries} entries"
    said = f"{entries} proved: balanced, and derived again they give what is stored."
    problems = "\n".join(proof.problems)
    answer(ctx, proof.as_json(), problems or f"{said} {proof.kept_aside} kept aside.")
    proof.must_hold()
