"""How a generated page of the manual is written, and how it is found stale."""

from __future__ import annotations

import sys
from pathlib import Path

PREFACE = "<!-- Made by docs/{script}; change the program, then `make docs`. -->\n\n"


def keep(page: str, text: str) -> None:
    """Write `text` to the page, or with --check only say whether the page still says the same."""
    script = Path(sys.argv[0])
    path = script.parent / page
    text = PREFACE.format(script=script.name) + text
    if "--check" not in sys.argv:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    elif not path.exists() or path.read_text(encoding="utf-8") != text:
        sys.exit(f"docs/{page} is stale: run make docs.")
