"""Kept aside: an entry from an outbox or a file that cannot stand, with the reason, until a person settles it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class KeptAside:
    """An entry that waits for a person; nothing of it is changed or dropped."""

    id: str
    kind: str
    subject: str
    happened: str
    by: str
    content: str
    reason: str
    do: str
    received: str
    settled_by: int = 0
