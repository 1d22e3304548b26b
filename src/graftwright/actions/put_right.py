"""Correct: one entry that crosses another out and stands in its place."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from graftwright.actions.ports import Draft
    from graftwright.ledger.entries import Entry


class NothingChanged(ValueComplaint):
    """A correction that says nothing new."""

    def __init__(self, number: int) -> None:
        super().__init__(
            f"Nothing is said that entry {number} should say instead.",
            do="Say what is different; what you leave out is kept.",
        )


def corrected(old: Entry, draft: Draft) -> Draft:
    """Return the draft that stands in for `old`: what it says counts, the rest is as `old` said it."""
    if draft.kind == old.kind and not (draft.said or draft.subject or draft.happened or draft.by):
        raise NothingChanged(old.number)
    same_kind = draft.kind == old.kind
    said = {**(old.said if same_kind else {}), **(draft.said or {})}
    return replace(
        draft,
        subject=draft.subject or old.given.get("asked", old.subject),
        said={name: value for name, value in said.items() if value not in (None, "")},
        happened=draft.happened or old.happened,
        by=draft.by or old.by,
        replaces=old.number,
    )
