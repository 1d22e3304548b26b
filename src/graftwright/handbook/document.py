"""From a TOML text and its schema to checked values: every complaint at once, or the first raised."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftwright.errors import Trouble
from graftwright.handbook.reading import Reading, Spot

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from graftwright.handbook.fields import Table
    from graftwright.handbook.paper import Paper
    from graftwright.handbook.values import Figure

    Rules = Callable[[Mapping[str, Any], Mapping[str, Any], Paper], Iterable[Trouble]]


@dataclass(frozen=True)
class Document:
    """A file that is in order."""

    paper: Paper
    data: Mapping[str, Any]
    plain: Mapping[str, Any]
    figures: Mapping[str, Figure]


def examine(paper: Paper, schema: Table, rules: Rules) -> tuple[Document | None, list[Trouble]]:
    """Read a text and list all its troubles; deeper rules are tried only when the shape is right."""
    try:
        data = paper.read()
    except Trouble as trouble:
        return None, [trouble]
    return examine_data(data, paper, schema, rules)


def examine_data(
    data: Mapping[str, Any], paper: Paper, schema: Table, rules: Rules
) -> tuple[Document | None, list[Trouble]]:
    """As `examine`, for values that are read already."""
    shape = list(schema.check(data, (), paper))
    if shape:
        return None, shape
    reading = Reading(paper)
    plain = reading.table(schema, data, Spot()) or {}
    troubles = [*reading.troubles, *rules(data, plain, paper)]
    return (None, troubles) if troubles else (Document(paper, data, plain, reading.figures), [])


def must_read(paper: Paper, schema: Table, rules: Rules) -> Document:
    """Read a text; raise its first trouble."""
    document, troubles = examine(paper, schema, rules)
    if document is None:
        raise troubles[0]
    return document
