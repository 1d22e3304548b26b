"""The tables of a notebook."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Index, Integer, MetaData, Table, Text

metadata = MetaData()

entries = Table(
    "entries",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("id", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False),
    Column("subject", Text, nullable=False),
    Column("day", Text, nullable=False),
    Column("key", Text, nullable=False),
    Column("turn", Integer, nullable=False),
    Column("happened", Text, nullable=False),
    Column("by", Text, nullable=False),
    Column("received", Text, nullable=False),
    Column("said", Text, nullable=False),
    Column("given", Text, nullable=False),
    Column("replaces", Integer, ForeignKey("entries.number", ondelete="RESTRICT")),
    Column("crossed_by", Integer, ForeignKey("entries.number", ondelete="RESTRICT")),
    Index("entries_by_key", "key"),
    Index("entries_by_kind", "kind", "key"),
    Index("entries_by_subject", "subject"),
)

# What each entry moves; `key` is the entry's place in the order, so that the history of a thing is one look-up.
lines = Table(
    "lines",
    metadata,
    Column("entry", Integer, ForeignKey("entries.number", ondelete="RESTRICT"), nullable=False),
    Column("key", Text, nullable=False),
    Column("thing", Text, nullable=False),
    Column("unit", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("detail", Text, nullable=False),
    Column("place", Text, nullable=False),
    Column("amount", Integer, nullable=False),
    Index("lines_by_entry", "entry"),
    Index("lines_by_thing", "thing", "key"),
)

balances = Table(
    "balances",
    metadata,
    Column("thing", Text, primary_key=True),
    Column("unit", Text, primary_key=True),
    Column("name", Text, primary_key=True),
    Column("detail", Text, primary_key=True),
    Column("place", Text, primary_key=True),
    Column("amount", Integer, nullable=False),
    Index("balances_by_place", "place", "name"),
)

things = Table(
    "things",
    metadata,
    Column("code", Text, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("part_of", Text, nullable=False),
    Column("slug", Text, nullable=False),
    Column("within", Text, nullable=False),
    Column("sheet", Text, nullable=False),
    Column("said", Text, nullable=False),
    Column("latest", Text, nullable=False),
    Index("things_by_part", "part_of"),
    Index("things_by_slug", "slug"),
    Index("things_by_kind", "kind"),
    Index("things_by_within", "within"),
)

aside = Table(
    "aside",
    metadata,
    Column("id", Text, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("subject", Text, nullable=False),
    Column("happened", Text, nullable=False),
    Column("by", Text, nullable=False),
    Column("content", Text, nullable=False),
    Column("reason", Text, nullable=False),
    Column("do", Text, nullable=False),
    Column("received", Text, nullable=False),
    Column("settled_by", Integer, ForeignKey("entries.number", ondelete="RESTRICT")),
)

sheets = Table(
    "sheets",
    metadata,
    Column("version", Text, primary_key=True),
    Column("text", Text, nullable=False),
    Column("species", Text, nullable=False),
)

forecasts = Table(
    "forecasts",
    metadata,
    Column("batch", Text, primary_key=True),
    Column("living", Integer, nullable=False),
    Column("body", Text, nullable=False),
    Index("forecasts_living", "living"),
)
