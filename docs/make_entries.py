"""Write docs/reference/entries.md: every kind of entry, what it is about and what it can say."""

from __future__ import annotations

from _generated import keep

from graftwright.ledger.kinds import KINDS, Kind

HEAD = """# Entries

Every kind of entry, in the table's own order. *Place in the day*: entries of one day stand in the order 1 receiving,
2 work on seed, wood and stock, 3 grafting, 4 everything else; within that, as entered.
"""


def section(kind: Kind) -> str:
    """Write one kind."""
    about = f"About: {', '.join(kind.about)} · {kind.sort} · place in the day: {kind.rank}"
    head = f"## {kind.name}\n\n{kind.does}.\n\n{about}\n"
    rows = []
    for field in kind.fields:
        needed = ", needed" if field.required else ""
        rows.append(f"| {field.name} | {field.help}{needed} | {' · '.join(field.choices) or field.holds} |")
    return "\n".join([head, "| field | says | takes |", "|---|---|---|", *rows, ""])


if __name__ == "__main__":
    keep("reference/entries.md", "\n".join([HEAD, *map(section, KINDS.values())]))
