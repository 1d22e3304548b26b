"""A grower's own values laid over a sheet or species; the handbook's figures stay readable beside them."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

from graftwright.handbook import errors
from graftwright.handbook.document import examine_data
from graftwright.handbook.fields import Field, Named, Rows, Table
from graftwright.handbook.paper import Paper
from graftwright.handbook.rules import sheet_rules, species_rules
from graftwright.handbook.schema import SHEET
from graftwright.handbook.schema_species import SPECIES
from graftwright.handbook.sheets import Sheet, parse_sheet, sheet_from
from graftwright.handbook.species import Species, parse_species, species_from

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.handbook.fields import AnyField
    from graftwright.handbook.toml_lines import Path
    from graftwright.handbook.values import OwnValue

Subject = TypeVar("Subject", bound=Sheet | Species)


def overlay(subject: Subject, own: Sequence[OwnValue]) -> Subject:
    """Lay own values over a sheet or species, later ones over earlier; raises the first complaint."""
    values = (*subject.own, *own)
    published = _published(subject)
    paper = Paper(f"{subject.where} with own values")
    changed = _rebuilt(subject, _data_with(subject, values), paper)
    theirs = {one.path: published.shown[one.path] for one in values if one.path in published.shown}
    return replace(changed, text=subject.text, where=subject.where, own=values, theirs=theirs)


def field_at(subject: Sheet | Species, path: str, where: str) -> Field:
    """Find what may stand at a dotted path; complain with the nearest path that the sheet or species has."""
    schema, name = _schema_and_name(subject)
    found = _locate(schema, tomllib.loads(subject.text), path.split("."), ())
    if found is None:
        raise errors.UnknownPlace(path, name, subject.shown, where)
    return found[1]


def _schema_and_name(subject: Sheet | Species) -> tuple[Table, str]:
    return (SHEET, subject.key) if isinstance(subject, Sheet) else (SPECIES, subject.genus)


def _published(subject: Subject) -> Subject:
    parse = parse_sheet if isinstance(subject, Sheet) else parse_species
    return parse(subject.text, subject.where)  # type: ignore[return-value]


def _rebuilt(subject: Subject, data: dict[str, Any], paper: Paper) -> Subject:
    is_sheet = isinstance(subject, Sheet)
    schema, rules = (SHEET, sheet_rules) if is_sheet else (SPECIES, species_rules)
    document, troubles = examine_data(data, paper, schema, rules)
    if document is None:
        raise troubles[0]
    return sheet_from(document) if is_sheet else species_from(document)  # type: ignore[return-value]


def _data_with(subject: Sheet | Species, values: Sequence[OwnValue]) -> dict[str, Any]:
    data = tomllib.loads(subject.text)
    schema, name = _schema_and_name(subject)
    for own in values:
        found = _locate(schema, data, own.path.split("."), ())
        if found is None:
            raise errors.UnknownPlace(own.path, name, subject.shown, own.where)
        path, kind = found
        for trouble in kind.check_value(own.value, path, Paper(own.where)):
            raise trouble
        _put(data, path, own)
    return data


def _locate(kind: AnyField, data: Any, parts: list[str], path: Path) -> tuple[Path, Field] | None:
    """Where in the TOML a dotted path leads, and the field that stands there."""
    if isinstance(kind, Field):
        return (path, kind) if kind.sourced and not parts else None
    if not parts:
        return None
    head, *rest = parts
    if isinstance(kind, Named):
        return _locate(kind.of, _inside(data, head), rest, (*path, head))
    if isinstance(kind, Rows):
        number = int(head) - 1 if head.isdecimal() else -1
        inside = isinstance(data, list) and 0 <= number < len(data)
        return _locate(kind.of, data[number], rest, (*path, number)) if inside else None
    if head in kind.keys:
        return _locate(kind.keys[head], _inside(data, head), rest, (*path, head))
    return _locate_row(kind, data, parts, path)


def _locate_row(table: Table, data: Any, parts: list[str], path: Path) -> tuple[Path, Field] | None:
    """Look among named rows, which a dotted path names without their array."""
    for key, kind in table.keys.items():
        if isinstance(kind, Rows) and kind.named_by:
            for number, row in enumerate(_inside(data, key) or ()):
                if row[kind.named_by] == parts[0]:
                    return _locate(kind.of, row, parts[1:], (*path, key, number))
    return None


def _inside(data: Any, key: str) -> Any:
    return data.get(key) if isinstance(data, dict) else None


def _put(data: Any, path: Path, own: OwnValue) -> None:
    for part in path[:-1]:
        data = data[part] if isinstance(part, int) else data.setdefault(part, {})
    said = {"scope": own.scope, "note": own.note}
    origin = {
        "source": "own records",
        "grade": "own",
        **{name: words for name, words in said.items() if words},
    }
    data[path[-1]] = {"value": own.value, **origin}
