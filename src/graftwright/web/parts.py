"""The parts that pages are made of, as plain values: whoever fills them has done all the thinking.

Addresses, sentences and dates arrive ready; a template only lays them out. Empty text means
'not there', and the page leaves the line out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from datetime import date

State = Literal["late", "due", "coming"]
Fate = Literal["made", "growing", "lost", "gone"]
FieldKind = Literal["text", "long text", "number", "decimal", "date", "choice", "row", "code", "tick"]
Grade = Literal["measured", "review", "practice", "memory", "assumed", "own"]

MOST_TAPS = 3  # four numbers, 0 to 3, stand in one row beside their words on a phone


@dataclass(frozen=True)
class Frame:
    """What stands round every page; `here` is the tab that is open, `wrote` what was just written down."""

    book: str
    day: date
    here: Literal["", "today", "record", "season", "aside", "handbook"] = ""
    aside: int = 0
    demo: bool = False
    wrote: str = ""


@dataclass(frozen=True)
class Subject:
    """A batch, plant or place with its code; `place` is where it is, in words.

    What has no label of its own (a variety, a person) has no code but a page all the same.
    """

    code: str
    title: str
    place: str = ""
    href: str = ""

    @property
    def labelled(self) -> bool:
        """Whether it has a label with a code."""
        return bool(self.code) and not self.href.startswith("/named/")


@dataclass(frozen=True)
class Act:
    """Something the grower may do now: a button that opens a page."""

    words: str
    href: str


@dataclass(frozen=True)
class Caution:
    """What can hurt a person or a graft here; always in the open, never in the way."""

    words: str
    source: str = "common practice"


@dataclass(frozen=True)
class Window:
    milestone: str
    earliest: date
    likely: date
    latest: date


@dataclass(frozen=True)
class DueLine:
    """One thing to do, in one place or in several alike; `when` follows the word of its state: 'late' '2 days'."""

    what: str
    subject: Subject
    state: State
    when: str
    reason: str
    acts: tuple[Act, ...]
    window: Window | None = None


@dataclass(frozen=True)
class Count:
    """A part of the sentence of a batch; `href` lists the lines behind it."""

    number: int
    word: str
    fate: Fate
    href: str = ""


@dataclass(frozen=True)
class Fact:
    """A name and its value; `href` opens what the value names."""

    name: str
    value: str
    href: str = ""


@dataclass(frozen=True)
class HistoryLine:
    """One entry as it is read later; `crossed_out` is the reason when it was marked untrue."""

    number: int
    day: str
    words: str
    by: str = ""
    crossed_out: str = ""
    replaced_by: int | None = None
    correct_href: str = ""
    cross_out_href: str = ""


@dataclass(frozen=True)
class Option:
    value: str
    words: str


@dataclass(frozen=True)
class Field:
    """One question of a form; 'row' is a choice laid out as one row of large taps."""

    name: str
    label: str
    kind: FieldKind = "text"
    value: str = ""
    help: str = ""
    error: str = ""
    options: tuple[Option, ...] = ()
    needed: bool = False
    least: int | None = None
    most: int | None = None

    @classmethod
    def counting(cls, name: str, label: str, total: int, value: str = "", help: str = "") -> Field:  # noqa: A002
        """Ask for a number from 0 to `total`: few are tapped, many are typed."""
        if total > MOST_TAPS:
            return cls(name, label, "number", value, help, least=0, most=total)
        options = tuple(Option(str(n), str(n)) for n in range(total + 1))
        return cls(name, label, "row", value or "0", help, options=options)


@dataclass(frozen=True)
class Form:
    """Where a form goes and what it carries unseen; `trouble` is a sentence about the whole."""

    action: str
    entry_id: str
    button: str
    leave_href: str
    fields: tuple[Field, ...] = ()
    trouble: str = ""
    do: str = ""
    hidden: tuple[tuple[str, str], ...] = ()
