"""What rests on an entry: the entries that could not stand without it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.ledger import book, errors
from graftwright.ledger.entries import Entry

if TYPE_CHECKING:
    from graftwright.actions.ports import Notebook


def what_rests_on(notebook: Notebook, number: int) -> tuple[Entry, ...]:
    """Return the entries that would have to be crossed out with this one, in their order; writes nothing."""
    with notebook.writing() as page:
        page.look_up("", ())
        gone = {number: page.entry(number)}
        crossing = Entry(
            "", "cross-out", "", gone[number].day, "", "", "", {"numbers": [number], "reason": "-"}
        )
        crossing = crossing.numbered(page.next_number())
        while True:
            try:
                book.put_in(page, crossing, gone)
            except errors.CannotStand as refusal:
                gone |= {behind: page.entry(behind) for behind in refusal.numbers}
            else:
                return tuple(sorted((e for n, e in gone.items() if n != number), key=lambda e: e.key))
