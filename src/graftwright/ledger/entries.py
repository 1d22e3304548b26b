"""An entry: one dated line of the ledger, who says it, and the checks it passes at the door."""

from __future__ import annotations

import json
import re
import unicodedata
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from graftwright.errors import ValueComplaint, as_typed
from graftwright.ledger import codes, days
from graftwright.ledger.kinds import (
    CHOICE,
    CODES,
    COUNT,
    COUNTS,
    DAY,
    FLAG,
    KINDS,
    MADE,
    NUMBER,
    NUMBERS,
    OUTCOMES,
    SHARES,
    SIGNED,
    TEMPERATURE,
    Field,
    Kind,
    find_kind,
)  # fmt: skip
from graftwright.ledger.quantities import celsius

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

_MOST = 1_000_000
_MOST_ENTRIES = 1_000_000_000_000
_LONGEST = 2_000
_WHOLE = re.compile(r"[+-]?[0-9]{1,4000}")
_NUMBER = re.compile(r"[+-]?([0-9]{1,100}(\.[0-9]{0,100})?|\.[0-9]{1,100})([eE][+-]?[0-9]{1,2})?")
_UNWRITABLE = {"Cc", "Cs"}  # control characters, and halves of characters that no file can hold


class WrongValue(ValueComplaint):
    """A field holds what it cannot hold."""


class MissingValue(ValueComplaint):
    """An entry leaves out what its kind must say."""

    def __init__(self, kind: str, wanted: Field) -> None:
        super().__init__(
            f"{kind}: '{wanted.name}' is missing ({wanted.help}).", where=wanted.name, do="Add it."
        )


class ForeignField(ValueComplaint):
    """An entry says something that its kind knows nothing of."""

    def __init__(self, kind: Kind, name: str) -> None:
        known = ", ".join(field.name for field in kind.fields)
        super().__init__(f"'{kind.name}' says nothing of '{name}'.", where=name, do=f"It can say: {known}.")


