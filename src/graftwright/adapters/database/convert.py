"""Rows to ledger values and back, each conversion in one place."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from graftwright.ledger.aside import KeptAside
from graftwright.ledger.entries import Entry, slug
from graftwright.ledger.lines import Account, Line
from graftwright.ledger.things import Saying, Thing
from graftwright.ledger.windows import Forecast, Group, Milestone, Task, Window

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from sqlalchemy import Row

type_of_row = dict[str, Any]


def to_text(value: Any) -> str:
    """Write JSON in one form, so that equal values are equal text."""
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def entry_row(e: Entry) -> type_of_row:
    """Row of an entry."""
    return {
        "number": e.number, "id": e.id, "kind": e.kind, "subject": e.subject, "day": e.day, "key": e.key,
        "turn": e.turn, "happened": e.happened, "by": e.by, "received": e.received, "said": to_text(dict(e.said)),
        "given": to_text(dict(e.given)), "replaces": e.replaces or None, "crossed_by": e.crossed_by or None,
    }  # fmt: skip


def entry_of(row: Row[Any]) -> Entry:
    """Return the entry of a row."""
    return Entry(
        id=row.id, kind=row.kind, subject=row.subject, day=row.day, happened=row.happened, by=row.by,
        received=row.received, said=json.loads(row.said), given=json.loads(row.given), number=row.number,
        turn=row.turn, replaces=row.replaces or 0, crossed_by=row.crossed_by or 0,
    )  # fmt: skip


def line_row(number: int, key: str, line: Line) -> type_of_row:
    """Row of a line."""
    return {"entry": number, "key": key, "amount": line.amount, **line.account._asdict()}


def line_of(row: Row[Any]) -> Line:
    """Return the line of a row."""
    return Line(Account(row.thing, row.unit, row.name, row.detail, row.place), row.amount)


def told(rows: Iterable[Row[Any]]) -> list[tuple[Entry, tuple[Line, ...]]]:
    """Entries with their lines, of rows that hold both."""
    return [
        (entry_of(row), tuple(Line(Account(*account), n) for *account, n in json.loads(row.lines)))
        for row in rows
    ]


def thing_row(thing: Thing, latest: str) -> type_of_row:
    """Row of a thing; `slug` finds it by name, `within` by the place it stands in."""
    said = {
        name: [[one.key, one.number, one.value] for one in sayings] for name, sayings in thing.said.items()
    }
    return {
        "code": thing.code, "kind": thing.kind, "part_of": thing.part_of, "slug": slug(str(thing.get("name", ""))),
        "within": thing.get("within", "") if thing.kind == "place" else "",
        "sheet": thing.get("sheet", ""), "said": to_text(said),
        "latest": max(latest, thing.latest),
    }  # fmt: skip


def thing_of(row: Row[Any]) -> Thing:
    """Return the thing of a row."""
    return thing_from(row.code, row.kind, row.part_of, row.said, row.latest)


def thing_from(code: str, kind: str, part_of: str, said: str, latest: str) -> Thing:
    """Return the thing of some columns."""
    listed: Mapping[str, list[tuple[str, int, Any]]] = json.loads(said)
    sayings = {name: tuple(Saying(*one) for one in every) for name, every in listed.items()}
    return Thing(code, kind, part_of, sayings, latest)


def aside_row(kept: KeptAside) -> type_of_row:
    """Row of an entry kept aside."""
    return {**asdict(kept), "settled_by": kept.settled_by or None}


def aside_of(row: Row[Any]) -> KeptAside:
    """Return the entry kept aside of a row."""
    return KeptAside(**{**row._mapping, "settled_by": row.settled_by or 0})  # noqa: SLF001 - SQLAlchemy's public name


def forecast_row(forecast: Forecast) -> type_of_row:
    """Row of a batch's windows."""
    return {"batch": forecast.batch, "living": forecast.living, "body": to_text(asdict(forecast))}


def forecast_of(body: str) -> Forecast:
    """Return the windows of a batch."""
    raw = json.loads(body)
    return Forecast(**{**raw, "groups": tuple(_group(one) for one in raw["groups"])})


def _group(raw: type_of_row) -> Group:
    return Group(
        places=tuple(raw["places"]), living=raw["living"], stages=raw["stages"], temperature=raw["temperature"],
        milestones=tuple(_milestone(one) for one in raw["milestones"]),
        tasks=tuple(Task(**one) for one in raw["tasks"]),
        looks=tuple((day, seen) for day, seen in raw["looks"]),
        due={stage: (passes, losses) for stage, (passes, losses) in raw.get("due", {}).items()},
    )  # fmt: skip


def _milestone(raw: type_of_row) -> Milestone:
    windows = {
        name: Window(**raw[name]) if raw[name] else None for name in ("first", "tenth", "half", "most")
    }
    return Milestone(**{**raw, **windows})
