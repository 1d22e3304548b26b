"""Entering from the command line: record, correct, cross-out, away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from graftwright.cli.books import the_book
from graftwright.cli.entry_options import common, draft, option_of, options
from graftwright.cli.kinds_help import GROUPS, OWN_COMMAND, example_of
from graftwright.cli.output import answer
from graftwright.errors import ValueComplaint, as_typed
from graftwright.ledger.entries import MissingValue, WrongValue
from graftwright.ledger.errors import CannotStand
from graftwright.ledger.kinds import KINDS, find_kind

if TYPE_CHECKING:
    from graftwright.actions.enter import Answer
    from graftwright.actions.ports import Draft
    from graftwright.ledger.kinds import Kind


class NoEntryNumber(ValueComplaint):
    """Something that cannot be the number of an entry."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            f"'{as_typed(typed)}' is no number of an entry.",
            do="Entries are numbered 1, 2, 3 …; graftwright show CODE lists those about a code.",
        )


class EntryCommand(click.Command):
    """Enter one kind of entry; its help keeps what this kind can say apart from what every entry can."""

    def __init__(self, kind: Kind) -> None:
        super().__init__(
            kind.name, params=options(kind), callback=_record_as(kind), help=f"{kind.does}.",
            epilog=f"Such as: graftwright {example_of(kind.name)}", hidden=kind.name in OWN_COMMAND,
        )  # fmt: skip
        self.kind = kind

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write both parts."""
        every = {param.name for param in common()}
        listed = [param for param in self.get_params(ctx) if isinstance(param, click.Option)]
        rows = [(param.name in every, param.get_help_record(ctx)) for param in listed]
        for title, wanted in (("It can say", False), ("As every entry", True)):
            told = [record for is_common, record in rows if record and is_common == wanted]
            if told:
                with formatter.section(title):
                    formatter.write_dl(told)


def _record_as(kind: Kind) -> Any:
    def record(**typed: Any) -> None:
        ctx = click.get_current_context()
        _enter(ctx, draft(kind, typed))

    return record


class Kinds(click.Group):
    """The kinds of entry, as commands."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return [name for names in GROUPS.values() for name in names if name not in OWN_COMMAND]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command:  # noqa: ARG002
        return EntryCommand(find_kind(cmd_name))

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        for title, names in GROUPS.items():
            with formatter.section(title):
                formatter.write_dl([(name, KINDS[name].does) for name in names if name not in OWN_COMMAND])


@click.command(cls=Kinds, subcommand_metavar="KIND [CODE] [COUNT] ...", no_args_is_help=False)
def record() -> None:
    """Enter something: KIND is what was done or seen, CODE what it is about.

    A bag's code stands for what is in it, a name for its place or variety. What makes something new
    (receive, cut-scions, graft, regraft) needs no CODE: the next one is given. COUNT is how many.

    What a kind can say, with an example: graftwright record KIND --help
    """


@click.command(
    context_settings={"ignore_unknown_options": True, "allow_interspersed_args": False},
    epilog="Such as: graftwright correct 12 --seen swollen=1 --reason mould=1",
)
@click.option("--kind", metavar="KIND", help="Another kind of entry, if that was wrong too.")
@click.argument("number")
@click.argument("rest", nargs=-1, type=click.UNPROCESSED, metavar="[CODE] [COUNT] [OPTIONS]...")
@click.pass_context
def correct(ctx: click.Context, number: str, rest: tuple[str, ...], kind: str | None) -> None:
    """Put an entry right: what you type replaces what it said, the rest is kept.

    Both stay readable, and what follows is counted anew. The options are those of the entry's kind:
    graftwright correct NUMBER --help
    """
    from graftwright.actions.put_right import corrected

    kind, rest = _another_kind(rest) or (kind, rest)
    book = the_book(ctx)
    with book.notebook.reading() as reading:
        old = reading.entry(_entry_number(number))
    wanted = find_kind(kind or old.kind)
    inner = EntryCommand(wanted).make_context(f"correct {number}", list(rest), parent=ctx.parent)
    _enter(ctx, corrected(old, draft(wanted, inner.params)))


def _another_kind(words: tuple[str, ...]) -> tuple[str, tuple[str, ...]] | None:
    """Find --kind behind the number, where the options of the entry's kind stand."""
    for n, word in enumerate(words):
        if word.startswith("--kind="):
            return word.removeprefix("--kind="), (*words[:n], *words[n + 1 :])
        if word == "--kind" and words[n + 1 :]:
            return words[n + 1], (*words[:n], *words[n + 2 :])
    return None


def _entry_number(typed: str) -> int:
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 12 and int(typed)):
        raise NoEntryNumber(typed)
    return int(typed)


@click.command("cross-out")
@click.argument("numbers", nargs=-1, required=True)
@click.option("--reason", required=True, metavar="TEXT", help="Why it is untrue.")
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

    said = {"numbers": [_entry_number(number) for number in numbers], "reason": reason}
    _enter(ctx, Draft("cross-out", "", said, "", by, id_, with_those_behind=with_those_that_follow))


@click.command()
@click.argument("from_day")
@click.argument("to_day")
@click.option("--note", default="", metavar="TEXT", help="Where you are, if you like.")
@click.option(
    "--id", "id_", default="", metavar="ULID", help="The entry's own id; sent twice it counts once."
)
@click.pass_context
def away(ctx: click.Context, from_day: str, to_day: str, note: str, id_: str) -> None:
    """Days you are gone: tasks and next checks move to before them, windows never do."""
    from graftwright.actions.ports import Draft

    _enter(ctx, Draft("away", "", {"from_day": from_day, "to_day": to_day, "note": note}, id=id_))


def _as_typed_here(trouble: MissingValue | WrongValue) -> None:
    """Name a field by the option it is typed with."""
    option = option_of(trouble.where)
    trouble.sentence = trouble.sentence.replace(f"'{trouble.where}'", option)
    trouble.where = option


def _enter(ctx: click.Context, draft: Draft) -> None:
    from graftwright.actions.answers import as_json, in_words

    book = the_book(ctx)
    try:
        result: Answer = book.enter(draft)
    except (MissingValue, WrongValue) as trouble:
        _as_typed_here(trouble)
        raise
    except CannotStand as refusal:
        if draft.kind == "cross-out":
            refusal.do = "Correct those first, or cross them out, too: --with-those-that-follow."
        raise
    with book.notebook.reading() as reading:
        words = in_words(reading, book.site, book.today, result)
    answer(ctx, as_json(result, words), "\n".join(words))
