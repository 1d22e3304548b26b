"""Forms made from the fields of a kind of entry, and back again to what was said."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from graftwright.ledger import kinds
from graftwright.ledger.codes import shown
from graftwright.web import troubles
from graftwright.web.parts import Field, Option

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from graftwright.errors import Trouble
    from graftwright.ledger.kinds import Kind

PAIRS = 2  # reasons with their numbers that a form has room for
NONE = Option("", "—")

# what a form asks where the help of the field is written for a command line
_LABELS = {
    "sticks": "Or how many sticks of scionwood",
    "plants": "Which plants, by their codes",
    "places": "Where they are, if in several places",
    "counted": "What you counted",
    "species": "Species and their shares",
    "sheet": "How they are raised",
    "stock": "What they are grafted on",
    "scion": "The scionwood",
    "lot": "The stocks 'to work again' they join",
}
_HELP = {
    "plants": "with a space between them; leave it empty if you mean all",
    "places": "a line for each: code or name, =, number",
    "species": "a line for each, such as Castanea sativa=1",
    "bags": "leave it empty if they need none",
    "numbers": "with a space between them",
    "lot": "a new one if you leave it",
}
_KINDS = {kinds.COUNT: "number", kinds.SIGNED: "number", kinds.NUMBER: "decimal", kinds.DAY: "date",
          kinds.CODE: "code", kinds.FLAG: "tick"}  # fmt: skip
_MOST_IN_A_ROW = 4


@dataclass(frozen=True)
class Choices:
    """What the book knows that a form can offer: options by field, and fields that need not be asked."""

    options: Mapping[str, tuple[Option, ...]] = field(default_factory=dict)
    skipped: frozenset[str] = frozenset()

    def with_all_of(self, said: Iterable[str], kept: Iterable[str]) -> Choices:
        """Ask for everything that was said, except what stays as it is."""
        return replace(self, skipped=self.skipped - frozenset(said) | frozenset(kept))


def fields_of(kind: Kind, choices: Choices, values: Mapping[str, str]) -> tuple[Field, ...]:
    """Return the questions of a kind of entry."""
    return tuple(
        asked
        for wanted in kind.fields
        if wanted.name not in choices.skipped
        for asked in _asked(wanted, choices.options.get(wanted.name, ()), values)
    )


def _asked(wanted: kinds.Field, options: tuple[Option, ...], values: Mapping[str, str]) -> Iterator[Field]:
    if wanted.holds == kinds.COUNTS and wanted.choices:
        yield from _pairs(wanted, values)
    elif wanted.holds == kinds.COUNTS and options:
        for option in options:
            name = f"{wanted.name}-{slugged(option.value)}"
            yield Field(name, option.words, "number", values.get(name, ""), least=0)
    else:
        yield _single(wanted, options, values.get(wanted.name, ""))


def _single(wanted: kinds.Field, options: tuple[Option, ...], value: str) -> Field:
    label = _LABELS.get(wanted.name, wanted.help)
    help_ = _HELP.get(wanted.name, "")
    asked = Field(wanted.name, label, "text", value, help_, needed=wanted.required)
    options = options or tuple(Option(word, word) for word in wanted.choices)
    if value and options and value not in {option.value for option in options}:
        options = (*options, Option(value, value))
    if options:
        short = wanted.required and len(options) <= _MOST_IN_A_ROW
        offered = (
            options if (wanted.required and (short or value)) or options[0] == NONE else (NONE, *options)
        )
        return replace(asked, kind="row" if short else "choice", options=offered)
    if wanted.holds in (kinds.COUNTS, kinds.SHARES, kinds.OUTCOMES) or wanted.name == "note":
        return replace(asked, kind="long text")
    least = 1 if wanted.holds == kinds.COUNT else None
    return replace(asked, kind=_KINDS.get(wanted.holds, "text"), least=least)  # type: ignore[arg-type]


def _pairs(wanted: kinds.Field, values: Mapping[str, str]) -> Iterator[Field]:
    """Ask for reasons, each with its number."""
    options = (NONE, *(Option(word, word) for word in wanted.choices))
    filled = sum(name.startswith(f"{wanted.name}-word-") for name in values)
    for n in range(1, max(PAIRS, filled) + 1):
        word, count = f"{wanted.name}-word-{n}", f"{wanted.name}-count-{n}"
        first = n == 1
        yield Field(word, "Why" if first else "Another reason", "choice", values.get(word, ""), options=options,
                    needed=wanted.required and first)  # fmt: skip
        yield Field(count, "How many" if first else "How many of these", "number", values.get(count, "1" * first),
                    least=1)  # fmt: skip


def slugged(word: str) -> str:
    """Write a word so that it can be part of a name on a page."""
    return word.replace(" ", "_")


def unslugged(name: str) -> str:
    """Return the word that was written so."""
    return name.replace("_", " ")


# back to what was said


def said_in(kind: Kind, form: Mapping[str, str]) -> dict[str, Any]:
    """Return what a filled form says, still as typed."""
    said: dict[str, Any] = {}
    for wanted in kind.fields:
        value = _said(wanted, form)
        if value:
            said[wanted.name] = value
    return said


def _said(wanted: kinds.Field, form: Mapping[str, str]) -> Any:
    typed = form.get(wanted.name, "").strip()
    if wanted.holds == kinds.COUNTS and wanted.choices:
        return _said_pairs(wanted, form)
    if wanted.holds == kinds.COUNTS and not typed:
        start = f"{wanted.name}-"
        given = {name.removeprefix(start): n.strip() for name, n in form.items() if name.startswith(start)}
        return {unslugged(word): n for word, n in given.items() if n}
    if wanted.holds in (kinds.COUNTS, kinds.SHARES, kinds.OUTCOMES):
        return _said_lines(typed)
    return typed


def _said_pairs(wanted: kinds.Field, form: Mapping[str, str]) -> dict[str, str]:
    said: dict[str, str] = {}
    start = f"{wanted.name}-word-"
    for name, word in form.items():
        if not name.startswith(start):
            continue
        count = form.get(f"{wanted.name}-count-{name.removeprefix(start)}", "").strip()
        if word and word in said:
            raise troubles.SameReason(name)
        if word:
            said[word] = count or "1"
        elif count and (name != f"{start}1" or count != "1"):
            raise troubles.NoReason(name)
    return said


def _said_lines(typed: str) -> dict[str, str] | str:
    lines = [line.rpartition("=") for line in typed.splitlines() if line.strip()]
    return (
        {word.strip(): value.strip() for word, _, value in lines}
        if all(word for word, _, _ in lines)
        else typed
    )


# from an entry to a filled form


def values_of(kind: Kind, said: Mapping[str, Any]) -> dict[str, str]:
    """Return the values with which a form says what an entry says."""
    values: dict[str, str] = {}
    for wanted in kind.fields:
        if wanted.name in said:
            values |= _values(wanted, said[wanted.name])
    return values


def _values(wanted: kinds.Field, value: Any) -> dict[str, str]:
    name = wanted.name
    if wanted.holds == kinds.COUNTS and wanted.choices:
        return {
            key: text
            for n, (word, count) in enumerate(value.items(), start=1)
            for key, text in ((f"{name}-word-{n}", word), (f"{name}-count-{n}", str(count)))
        }
    if wanted.holds == kinds.COUNTS and name != "places":
        return {f"{name}-{slugged(word)}": str(count) for word, count in value.items()}
    if hasattr(value, "items"):
        return {name: "\n".join(f"{word}={one}" for word, one in value.items())}
    if isinstance(value, list | tuple):
        return {name: " ".join(shown(str(one)) for one in value)}
    if wanted.holds == kinds.CODE:
        return {name: shown(value)}
    if wanted.holds == kinds.FLAG:
        return {name: "yes" if value else ""}
    return {name: f"{value:g}" if isinstance(value, float) else str(value)}


# saying beside a question what is wrong with its answer


def with_trouble(fields: Iterable[Field], trouble: Trouble | None) -> tuple[tuple[Field, ...], bool]:
    """Put the sentence beside the question it is about; return whether there was one."""
    fields = tuple(fields)
    at = _place_of(fields, trouble) if trouble else None
    if trouble is None or at is None:
        return fields, False
    said = troubles.beside(trouble)
    return tuple(replace(one, error=said) if one is at else one for one in fields), True


def _place_of(fields: tuple[Field, ...], trouble: Trouble) -> Field | None:
    where = "day" if trouble.key == "day" else trouble.where
    named = [one for one in fields if one.name == where or (where and one.name.startswith(f"{where}-"))]
    if named:
        return named[0]
    if trouble.key in {"code", "unknown_code"}:
        typed = [one for one in fields if one.kind == "code" and one.value and one.value in trouble.sentence]
        return typed[0] if typed else None
    return None
