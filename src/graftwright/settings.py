"""Where things are kept on this machine, unless the person says otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from platformdirs import user_data_path

if TYPE_CHECKING:
    from pathlib import Path

BOOK = "book.graftwright"
DEMO = "demo.graftwright"


def data_folder() -> Path:
    """Return the folder of the person's own notebook and of the demo."""
    return user_data_path("graftwright", appauthor=False)


def own_notebook() -> Path:
    """Return where the person's own notebook is kept by default."""
    return data_folder() / BOOK


def demo_notebook() -> Path:
    """Return where the demo is kept."""
    return data_folder() / DEMO
