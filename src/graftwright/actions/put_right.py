"""Correct: one entry that crosses another out and stands in its place."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from graftwright.actions.ports import Draft
    from graftwright.ledger.entries import Entry


def corrected(old: Entry, draft: Draft) -> Draft:
    """Return the draft that stands in for `old`: what it says counts, the rest is as `old` said it."""
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
