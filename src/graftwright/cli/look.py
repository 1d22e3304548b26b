"""Looking: today, show, aside, verify."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from graftwright.cli.books import the_book
from graftwright.cli.output import answer

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from graftwright.actions.show import Card
    from graftwright.ledger.due import DueLine


@click.command()
@click.option("--date", "day", metavar="DAY", help="The list of another day, such as 2027-04-24.")
@click.pass_context
def today(ctx: click.Context, day: str | None) -> None:
    """What is due, late and coming, in walking order, each line with its reason."""
    from graftwright.actions.show import label
    from graftwright.actions.today import as_json, lines_of_the_day
    from graftwright.ledger.days import read_day

    book = the_book(ctx)
    on = read_day(day) if day else book.today
    with book.notebook.reading() as reading:
        lines = lines_of_the_day(reading, book.site, on)
        names = {code: label(thing, {}) for code, thing in reading.things(_codes(lines)).items()}
    demo = "DEMO · " if book.is_demo else ""
    heading = f"{demo}{book.site.name} · {on:%a} {on.isoformat()}"
    answer(ctx, as_json(lines, on), "\n".join([heading, *_listed(lines, lambda code: names.get(code, code))]))


def _codes(lines: Iterable[DueLine]) -> set[str]:
    return {code for line in lines for code in (line.place, line.subject) if code}


def _listed(lines: Iterable[DueLine], name: Callable[[str], str]) -> list[str]:
    """Write due lines for people: one heading for each state."""
    words = {"late": "LATE", "due": "DUE", "coming": "COMING"}
    written: list[str] = []
    state = ""
    for line in lines:
        if line.state != state:
            state = line.state
            written += ["", words[state]]
        where = f" in {name(line.place)}" if line.place else ""
        about = f" {name(line.subject)}" if line.subject else ""
        written += [f"  {_when(line)}  {line.what}{about}{where}", f"      {line.reason}"]
    return written or ["", "Nothing is due, and nothing comes within two weeks."]


def _when(line: DueLine) -> str:
    return f"{line.day:%a} {line.day.isoformat()}"


@click.command()
@click.argument("code")
@click.pass_context
def show(ctx: click.Context, code: str) -> None:
    """What this is: counts, where it stands, what comes next, and its whole history."""
    from graftwright.actions.show import as_card_json
    from graftwright.actions.show import show as show_card

    book = the_book(ctx)
    with book.notebook.reading() as reading:
        card = show_card(reading, book.site, book.today, code)
    answer(ctx, as_card_json(card, book.today), "\n".join(_card_lines(card)))


def _card_lines(card: Card) -> list[str]:
    from graftwright.ledger.codes import shown

    def name(code: str) -> str:
        return card.names.get(code) or shown(code)

    lines = [f"{shown(card.code)}  {card.title} ({card.kind})"]
    lines += [card.sentence] if card.sentence else []
    lines += [f"  {word}: {value}" for word, value, _ in card.facts]
    if card.standing:
        lines += ["", "Here now" if card.kind == "place" else "Standing"]
        for one in card.standing:
            who = f"{name(one.thing)} " if one.thing != card.code else ""
            where = f" in {name(one.place)}" if one.place and one.place != card.code else ""
            lines.append(f"  {one.count} {who}{one.stage}{where}")
    lines += _windows(card)
    if card.due:
        lines += ["", "Next"]
        lines += [f"  {_when(line)}  {line.what} {name(line.place)}: {line.reason}" for line in card.due]
    if card.history:
        lines += ["", "History, latest first"]
        for told in card.history:
            crossed = f"  [crossed out by {told.crossed_by}]" if told.crossed_by else ""
            lines.append(f"  {told.number:>4}  {told.happened}  {told.sentence}{crossed}")
    return lines


def _windows(card: Card) -> list[str]:
    from graftwright.ledger.windows import outward

    forecast = card.forecast
    if forecast is None:
        return []
    if forecast.untried:
        return ["", f"No windows: {forecast.untried}"]
    lines: list[str] = []
    for group in forecast.groups:
        lines += ["", f"Windows ({group.living} grafts, {group.temperature}): earliest · likely · latest"]
        for one in group.milestones:
            if one.reached == one.of and one.of:
                lines.append(f"  {one.name}: all {one.of} there")
            elif one.half:
                days = outward(date.fromisoformat(forecast.start), one.half)
                window = " · ".join(day.isoformat() if day else "later than we look" for day in days)
                stalled = f" ({one.stalled})" if one.stalled else ""
                lines.append(
                    f"  half of them {one.name}: {window}  ({one.reached} of {one.of} there){stalled}"
                )
    return lines


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
    lines = [
        f"{one.happened}  {one.kind} {one.subject} ({one.by or 'nobody named'}): {one.reason} {one.do}"
        for one in kept
    ]
    answer(ctx, value, "\n".join(lines) or "Nothing is kept aside.")


@click.command()
@click.option("--windows", is_flag=True, help="Work all windows out again, too.")
@click.pass_context
def verify(ctx: click.Context, windows: bool) -> None:
    """Prove that every entry, derived again from the first, gives what is stored."""
    from graftwright.bootstrap import prove

    book = the_book(ctx)
    proof = prove(book, windows=windows)
    said = f"{proof.entries} entries proved: balanced, and derived again they give what is stored."
    problems = "\n".join(proof.problems)
    answer(ctx, proof.as_json(), problems or f"{said} {proof.kept_aside} kept aside.")
    proof.must_hold()
