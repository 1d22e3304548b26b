"""The questions of a check: how far, dead of what, not looked at, and signs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.ledger import reasons
from graftwright.ledger.codes import shown
from graftwright.ledger.kinds import KINDS
from graftwright.web.forms import slugged
from graftwright.web.parts import Field, Option

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from graftwright.handbook.sheets import Sheet
    from graftwright.web.pages.check_subject import CheckSubject

_CHECK = KINDS["check"]
# what grafts die of first, by where they stand; every other reason is one tap further
_IN_BAG = ("mould", "no join", "rotted", reasons.UNKNOWN)
_WEANING = ("flagged and died", "mould", "no join", reasons.UNKNOWN)
_AFTER = ("dried in the pot", "root rot", "false take", reasons.UNKNOWN)
_BAG_SIGNS = ("leaves", "air", "medium", "mould")
_LATER_SIGNS = ("leaves", "medium", "tie", "below")
_SIGNS = {*_BAG_SIGNS, *_LATER_SIGNS}
_DEAD = "dead: "


def questions(subject: CheckSubject, values: Mapping[str, str], total: int) -> dict[str, tuple[Field, ...]]:
    """Return all questions by the part of the form they stand in."""
    common = _common(subject)
    rarer = [word for word in reasons.DEATHS if word not in common]
    counted = total > 0
    return {
        "seen": tuple(_seen(subject, values, total)) if counted else (),
        "dead": _counts("dead", common, values, total) if counted else (),
        "rarer": _counts("dead", rarer, values, total) if counted else (),
        "not_looked": _not_looked(values, total) if counted else (),
        "plants": tuple(_plant(subject, plant, values) for plant in subject.plants),
        "guess": (Field("guess", "Why they died is a guess", "tick", values.get("guess", "")),),
        "signs": tuple(_signs(subject, values)),
        "every": tuple(_every(values)),
    }


def stages_to_see(sheet: Sheet, standing: tuple[str, ...]) -> tuple[str, ...]:
    """Return the stages a look can find: those that stand, and what growth alone may have brought since."""
    ranks = [sheet.path.index(stage) for stage in standing]
    last = max(ranks)
    while last + 1 < len(sheet.path) and sheet.stages[last].ends == "by growth":
        last += 1
    return sheet.path[min(ranks) : last + 1]


def _seen(subject: CheckSubject, values: Mapping[str, str], total: int) -> Iterator[Field]:
    for stage in stages_to_see(subject.sheet, subject.stages):
        name = f"seen-{slugged(stage)}"
        yield Field.counting(name, stage, total, values.get(name, ""), _sign(subject.sheet, stage))


def _sign(sheet: Sheet, stage: str) -> str:
    """What to look for: the sign that ends the stage before."""
    rank = sheet.path.index(stage)
    return sheet.stages[rank - 1].sign if rank else "no sign of growth yet"


def _counts(
    name: str, words: tuple[str, ...] | list[str], values: Mapping[str, str], total: int
) -> tuple[Field, ...]:
    named = [(f"{name}-{slugged(word)}", word) for word in words]
    return tuple(Field.counting(key, word, total, values.get(key, "")) for key, word in named)


def _not_looked(values: Mapping[str, str], total: int) -> tuple[Field, ...]:
    value = values.get("not_looked", "")
    return (Field.counting("not_looked", "not looked at", total, value, "they stay as they were"),)


def _common(subject: CheckSubject) -> tuple[str, ...]:
    first = subject.sheet.stage(subject.stages[0])
    if first.started_by == "graft":
        return _IN_BAG
    return _WEANING if first.started_by == "vent" else _AFTER


def _plant(subject: CheckSubject, plant: str, values: Mapping[str, str]) -> Field:
    name = f"plant-{shown(plant)}"
    alive = tuple(Option(stage, stage) for stage in subject.sheet.path)
    dead = tuple(Option(word, _DEAD + word) for word in reasons.DEATHS if word not in subject.sheet.path)
    options = (Option("", "not looked at"), *alive, *dead)
    return Field(name, f"plant {shown(plant)}", "choice", values.get(name, ""), options=options)


def _signs(subject: CheckSubject, values: Mapping[str, str]) -> Iterator[Field]:
    in_bag = subject.sheet.per_place and _common(subject) != _AFTER
    for field in _CHECK.fields:
        told = field.name in _SIGNS and values.get(field.name)
        if told or field.name in (_BAG_SIGNS if in_bag else _LATER_SIGNS):
            options = (Option("", "—"), *(Option(word, word) for word in field.choices))
            yield Field(field.name, field.help, "row", values.get(field.name, ""), options=options)


def _every(values: Mapping[str, str]) -> Iterator[Field]:
    yield Field("day", "On which day", "date", values.get("day", ""))
    yield Field("by", "Who looked", value=values.get("by", ""), help="leave it empty if it was you")
    yield Field("note", "Anything else", "long text", values.get("note", ""))
