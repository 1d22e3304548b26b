"""The options of one kind of entry, and what was typed with them, under the names of its fields."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

from graftwright.cli.kinds_help import OWN_COMMAND
from graftwright.errors import ValueComplaint, as_typed
from graftwright.ledger.codes import is_code
from graftwright.ledger.kinds import (
    CHOICE,
    COUNT,
    COUNTS,
    FLAG,
    NUMBER,
    OUTCOMES,
    SHARES,
    SIGNED,
    Field,
    Kind,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from graftwright.actions.ports import Draft

_WHY = ("reasons", "dead", "reason")  # all three are typed as --reason
_METAVARS = {"seen": "STAGE=n", "counted": "STAGE=n", "places": "PLACE=n", "plants": "CODE=OUTCOME",
             "species": "SPECIES=SHARE", "reasons": "WHY=n", "dead": "WHY=n"}  # fmt: skip
_VALUES = {CHOICE: "WORD", COUNT: "n", SIGNED: "n", NUMBER: "x"}

_ULID = re.compile(r"[0-7][0-9A-HJKMNP-TV-Z]{25}")
MAKES = ("receive", "cut-scions", "graft", "regraft")  # these give their subject a code


class HowMany(ValueComplaint):
    """A word without its number."""

    def __init__(self, option: str, word: str) -> None:
        super().__init__(
            f"{option} {as_typed(word)} does not say how many.", where=option,
            do=f"Write it as {option} '{as_typed(word)}=1', or put the number behind the code.",
        )  # fmt: skip


class NoWord(ValueComplaint):
    """A number without its word, or a value where a word and a value belong."""

    def __init__(self, option: str, text: str, such_as: str) -> None:
        super().__init__(
            f"{option} takes a word and a value, not '{as_typed(text)}'.", where=option,
            do=f"Write it as {option} {such_as}.",
        )  # fmt: skip


class NoId(ValueComplaint):
    """Something that cannot be the id of an entry."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            f"'{as_typed(typed)}' is no id of an entry: that has 26 letters and figures.", where="--id",
            do="Leave it out, and one is made.",
        )  # fmt: skip


class CountOfWhat(ValueComplaint):
    """A count behind the code, and nothing or too much that it could count."""

    def __init__(self, kind: Kind, count: str, options: Sequence[str]) -> None:
        names = " or ".join(options)
        super().__init__(
            f"'{kind.name}' cannot tell what {as_typed(count)} counts.", where="COUNT",
            do=f"Give it one word with {names}, or write word=number there." if names else "Leave it out.",
        )  # fmt: skip


class Twice(ValueComplaint):
    """One word given two numbers."""

    def __init__(self, option: str, word: str) -> None:
        super().__init__(f"{option} names '{as_typed(word)}' twice.", where=option, do="Add the numbers up.")


def option_of(name: str) -> str:
    """Return the option that a field is typed with."""
    return "COUNT" if name == "count" else "--reason" if name in _WHY else "--" + name.replace("_", "-")


def options(kind: Kind) -> list[click.Parameter]:
    """Return the arguments and options of one kind: its own first, then those of every entry."""
    made: list[click.Parameter] = []
    if kind.name not in OWN_COMMAND:
        metavar = "[CODE]" if kind.name in {*MAKES, "describe"} else "CODE"
        made.append(click.Argument(["subject"], default="", metavar=metavar, help=_what_code(kind)))
    if count := kind.field("count"):
        made.append(click.Argument(["count"], required=False, help=f"{count.help}."))
    elif _counted(kind):
        help_ = "How many, where one word is typed without its number."
        made.append(click.Argument(["count"], required=False, help=help_))
    made += [_option(field) for field in kind.fields if field.name not in {"count", "note"}]
    return made + common()


def common() -> list[click.Parameter]:
    """Return the options that every entry has."""
    return [
        click.Option(["--note"], metavar="TEXT", help="Anything else, in your own words."),
        click.Option(["--day"], metavar="DAY", default="",
                     help="When: 2027-04-10, 2027-04, 'spring 2026', yesterday, '2 weeks ago'; today if left out."),
        click.Option(["--by"], metavar="NAME", default="", help="Who did it."),
        click.Option(["--id", "id_"], metavar="ULID", default="",
                     help="The entry's own id; sent twice it counts once."),
    ]  # fmt: skip


