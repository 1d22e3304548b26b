"""All that a grower has of their own beside the handbook: values, each with the handbook's, and practice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftwright.actions.own import laid, own_values
from graftwright.handbook.values import Figure, Origin
from graftwright.ledger.things import OWN, PRACTICE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.actions.ports import Reading
    from graftwright.handbook import Handbook, OwnValue
    from graftwright.ledger.things import Thing


@dataclass(frozen=True)
class Owned:
    """A value of one's own; `used` says that the handbook of today has a place for it."""

    of: str
    yours: Figure
    theirs: Figure | None
    entry: int
    used: bool

    def as_json(self) -> dict[str, Any]:
        """Return the value that scripts receive."""
        theirs = self.theirs
        return {
            "of": self.of, "path": self.yours.path, "yours": self.yours.value, "unit": self.yours.unit,
            "handbook": theirs.value if theirs else None, "source": theirs.origin.source if theirs else None,
            "scope": self.yours.origin.scope, "note": self.yours.origin.note, "entry": self.entry, "used": self.used,
        }  # fmt: skip


@dataclass(frozen=True)
class Practised:
    """How practised somebody said they are with a method sheet."""

    of: str
    experience: str
    entry: int


@dataclass(frozen=True)
class OwnPage:
    """All of it, or what there is of one page of the handbook."""

    values: tuple[Owned, ...]
    practice: tuple[Practised, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the value that scripts receive."""
        practice = [{"of": one.of, "experience": one.experience, "entry": one.entry} for one in self.practice]
        return {"values": [one.as_json() for one in self.values], "practice": practice}


def own_page(reading: Reading, handbook: Handbook, of: str = "", path: str = "") -> OwnPage:
    """Gather what the notebook has of the grower's own, of one page or one path if it is named."""
    things = [thing for thing in reading.things_of("handbook") if of in ("", thing.code.removeprefix(OWN))]
    values = [one for thing in things for one in _owned(thing, handbook) if path in ("", one.yours.path)]
    said = [
        thing for thing in reading.things_of("experience") if of in ("", thing.code.removeprefix(PRACTICE))
    ]
    return OwnPage(tuple(values), tuple(map(_practised, said)))


def _owned(thing: Thing, handbook: Handbook) -> Iterator[Owned]:
    of = thing.code.removeprefix(OWN)
    own = own_values(thing)
    page = handbook.sheets.get(of) or handbook.species.get(of)
    with_own = laid(page, own) if page else None
    for one in own:
        used = with_own is not None and any(one.path == other.path for other in with_own.own)
        yours = with_own.shown[one.path] if with_own and used else None
        theirs = (with_own.theirs if used else with_own.shown).get(one.path) if with_own else None
        number = thing.said[one.path][-1].number
        yield Owned(of, yours or _as_told(one), theirs, number, used)


def _as_told(own: OwnValue) -> Figure:
    return Figure(own.path, own.value, "", Origin("own records", "own", own.scope, note=own.note))


def _practised(thing: Thing) -> Practised:
    said = thing.said["experience"][-1]
    return Practised(thing.code.removeprefix(PRACTICE), said.value, said.number)
