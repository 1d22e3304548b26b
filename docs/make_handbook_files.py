"""Write docs/reference/handbook-files.md: every key a file of the handbook may have, from its schema."""

from __future__ import annotations

from typing import TYPE_CHECKING

from _generated import keep

from graftwright.handbook.fields import Anything, Field, Flag, Named, Number, Rows, Span, Table, Word, Words
from graftwright.handbook.schema import CAUTIONS, OWN_VALUES, SHEET, SOURCES
from graftwright.handbook.schema_species import SPECIES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.handbook.fields import AnyField

HEAD = """# Files of the handbook

The handbook is a set of TOML files, and a folder of your own may hold more of them. `graftwright handbook check
FOLDER` reads them all and names file and line of whatever is not in order; any key that is not listed here is refused.

A key marked *cited* is knowledge. It must say where it comes from, beside itself, in its block or in its stage; the
nearest word counts:

| key | says |
|---|---|
| `source` | a key of `sources.toml`, `common practice`, or `first guess` |
| `grade` | measured, review, practice, memory or assumed; a first guess is always assumed |
| `scope` | what the source speaks of: species, conditions, how many |
| `doubtful` | true: shown, but no plan uses it |
| `note` | anything else worth knowing |

Beside itself means `days = { value = 9, source = "…", grade = "…", scope = "…" }`. Source and grade go together.
"""

FILES = [
    ("sheets/NAME.toml", "A method sheet: how a graft is made and raised, stage by stage.", SHEET),
    ("species/NAME.toml", "A genus: chill, answers to temperature, the path of its seed, its wood.", SPECIES),
    ("values.toml", "Your own figures. They join the handbook's, and both are shown.", OWN_VALUES),
    ("sources.toml", "The bibliography.", SOURCES),
    ("cautions.toml", "Cautions that sheets and stages name.", CAUTIONS),
]


def file_section(name: str, about: str, schema: Table) -> Iterator[str]:
    """Give the section of one kind of file, with a table of keys for each of its tables."""
    yield f"## {name}\n\n{about}\n"
    for title, table in tables(schema, ""):
        rows = [row(table, key, kind) for key, kind in table.keys.items() if not leads_on(kind)]
        if rows:
            yield f"### `{title}`\n\n| key | is | |\n|---|---|---|\n" + "\n".join(rows) + "\n"


def tables(table: Table, title: str) -> Iterator[tuple[str, Table]]:
    """Give a table and those inside it, under the heads they have in a file."""
    if title:
        yield title, table
    inside = title.strip("[]")
    for key, kind in table.keys.items():
        path = f"{inside}.{key}" if inside else key
        if isinstance(kind, Rows):
            yield from tables(kind.of, f"[[{path}]]")
        elif isinstance(kind, Named):
            yield from tables(kind.of, f"[{path}.GENUS]")
        elif isinstance(kind, Table):
            yield from tables(kind, f"[{path}]")


def leads_on(kind: AnyField) -> bool:
    """Whether a key is a table with a part of its own on the page."""
    return isinstance(kind, Table | Rows | Named)


def row(table: Table, key: str, kind: AnyField) -> str:
    """Give the line of one key."""
    assert isinstance(kind, Field)
    marks = [word for word, holds in (("needed", key in table.needs), ("*cited*", kind.sourced)) if holds]
    return f"| `{key}` | {told(kind)} | {', '.join(marks)} |"


def told(kind: Field) -> str:
    """Say in words what may stand at a key."""
    if isinstance(kind, Number):
        pair = "a pair [from, to], each " if isinstance(kind, Span) else ""
        whole = "whole, " if kind.whole else ""
        return f"{pair}{whole}{kind.low:g} to {kind.high:g} {kind.unit}".rstrip()
    if isinstance(kind, Word) and kind.choices:
        each = "any of " if isinstance(kind, Words) else ""
        return each + " · ".join(f"`{word}`" for word in kind.choices)
    if isinstance(kind, Anything):
        return "what the key it stands in for may be"
    return "`true` or `false`" if isinstance(kind, Flag) else kind.wanted


if __name__ == "__main__":
    keep(
        "reference/handbook-files.md",
        "\n".join([HEAD, *(part for one in FILES for part in file_section(*one))]),
    )
