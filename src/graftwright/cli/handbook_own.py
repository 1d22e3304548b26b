"""`graftwright handbook own` and `done`: your own values beside the handbook's, and how practised you are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from graftwright.cli.books import the_book
from graftwright.cli.handbook_lines import value_words
from graftwright.cli.output import answer

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.actions.own_page import Owned, OwnPage
    from graftwright.handbook import Figure

id_of = click.option(
    "--id", "id_", default="", metavar="ULID", help="The entry's own id; sent twice it counts once."
)


@click.command(
    context_settings={"ignore_unknown_options": True},
    epilog="Such as: graftwright handbook own hypocotyl-closed-bag leafing.act_within.days 2 --scope 'three batches'",
)
@click.argument("sheet", default="", metavar="[SHEET-OR-GENUS]")
@click.argument("path", default="")
@click.argument("value", nargs=-1, type=click.UNPROCESSED)
@click.option("--back", is_flag=True, help="Take the handbook's value again.")
@click.option(
    "--scope", default="", metavar="TEXT", help="What your value rests on, such as 'three batches'."
)
@click.option("--note", default="", metavar="TEXT", help="Anything else, in your own words.")
@id_of
@click.pass_context
def own(
    ctx: click.Context, /, sheet: str, path: str, value: tuple[str, ...], back: bool, **more: str
) -> None:
    """Use a VALUE of your own for what stands at PATH, or list all of yours beside the handbook's.

    graftwright handbook show SHEET --json names the PATH of every value. VALUE is in the handbook's unit: 2, or
    20 to 24. Windows, plan and outlook use it at once.
    """
    _no_unknown_option(ctx, (sheet, path, *value))
    if not path:
        _list(ctx, sheet)
    else:
        said = {"of": sheet, "path": path, "value": " ".join(value), "back": back or "", **more}
        _enter(ctx, said, path)


def _no_unknown_option(ctx: click.Context, words: tuple[str, ...]) -> None:
    """A value may begin with a minus; an option that nobody knows still is one."""
    for word in words:
        if word.startswith("--"):
            raise click.NoSuchOption(word, ctx=ctx)


@click.command(epilog="Such as: graftwright handbook done hypocotyl-closed-bag 12")
@click.argument("sheet")
@click.argument("how_many", metavar="HOW-MANY")
@id_of
@click.pass_context
def done(ctx: click.Context, sheet: str, how_many: str, id_: str) -> None:
    """Say HOW-MANY grafts you have done by SHEET: plans and outlooks count with what somebody like you brings through.

    0 is the first time, 1 to 49 some practice, from 50 on you are practised.
    """
    from graftwright.actions.own import experience_of, read_done

    count = read_done(how_many)
    _enter(ctx, {"of": sheet, "experience": experience_of(count), "note": f"{count} done", "id_": id_})


def _enter(ctx: click.Context, said: dict[str, Any], path: str = "") -> None:
    from graftwright.actions.answers import as_json, in_words
    from graftwright.actions.own_page import own_page
    from graftwright.actions.ports import Draft
    from graftwright.handbook import load_handbook

    book, id_ = the_book(ctx), said.pop("id_")
    result = book.enter(Draft("adopt", "", {name: one for name, one in said.items() if one}, id=id_))
    with book.notebook.reading() as reading:
        words = in_words(reading, book.site, book.today, result)
        page = own_page(reading, load_handbook(), said["of"], path) if path else None
    words[1:1] = [f"  {_both(one)}" for one in page.values] if page else []
    answer(ctx, {**as_json(result, words), **(page.as_json() if page else {})}, "\n".join(words))


def _list(ctx: click.Context, sheet: str) -> None:
    from graftwright.actions.own_page import own_page
    from graftwright.handbook import load_handbook

    handbook = load_handbook()
    if sheet and sheet not in handbook.species:
        handbook.sheet(sheet)  # complains about one that nobody has
    with the_book(ctx).notebook.reading() as reading:
        page = own_page(reading, handbook, sheet)
    lines = list(_lines(page)) or [
        "No values of your own. Such as: graftwright handbook own SHEET PATH VALUE"
    ]
    answer(ctx, page.as_json(), "\n".join(lines))


def _lines(page: OwnPage) -> Iterator[str]:
    from graftwright.actions.say import PRACTISED

    for of in dict.fromkeys([*(one.of for one in page.values), *(one.of for one in page.practice)]):
        yield of
        for practised in (one for one in page.practice if one.of == of):
            yield f"  {PRACTISED[practised.experience]} (entry {practised.entry})"
        for one in (one for one in page.values if one.of == of):
            scope = f", {one.yours.origin.scope}" if one.yours.origin.scope else ""
            yield f"  {one.yours.path}: {_both(one)} (entry {one.entry}{scope})"


def _both(one: Owned) -> str:
    """Write yours and the handbook's: 'yours 9 · sheet 10'."""
    unused = "" if one.used else "; the handbook has no place for yours now, and it is left out"
    return f"yours {value_words(one.yours)} · sheet {_theirs(one.theirs)}{unused}"


def _theirs(theirs: Figure | None) -> str:
    return value_words(theirs) if theirs else "says nothing"
