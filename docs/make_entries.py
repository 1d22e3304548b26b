"""Write docs/reference/entries.md: every kind of entry, what it is about, what it can say, its place in the day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from _generated import keep

from graftwright.cli.entry_options import option_of
from graftwright.cli.kinds_help import GROUPS, example_of
from graftwright.ledger.kinds import KINDS
from graftwright.ledger.things import one_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.ledger.kinds import Field, Kind

HEAD = """# Kinds of entry

An entry is one dated line of the ledger. There are three sorts:

| sort | what it does |
|---|---|
| move | says what went from where to where, or came, or left; counts follow from it |
| observation | says what is there now; the difference to what stands before it is what it counts |
| remark | counts nothing |

**Place in the day.** History runs by day, then by these four ranks, then in the order in which it was entered: so a
graft entered in the morning finds the nuts that were received in the evening of the same day.

| rank | what stands there |
|---|---|
| 1 | what comes in |
| 2 | work on seed, wood and stocks |
| 3 | grafting |
| 4 | everything else |

Every entry can also say `--day`, `--by`, `--note` and `--id`. A field is typed with its option; scripts, forms and
files use its name. [Commands](commands.md) has the same, command by command.
"""

HOLDS = {
    "text": "words", "code": "a code or name", "codes": "codes", "day": "a day", "flag": "yes or no",
    "choice": "one of its words", "count": "a whole number", "signed": "a whole number, negative for fewer",
    "number": "a number", "numbers": "numbers of entries", "temperature": "a temperature",
    "counts": "words, each with a number", "outcomes": "codes, each with a stage or a reason",
    "shares": "names, each with a share", "made": "worked out, never typed",
}  # fmt: skip


def pages() -> Iterator[str]:
    """Give the head and one part for each group of kinds."""
    yield HEAD
    for title, names in GROUPS.items():
        yield f"## {title}\n"
        for name in names:
            yield from section(KINDS[name])


def section(kind: Kind) -> Iterator[str]:
    """Give the part of one kind."""
    yield f"### {kind.name}\n\n{kind.does}. A {kind.sort} of rank {kind.rank}, about a {one_of(kind.about)}.\n"
    yield f"```text\ngraftwright {example_of(kind.name)}\n```\n"
    rows = [row(field) for field in kind.fields if field.name not in {"note", "demo_date"} or field.required]
    if rows:
        yield "| typed | name | holds | |\n|---|---|---|---|\n" + "\n".join(rows) + "\n"


def row(field: Field) -> str:
    """Give the line of one field."""
    words = ": " + " · ".join(field.choices) if field.choices else ""
    needed = " *Needed.*" if field.required else ""
    about = f"{field.help}{words}".replace("|", "\\|")
    return f"| `{option_of(field.name)}` | `{field.name}` | {HOLDS[field.holds]} | {about}.{needed} |"


if __name__ == "__main__":
    keep("reference/entries.md", "\n".join(pages()))
