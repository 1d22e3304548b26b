"""What each page shows: one class for each template, made of the parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from graftwright.web.charts import Ribbon
    from graftwright.web.parts import (
        Act,
        Caution,
        Count,
        DueLine,
        Fact,
        Field,
        Form,
        Grade,
        HistoryLine,
        State,
        Subject,
    )


@dataclass(frozen=True)
class PlaceLines:
    """The lines of one place, in walking order."""

    place: str
    lines: tuple[DueLine, ...]


@dataclass(frozen=True)
class StillOn:
    """Something that was put on and must come off."""

    what: str
    subject: Subject
    off_by: date
    late: bool = False


@dataclass(frozen=True)
class TodayPage:
    """`pressing` will not wait; `next_check` is a sentence, also when nothing is due."""

    day: date
    next_check: str
    begin: tuple[Act, ...] = ()
    pressing: tuple[DueLine, ...] = ()
    places: tuple[PlaceLines, ...] = ()
    coming: tuple[DueLine, ...] = ()
    still_on: tuple[StillOn, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True)
class History:
    """What was written, latest first; `all_href` leads to the lines that are not shown."""

    lines: tuple[HistoryLine, ...] = ()
    heading: str = "What was written"
    all_href: str = ""


@dataclass(frozen=True)
class BatchPage:
    subject: Subject
    counts: tuple[Count, ...]
    facts: tuple[Fact, ...]
    acts: tuple[Act, ...]
    history: History
    ribbons: tuple[Ribbon, ...] = ()
    no_window: str = ""
    due: tuple[DueLine, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True)
class GraftsHere:
    """The part of a batch, or the plant, that stands in a place."""

    subject: Subject
    stage: str
    counts: tuple[Count, ...]
    acts: tuple[Act, ...] = ()


@dataclass(frozen=True)
class BagPage:
    """A place of any kind; `kind` is its word: bag, pot, shelf."""

    subject: Subject
    kind: str
    grafts: tuple[GraftsHere, ...]
    acts: tuple[Act, ...]
    history: History
    air: tuple[Fact, ...] = ()
    due: tuple[DueLine, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True)
class PlantPage:
    """One graft with its own code; `ended` says when and why it is no longer here."""

    subject: Subject
    stage: str
    facts: tuple[Fact, ...]
    acts: tuple[Act, ...]
    history: History
    ribbon: Ribbon | None = None
    ended: str = ""
    due: tuple[DueLine, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True)
class WishLine:
    """One wish: the answer first, then what it rests on and what can be done."""

    title: str
    first: str
    rest: tuple[str, ...]
    chance: str
    state: State
    acts: tuple[Act, ...]


@dataclass(frozen=True)
class WeekHours:
    """Work of one week; `share` is per cent of the fullest one."""

    monday: date
    hours: float
    share: float


@dataclass(frozen=True)
class PlanPart:
    """The plan that is kept; each batch has a title, sentences and a ribbon."""

    value: Mapping[str, Any]
    kept: str
    changes: tuple[str, ...]
    unmet: tuple[str, ...]
    warnings: tuple[str, ...]
    batches: tuple[tuple[str, tuple[str, ...], Ribbon], ...]
    hours: tuple[WeekHours, ...]
    totals: str


@dataclass(frozen=True)
class SeasonPage:
    """`stale` says that wishes changed since the plan; each batch has its ribbons."""

    day: date
    wishes: tuple[WishLine, ...]
    together: tuple[str, ...]
    promised: tuple[str, ...]
    plan: PlanPart | None
    stale: bool
    form: Form
    batches: tuple[tuple[Subject, tuple[Ribbon, ...]], ...] = ()


@dataclass(frozen=True)
class RecordKind:
    """One kind of entry on the page that asks what happened."""

    words: str
    help: str
    href: str


@dataclass(frozen=True)
class RecordKinds:
    """Kinds of entry under the heading of their season."""

    heading: str
    kinds: tuple[RecordKind, ...]


@dataclass(frozen=True)
class RecordListPage:
    groups: tuple[RecordKinds, ...]
    title: str = "What happened?"
    subject: Subject | None = None
    said: str = ""


@dataclass(frozen=True)
class RecordPage:
    """The form of one kind of entry."""

    title: str
    form: Form
    subject: Subject | None = None
    said: str = ""
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True)
class Gap:
    """What a check left open: `words` says how many are missing, `choice` asks what about them."""

    words: str
    choice: Field


@dataclass(frozen=True)
class CheckPage:
    """The check of one batch in one place; the numbers must come to `total`, plants with codes are named.

    `form.fields` ask for the day and whatever belongs to every entry; the rest is asked here.
    """

    subject: Subject
    total: int
    form: Form
    seen: tuple[Field, ...]
    dead: tuple[Field, ...]
    not_looked: tuple[Field, ...]
    plants: tuple[Field, ...] = ()
    signs: tuple[Field, ...] = ()
    rarer: tuple[Field, ...] = ()
    guess: tuple[Field, ...] = ()
    gap: Gap | None = None
    cautions: tuple[Caution, ...] = ()
    correcting: HistoryLine | None = None


@dataclass(frozen=True)
class CorrectPage:
    entry: HistoryLine
    form: Form
    subject: Subject | None = None
    rests: tuple[HistoryLine, ...] = ()


@dataclass(frozen=True)
class CrossOutPage:
    """`must_go` are the entries that fall with it; they are named before anything is done."""

    entry: HistoryLine
    form: Form
    must_go: tuple[HistoryLine, ...] = ()


@dataclass(frozen=True)
class AsideEntry:
    """An entry that waits for a person, and why it could not stand."""

    words: str
    day: str
    by: str
    arrived: str
    reason: str
    do: str
    subject: Subject | None = None


@dataclass(frozen=True)
class AsidePage:
    entries: tuple[AsideEntry, ...] = ()


@dataclass(frozen=True)
class SheetLine:
    title: str
    genera: str
    href: str
    help: str = ""


@dataclass(frozen=True)
class HandbookListPage:
    sheets: tuple[SheetLine, ...]
    species: tuple[SheetLine, ...] = ()


@dataclass(frozen=True)
class Figure:
    """One value of a sheet with its source and how far to trust it; `yours` stands beside it."""

    name: str
    value: str
    grade: Grade
    source: str
    scope: str = ""
    yours: str = ""
    doubtful: str = ""
    own_href: str = ""
    own_words: str = "Use a value of your own"


@dataclass(frozen=True)
class SheetStage:
    """One stage of a sheet: when it ends and the figures that belong to it."""

    name: str
    ends: str
    figures: tuple[Figure, ...] = ()
    work: tuple[str, ...] = ()


@dataclass(frozen=True)
class HandbookSheetPage:
    title: str
    genera: str
    stages: tuple[SheetStage, ...]
    about: str = ""
    version: str = ""
    cautions: tuple[Caution, ...] = ()
    practice: str = ""
    done: Form | None = None


@dataclass(frozen=True)
class ErrorPage:
    """`reference` names a fault of ours; it is empty for what the grower can put right."""

    title: str
    sentence: str
    do: str
    where: str = ""
    reference: str = ""


@dataclass(frozen=True)
class Door:
    """One way to begin; without `href` its `help` says how to go that way now."""

    words: str
    help: str
    href: str = ""


@dataclass(frozen=True)
class FirstRunPage:
    doors: tuple[Door, ...] = ()
    start: Act | None = None
