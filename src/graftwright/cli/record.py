"""Entering from the command line: record, correct, cross-out, away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from graftwright.cli.books import the_book
from graftwright.cli.output import answer
from graftwright.errors import ValueComplaint
from graftwright.ledger.kinds import CHOICE, COUNTS, FLAG, KINDS, OUTCOMES, SHARES, Field, find_kind

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from graftwright.actions.enter import Answer
    from graftwright.actions.ports import Draft

_TYPED_ELSEWHERE = {"count", "note", "dead", "reasons", "reason"}  # COUNT, --note and --reason


class NoPair(ValueComplaint):
    """A word and a number were expected."""

    def __init__(self, option: str, text: str) -> None:
        super().__init__(
            f"--{option} needs a word and a value, such as mould=1, not '{text}'.", do="Type it again."
        )


def _fields() -> dict[str, list[Field]]:
    """Every field that some kind has, by name."""
    found: dict[str, list[Field]] = {}
    for kind in KINDS.values():
        for field in kind.fields:
            found.setdefault(field.name, []).append(field)
    return found


def _several(fields: Iterable[Field]) -> bool:
    return any(field.holds in {COUNTS, OUTCOMES, SHARES} for field in fields)


def _options(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command one option for each field that entries can have."""
    for name, fields in sorted(_fields().items(), reverse=True):
        if name in _TYPED_ELSEWHERE:
            continue
        kinds = ", ".join(kind.name for kind in KINDS.values() if kind.field(name))
        help_ = f"{fields[0].help} ({kinds})."
        flag = "--" + name.replace("_", "-")
        if all(field.holds == FLAG for field in fields):
            option = click.option(flag, name, is_flag=True, help=help_)
        elif _several(fields):
            option = click.option(flag, name, multiple=True, metavar="WORD=VALUE", help=help_)
        else:
            option = click.option(flag, name, metavar=_metavar(fields[0]), help=help_)
        command = option(command)
    return command


def _metavar(field: Field) -> str:
    return "WORD" if field.holds == CHOICE else field.holds.upper()


def _common(command: Callable[..., None]) -> Callable[..., None]:
    for option in (
        click.option("--note", help="Anything else, in your own words."),
        click.option("--reason", "reason", multiple=True, metavar="WORD=n", help="Why, and how many."),
        click.option("--id", "id_", metavar="ULID", help="The entry's own id; sent twice it counts once."),
        click.option("--by", default="", metavar="NAME", help="Who did it."),
        click.option(
            "--day", default="", metavar="DAY", help="When: 2027-04-10, 2027-04, 'spring 2026', 'yesterday'."
        ),
    ):
        command = option(command)
    return command


def _pairs(option: str, texts: Iterable[str]) -> dict[str, str]:
    pairs = {}
    for text in texts:
        word, equals, value = text.rpartition("=")
        if not equals or not word.strip():
            raise NoPair(option, text)
        pairs[word.strip()] = value.strip()
    return pairs


def _said(
    kind_name: str, count: str | None, reason: tuple[str, ...], typed: Mapping[str, Any]
) -> dict[str, Any]:
    """Put what was typed under the names of the kind's fields."""
    kind = find_kind(kind_name)
    said: dict[str, Any] = {}
    for name, value in typed.items():
        if value in (None, (), False, ""):
            continue
        field = kind.field(name)
        if isinstance(value, tuple):
            listed = field is not None and field.holds not in {COUNTS, OUTCOMES, SHARES}
            said[name] = " ".join(value) if listed else _pairs(name.replace("_", "-"), value)
        else:
            said[name] = value
    if count is not None:
        said["count"] = count
    if reason and kind.field("reason"):
        said["reason"] = " ".join(reason)
    elif reason:
        said["dead" if kind.field("dead") else "reasons"] = _pairs("reason", reason)
    return said


def _draft(kind: str, subject: str, count: str | None, typed: dict[str, Any], **more: Any) -> Draft:
    from graftwright.actions.ports import Draft

    reason, day, by, id_ = (typed.pop(name) for name in ("reason", "day", "by", "id_"))
    return Draft(kind, subject, _said(kind, count, reason, typed), day, by, id_ or "", **more)


@click.command(epilog=f"Kinds: {', '.join(KINDS)}.")
@click.argument("kind")
@click.argument("subject", default="")
@click.argument("count", required=False)
@_common
@_options
@click.pass_context
def record(ctx: click.Context, /, kind: str, subject: str, count: str | None, **typed: Any) -> None:
    """Enter something: KIND is what was done or seen, SUBJECT the code it is about.

    A kind that makes something new (receive, cut-scions, graft, regraft) needs no SUBJECT: the
    next code is given. Write '' for SUBJECT where a COUNT follows.
    """
    _enter(ctx, _draft(kind, subject, count, typed))


@click.command()
@click.argument("number", type=int)
@click.argument("subject", default="")
@click.argument("count", required=False)
@click.option("--kind", help="Another kind of entry, if that was wrong too.")
@_common
@_options
@click.pass_context
def correct(
    ctx: click.Context, /, number: int, subject: str, count: str | None, kind: str | None, **typed: Any
) -> None:
    """Put an entry right: what you type replaces what it said, the rest is kept."""
    from graftwright.actions.put_right import corrected

    book = the_book(ctx)
    with book.notebook.reading() as reading:
        old = reading.entry(number)
    draft = _draft(kind or old.kind, subject, count, typed)
    _enter(ctx, corrected(old, draft))


@click.command("cross-out")
@click.argument("numbers", nargs=-1, required=True)
@click.option("--reason", required=True, help="Why it is untrue.")
@click.option("--with-those-that-follow", is_flag=True, help="Cross out, too, the entries that rest on it.")
@click.option("--by", default="", metavar="NAME", help="Who says so.")
@click.option(
    "--id", "id_", default="", metavar="ULID", help="The entry's own id; sent twice it counts once."
)
@click.pass_context
def cross_out(
    ctx: click.Context, numbers: tuple[str, ...], reason: str, with_those_that_follow: bool, by: str, id_: str
) -> None:
    """Mark entries as untrue, with a reason; they stay readable."""
    from graftwright.actions.ports import Draft

    said = {"numbers": list(numbers), "reason": reason}
    _enter(ctx, Draft("cross-out", "", said, "", by, id_, with_those_behind=with_those_that_follow))


@click.command()
@click.argument("from_day")
@click.argument("to_day")
@click.option("--note", default="", help="Where you are, if you like.")
@click.option(
    "--id", "id_", default="", metavar="ULID", help="The entry's own id; sent twice it counts once."
)
@click.pass_context
def away(ctx: click.Context, from_day: str, to_day: str, note: str, id_: str) -> None:
    """Days you are gone: tasks and next checks move to before them, windows never do."""
    from graftwright.actions.ports import Draft

    _enter(ctx, Draft("away", "", {"from_day": from_day, "to_day": to_day, "note": note}, id=id_))


def _enter(ctx: click.Context, draft: Draft) -> None:
    from graftwright.actions.answers import as_json, in_words

    book = the_book(ctx)
    result: Answer = book.enter(draft)
    with book.notebook.reading() as reading:
        words = in_words(reading, book.site, book.today, result)
    answer(ctx, as_json(result, words), "\n".join(words))
