"""Where things are kept on this machine, unless the person says otherwise."""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import user_data_path

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


def local_zone() -> str:
    """Return this machine's time zone, or UTC where it does not say."""
    named = os.environ.get("TZ", "").removeprefix(":")
    link = Path("/etc/localtime")
    if not named and link.is_symlink():
        named = str(link.resolve()).partition("zoneinfo/")[2]
    return named or "UTC"