class Nameless(ValueComplaint):
    """A name of signs alone."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"'{as_typed(name)}' is no name: it has neither a letter nor a figure.",
            do="Type its name or code.",
        )


@dataclass(frozen=True)
class Entry:
    """One dated line of the ledger.

    `said` is what the person typed, `given` what the notebook added (codes, the sheet's version);
    only what was said makes two entries the same. `day` orders, `happened` is what was typed.
    """

    id: str
    kind: str
    subject: str
    day: str
    happened: str
    by: str
    received: str
    said: Mapping[str, Any] = field(default_factory=dict)
    given: Mapping[str, Any] = field(default_factory=dict)
    number: int = 0
    turn: int = 0
    replaces: int = 0
    crossed_by: int = 0

    def get(self, name: str, default: Any = None) -> Any:
        """What was said under this name, or given by the notebook."""
        return self.said.get(name, self.given.get(name, default))

    @property
    def key(self) -> str:
        """Its place in the order: day, rank within the day, turn."""
        return order_key(self.day, KINDS[self.kind].rank, self.turn or self.number)

    @property
    def content(self) -> str:
        """What makes two entries of one id the same: all that the person said, and nothing else."""
        subject = "" if "subject" in self.given else self.given.get("asked", self.subject)
        happened = "" if "happened" in self.given else self.happened
        said = [self.kind, subject, happened, self.by, self.replaces, dict(self.said)]
        return json.dumps(said, sort_keys=True, ensure_ascii=False)

    def numbered(self, number: int) -> Entry:
        """Return the accepted entry: its own number, and its turn unless it has taken another's."""
        return replace(self, number=number, turn=self.turn or number)


def order_key(day: str, rank: int, turn: int) -> str:
    """Text that sorts as the order does."""
    return f"{day} {rank} {turn:010d}"


def read_said(kind_name: str, raw: Mapping[str, Any]) -> dict[str, Any]:
    """Check what an entry says, field by field, and bring it to one form."""
    kind = find_kind(kind_name)
    for name in raw:
        if kind.field(name) is None:
            raise ForeignField(kind, name)
    said = {}
    for wanted in kind.fields:
        value = raw.get(wanted.name)
        read = None if _is_blank(value) else read_value(wanted, value)
        if not _is_blank(read):
            said[wanted.name] = read
        elif wanted.required:
            raise MissingValue(kind.name, wanted)
    return said


def _is_blank(value: Any) -> bool:
    return value is None or value in ("", {}, [])


def read_value(wanted: Field, value: Any) -> Any:
    """Bring one value to the form its field holds, or say what is wrong with it."""
    reader: Callable[[Field, Any], Any] = _READERS.get(wanted.holds, _text)
    return reader(wanted, value)


def _wrong(wanted: Field, value: Any, must: str) -> WrongValue:
    return WrongValue(
        f"'{wanted.name}' must be {must}, not '{as_typed(value)}'.", where=wanted.name, do="Type it again."
    )


def _text(wanted: Field, value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise _wrong(wanted, value, "text")
    text = str(value).replace("\r\n", "\n").strip()
    if len(text) > _LONGEST:
        raise WrongValue(
            f"'{wanted.name}' is {len(text)} characters long; {_LONGEST} fit.",
            where=wanted.name,
            do="Shorten it.",
        )
    if any(unicodedata.category(c) in _UNWRITABLE and c not in "\n\t" for c in text):
        raise WrongValue(f"'{wanted.name}' holds control characters.", where=wanted.name, do="Type it again.")
    return text


def _whole(wanted: Field, value: Any, least: int, most: int = _MOST) -> int:
    text = "" if isinstance(value, bool) or not isinstance(value, int | str) else str(value).strip()
    if not _WHOLE.fullmatch(text):
        raise _wrong(wanted, value, f"a whole number of at least {least}" if least >= 0 else "a whole number")
    if int(text) < least:
        raise _wrong(wanted, value, f"a whole number of at least {least}")
    if int(text) > most:
        raise _wrong(wanted, value, f"at most {most}")
    return int(text)


def _count(wanted: Field, value: Any) -> int:
    return _whole(wanted, value, 0 if wanted.name in {"not_looked", "double", "odd", "put_back"} else 1)


def _signed(wanted: Field, value: Any) -> int:
    return _whole(wanted, value, -_MOST)


def _number(wanted: Field, value: Any) -> float:
    text = str(value).strip().replace(",", ".")
    if not _NUMBER.fullmatch(text) or abs(float(text)) > _MOST:
        raise _wrong(wanted, value, "a number")
    return float(text)


def _temperature(wanted: Field, value: Any) -> float:
    number = celsius(str(value))
    if number is None or not -60 <= number <= 80:
        raise _wrong(wanted, value, "a temperature from -60 to 80 °C, such as 22.5 or 72 F")
    return round(number, 2)


def _day(wanted: Field, value: Any) -> str:
    del wanted
    return days.read_day(str(value)).isoformat()


def _flag(wanted: Field, value: Any) -> bool:
    words = {"true": True, "yes": True, "on": True, "1": True, "false": False, "no": False, "0": False}
    if str(value).lower() not in words:
        raise _wrong(wanted, value, "yes or no")
    return words[str(value).lower()]


def _choice(wanted: Field, value: Any) -> str:
    text = str(value).strip()
    if text not in wanted.choices:
        raise _wrong(wanted, value, f"one of: {' · '.join(wanted.choices)}")
    return text


def _listed(wanted: Field, value: Any) -> list[Any]:
    if isinstance(value, list | tuple):
        return list(value)
    return _text(wanted, value).replace(",", " ").split()


def _codes(wanted: Field, value: Any) -> list[str]:
    return list(_once(wanted, [(codes.read(_text(wanted, one)), one) for one in _listed(wanted, value)]))


def _numbers(wanted: Field, value: Any) -> list[int]:
    return sorted({_whole(wanted, one, 1, _MOST_ENTRIES) for one in _listed(wanted, value)})


def _paired(wanted: Field, value: Any, such_as: str) -> list[tuple[str, Any]]:
    if not hasattr(value, "items"):
        raise _wrong(wanted, value, such_as)
    return [(_text(wanted, word), one) for word, one in value.items()]


def _once(wanted: Field, pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Refuse a word that stands twice (two spellings of one code, say): one of the two would be lost."""
    found: dict[str, Any] = {}
    for word, value in pairs:
        if word in found:
            raise WrongValue(
                f"'{wanted.name}' names {codes.shown(word)} twice.", where=wanted.name, do="Name each once."
            )
        found[word] = value
    return found


def _counts(wanted: Field, value: Any) -> dict[str, int]:
    pairs = _paired(wanted, value, "a word and a number, such as mould=1")
    for word, _ in pairs:
        if wanted.choices and word not in wanted.choices:
            raise WrongValue(
                f"'{as_typed(word)}' is not one of the words for '{wanted.name}'.", where=wanted.name,
                do=f"Use one of: {' · '.join(wanted.choices)}.",
            )  # fmt: skip
    counts = {word: _whole(wanted, number, 0) for word, number in _once(wanted, pairs).items()}
    nought_counts = wanted.name in {"counted", "seen"}
    return {word: number for word, number in sorted(counts.items()) if number or nought_counts}


def _outcomes(wanted: Field, value: Any) -> dict[str, str]:
    pairs = _paired(wanted, value, "a code and what was seen, such as K7QF4-Z=leafing")
    seen = _once(wanted, [(codes.read(code), outcome) for code, outcome in pairs])
    return {code: _text(wanted, outcome) for code, outcome in seen.items()}


def _shares(wanted: Field, value: Any) -> dict[str, float]:
    pairs = _paired(wanted, value, "species and share, such as Castanea sativa=1")
    shares = {word: _number(wanted, share) for word, share in _once(wanted, pairs).items()}
    if abs(sum(shares.values()) - 1) > 1e-6 or any(share < 0 for share in shares.values()):
        raise _wrong(wanted, ", ".join(f"{word}={share}" for word, share in pairs), "shares that sum to 1")
    return shares


def _is_planned(batch: Any) -> bool:
    return isinstance(batch, dict) and type(batch.get("grafts")) is int


def _made(wanted: Field, value: Any) -> dict[str, Any]:
    batches = value.get("batches") if isinstance(value, dict) else None
    if not isinstance(batches, list) or not all(_is_planned(one) for one in batches):
        raise _wrong(wanted, value, "what 'graftwright plan --keep' makes")
    made: dict[str, Any] = value
    return made


_READERS: dict[str, Callable[[Field, Any], Any]] = {
    COUNT: _count, SIGNED: _signed, NUMBER: _number, NUMBERS: _numbers, TEMPERATURE: _temperature, DAY: _day,
    FLAG: _flag, CHOICE: _choice, CODES: _codes, COUNTS: _counts, OUTCOMES: _outcomes, SHARES: _shares,
    MADE: _made,
}  # fmt: skip


def spellings(typed: str) -> list[str]:
    """Return the keys that something typed can mean: the code it ends in, and the name it is."""
    found = [slug(typed)]
    with suppress(codes.UnknownCode):
        found.insert(0, codes.read(typed))
    return [key for key in found if key]


def key_of(name: str) -> str:
    """Key of something named; refuses a name of which none can be made."""
    if not (key := slug(name)):
        raise Nameless(name)
    return key


def slug(name: str) -> str:
    """Key of a variety, a person or a named place: its name in small letters with hyphens."""
    return "-".join("".join(c if c.isalnum() else " " for c in name.casefold()).split())
