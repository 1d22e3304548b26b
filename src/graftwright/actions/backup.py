"""Copy a notebook, and bring a copy back: only what was opened and proved counts as a copy."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from graftwright.actions.verify import Proof


class Copy(Protocol):
    """A whole copy of a notebook that is not in its place yet."""

    def prove(self) -> Proof:
        """Open the copy and derive everything in it again."""

    def put_in_place(self) -> None:
        """Give the copy its name, which nothing may have yet."""

    def put_over(self, word: str) -> Path | None:
        """Put the copy in the place of a notebook; return where that one is kept, under a name with `word`."""


def back_up(copy: Copy) -> Proof:
    """Keep a copy if it is a good one."""
    proof = copy.prove()
    proof.must_hold()
    copy.put_in_place()
    return proof


def bring_back(copy: Copy, today: date) -> Path | None:
    """Put a good copy in the place of a notebook; return where that one is kept, if there was one."""
    copy.prove().must_hold()
    return copy.put_over(f"until-{today.isoformat()}")
