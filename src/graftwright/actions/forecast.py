"""Forecast (being written)."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from graftwright.actions.ports import Page
    from graftwright.ledger.book import Change


def rewrite(page: Page, change: Change) -> None:
    """Rewrite windows."""
