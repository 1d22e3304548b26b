"""Write docs/reference/json.md: what commands answer with --json, with an example of each from the demo."""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from _generated import keep
from _session import Session

HEAD = """# JSON

With `--json` standard output holds one value and nothing else. Fields may be added later, never changed. Dates are
ISO 8601, shares 0 to 1, and what is not known is null. The examples are from the demo; long lists are cut to their
first member.
"""
ASKED = (
    ("today", "The list of the day.", ("today",)),
    ("show", "What a code is.", ("show", "Z59BK-U")),
    ("record", "What was written.", ("record", "note", "Z59BK-U", "--note", "smells clean")),
    ("aside list", "What is kept aside.", ("aside", "list")),
    ("verify", "The proof.", ("verify",)),
)


def cut(value: Any) -> Any:
    """Keep the first member of each list."""
    if isinstance(value, list):
        return [cut(one) for one in value[:1]]
    return {name: cut(one) for name, one in value.items()} if isinstance(value, dict) else value


def told(session: Session) -> str:
    """Ask each command and write its answer down."""
    session.run("demo")
    parts = [HEAD]
    for name, says, words in ASKED:
        answer = json.dumps(cut(json.loads(session.run(*words, "--json").out)), indent=2, ensure_ascii=False)
        parts.append(f"## {name}\n\n{says}\n\n```json\n{answer}\n```\n")
    return "\n".join(parts)


if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        keep("reference/json.md", told(Session(Path(folder) / "demo.graftwright", "2027-04-20")))