def _what_code(kind: Kind) -> str:
    if kind.name in MAKES:
        return "The blank label it gets; a code is given if left out."
    if kind.name == "describe":
        return "What is known already, by code or name; left out for something new."
    things = [word.replace("-", " ") for word in kind.about]
    either = f"{', '.join(things[:-1])} or {things[-1]}" if things[1:] else things[0]
    inside = "; a bag stands for what is in it" if "batch" in kind.about else ""
    return f"Code or name of a {either}{inside}."


def _counted(kind: Kind) -> list[Field]:
    """Fields of a kind that pair a word with a number."""
    return [field for field in kind.fields if field.holds == COUNTS and field.name != "places"]


def _option(field: Field) -> click.Option:
    words = f": {' · '.join(field.choices)}" if field.choices else ""
    needed = " Needed." if field.required else ""
    help_ = f"{field.help}{words}.{needed}"
    flag = option_of(field.name)
    if field.holds == FLAG:
        return click.Option([flag, field.name], is_flag=True, help=help_)
    pairs = field.holds in {COUNTS, OUTCOMES, SHARES}
    metavar = _METAVARS[field.name] if pairs else _VALUES.get(field.holds, field.holds.upper())
    hidden = field.name == "demo_date"  # the demo's own; a grower's notebook lives today
    return click.Option([flag, field.name], multiple=pairs, metavar=metavar, help=help_, hidden=hidden)


def draft(kind: Kind, typed: Mapping[str, Any]) -> Draft:
    """Return the draft of an entry from what was typed."""
    from graftwright.actions.ports import Draft

    subject, count = typed.get("subject", ""), typed.get("count")
    if typed["id_"] and not _ULID.fullmatch(typed["id_"]):
        raise NoId(typed["id_"])
    if count is None and kind.name in {*MAKES, "wish"} and _is_count(subject):
        subject, count = "", subject
    said = _said(kind, count, typed)
    return Draft(kind.name, subject, said, typed["day"], typed["by"], typed["id_"])


def _is_count(word: str) -> bool:
    """A number in the place of a code or a variety; one that is a code is a code."""
    return word.isascii() and word.isdigit() and not is_code(word)


def _said(kind: Kind, count: str | None, typed: Mapping[str, Any]) -> dict[str, Any]:
    said: dict[str, Any] = {}
    if count is not None and not kind.field("count"):
        typed = _counted_by(kind, count, typed)
    elif count is not None:
        said["count"] = count
    for field in kind.fields:
        value = typed.get(field.name)
        if field.name != "count" and value not in (None, (), False):
            said[field.name] = _pairs(field, value) if isinstance(value, tuple) else value
    return said


def _counted_by(kind: Kind, count: str, typed: Mapping[str, Any]) -> Mapping[str, Any]:
    """Give the number behind the code to the one word that came without any."""
    fields = _counted(kind)
    bare = [(field.name, word) for field in fields for word in typed[field.name] if _is_bare(word)]
    if len(bare) != 1:
        raise CountOfWhat(kind, count, [option_of(field.name) for field in fields])
    name, word = bare[0]
    return {**typed, name: tuple(f"{one}={count}" if one == word else one for one in typed[name])}


def _is_bare(word: str) -> bool:
    return bool(word.strip()) and "=" not in word


def _pairs(field: Field, texts: Iterable[str]) -> dict[str, str]:
    option, pairs = option_of(field.name), dict[str, str]()
    such_as = {SHARES: "'Castanea sativa=1'", OUTCOMES: "K7QF4-Z=leafing"}.get(field.holds, "mould=1")
    if field.name in {"seen", "counted"}:
        such_as = "swollen=2" if field.name == "seen" else "chilling=40"
    for text in texts:
        if field.holds == COUNTS and _is_bare(text):
            raise HowMany(option, text)
        word, equals, value = text.rpartition("=")
        if not equals or not word.strip():
            raise NoWord(option, text, such_as)
        if word.strip() in pairs:
            raise Twice(option, word.strip())
        pairs[word.strip()] = value.strip()
    return pairs
