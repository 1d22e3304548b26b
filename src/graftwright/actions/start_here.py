"""Grafts that stand there already: five answers become a batch, all in one.

Nobody counted the wood and the stocks they were made of, so both become uncounted lots; from here on
the batch is like any other.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.actions.enter import write
from graftwright.actions.ports import Draft

if TYPE_CHECKING:
    from graftwright.actions.enter import Answer, Desk
    from graftwright.actions.ports import Notebook

_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # of an id: Crockford's base 32
_ID_LENGTH = 26


@dataclass(frozen=True)
class GraftsHere:
    """What door one asks: how many, which variety, on what, when, how raised."""

    count: str
    variety: str
    genus: str
    happened: str
    sheet: str
    id: str


def start_here(notebook: Notebook, desk: Desk, told: GraftsHere) -> Answer:
    """Enter wood, stocks and grafts, or nothing at all; return the answer for the grafts."""
    with notebook.writing() as page:

        def enter(kind: str, id_: str, **said: object) -> Answer:
            draft = Draft(kind, "", said, told.happened, id=id_)
            return write(page, desk, draft, at_the_door=True)

        lots = {}
        for what, of in (("scionwood", told.variety), ("stock", "")):
            made = enter(
                "receive", _id_beside(told.id, what), what=what, of=of, genus=told.genus, uncounted=True
            )
            assert made.entry is not None
            lots[what] = made.entry.subject
        return enter("graft", told.id, count=told.count, sheet=told.sheet, scion=lots["scionwood"],
                     stock=lots["stock"])  # fmt: skip


def _id_beside(id_: str, what: str) -> str:
    """Id of an entry that is always made together with another: the same each time it is sent."""
    print_ = int.from_bytes(hashlib.sha256(f"{id_} {what}".encode()).digest()[:16])
    return "".join(_LETTERS[print_ >> 5 * place & 31] for place in reversed(range(_ID_LENGTH)))
