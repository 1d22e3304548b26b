"""The first form of a notebook."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    _entries()
    _lines()
    _balances()
    _things()
    _aside()
    op.create_table(
        "sheets",
        sa.Column("version", sa.Text, primary_key=True),
        _text("text"),
        _text("species"),
    )
    op.create_table(
        "forecasts",
        sa.Column("batch", sa.Text, primary_key=True),
        _whole("living"),
        _text("body"),
    )
    op.create_index("forecasts_living", "forecasts", ["living"])


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=False)


def _whole(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer, nullable=False)


def _to_entry(name: str, *, nullable: bool = True) -> sa.Column[int]:
    return sa.Column(
        name, sa.Integer, sa.ForeignKey("entries.number", ondelete="RESTRICT"), nullable=nullable
    )


def _entries() -> None:
    said = ("kind", "subject", "day", "key")
    told = ("happened", "by", "received", "said", "given")
    op.create_table(
        "entries",
        sa.Column("number", sa.Integer, primary_key=True),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        *map(_text, said),
        _whole("turn"),
        *map(_text, told),
        _to_entry("replaces"),
        _to_entry("crossed_by"),
    )
    op.create_index("entries_by_key", "entries", ["key"])
    op.create_index("entries_by_kind", "entries", ["kind", "key"])
    op.create_index("entries_by_subject", "entries", ["subject"])


def _lines() -> None:
    account = ("key", "thing", "unit", "name", "detail", "place")
    op.create_table("lines", _to_entry("entry", nullable=False), *map(_text, account), _whole("amount"))
    op.create_index("lines_by_entry", "lines", ["entry"])
    op.create_index("lines_by_thing", "lines", ["thing", "key"])


def _balances() -> None:
    account = ("thing", "unit", "name", "detail", "place")
    keys = [sa.Column(name, sa.Text, primary_key=True) for name in account]
    op.create_table("balances", *keys, _whole("amount"))
    op.create_index("balances_by_place", "balances", ["place", "name"])


def _things() -> None:
    told = ("kind", "part_of", "slug", "within", "sheet", "said", "latest")
    op.create_table("things", sa.Column("code", sa.Text, primary_key=True), *map(_text, told))
    for name, column in (("part", "part_of"), ("slug", "slug"), ("kind", "kind"), ("within", "within")):
        op.create_index(f"things_by_{name}", "things", [column])


def _aside() -> None:
    told = ("kind", "subject", "happened", "by", "content", "reason", "do", "received")
    op.create_table(
        "aside", sa.Column("id", sa.Text, primary_key=True), *map(_text, told), _to_entry("settled_by")
    )
