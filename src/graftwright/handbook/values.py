"""Where a value comes from: its own source, else its block's, else its stage's.

Reading a file gives two things at once: the plain values a plan may use, and a list of figures
that says for each value where it comes from. A doubtful value is among the figures but never
among the plain values, so nothing can plan with it by accident.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, NamedTuple

from graftwright.handbook import errors
from graftwright.handbook.fields import ORIGIN, Field, Named, Number, Paper, Rows, Table

if TYPE_CHECKING:
    from collections.abc import Mapping

    from graftwright.errors import Trouble
    from graftwright.handbook.fields import AnyField
    from graftwright.handbook.toml_lines import Path


@dataclass(frozen=True)
class Origin:
    """Where a value comes from and how far it is trusted."""

    source: str = ""
    grade: str = ""
    scope: str = ""
    doubtful: bool = False
    note: str = ""

    def narrowed(self, given: Mapping[str, Any]) -> Origin:
        """Take what stands nearer; a source of its own leaves nothing of the outer one behind."""
        outer = Origin() if "source" in given else self
        return replace(outer, **{key: given[key] for key in ORIGIN if key in given})


NOWHERE = Origin()


class Figure(NamedTuple):
    """One value as it is shown: where it stands, what it is, its unit, where it comes from."""

    path: str
    value: Any
    unit: str
    origin: Origin


@dataclass(frozen=True)
class OwnValue:
    """A grower's own figure for the value at a path, what it rests on, and where it was written."""

    path: str
    value: Any
    scope: str
    note: str = ""
    where: str = "own values"


@dataclass
class Reading:
    """What one file says: plain values for plans, figures for display, and what lacks a source."""

    paper: Paper
    figures: dict[str, Figure] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)

    def table(
        self, table: Table, given: Mapping[str, Any], path: Path, dotted: str, origin: Origin
    ) -> dict[str, Any] | None:
        """Plain values of a table without the doubtful ones; None if it cannot do without them."""
        here = origin.narrowed(given)
        plain = {
            key: self._any(table.keys[key], given[key], (*path, key), dotted, here)
            for key in given
            if key in table.keys
        }
        sound = {key: value for key, value in plain.items() if value is not None}
        return sound if sound.keys() >= set(table.needs) else None

    def _any(self, kind: AnyField, given: Any, path: Path, dotted: str, origin: Origin) -> Any:
        inside = _join(dotted, str(path[-1]))
        if isinstance(kind, Table):
            return self.table(kind, given, path, inside, origin)
        if isinstance(kind, Rows):
            return self._rows(kind, given, path, dotted, origin)
        if isinstance(kind, Named):
            return {
                name: self.table(kind.of, one, (*path, name), _join(inside, name), origin)
                for name, one in given.items()
            }
        return self._leaf(kind, given, path, inside, origin) if kind.sourced else given

    def _rows(
        self, rows: Rows, given: list[Mapping[str, Any]], path: Path, dotted: str, origin: Origin
    ) -> list[dict[str, Any]]:
        """Read rows: a named one stands directly in its table, a numbered one under its array."""
        plain = []
        for number, row in enumerate(given):
            name = row[rows.named_by] if rows.named_by else f"{path[-1]}.{number + 1}"
            plain.append(self.table(rows.of, row, (*path, number), _join(dotted, name), origin))
        return [row for row in plain if row is not None]

    def _leaf(self, kind: Field, given: Any, path: Path, dotted: str, origin: Origin) -> Any:
        own = given if isinstance(given, dict) else {"value": given}
        here = origin.narrowed(own)
        if not here.source:
            self.troubles.append(errors.MissingSource(dotted, self.paper.place(path)))
        self.figures[dotted] = Figure(dotted, own["value"], unit_of(kind), here)
        return None if here.doubtful else own["value"]


def unit_of(kind: Field) -> str:
    """Give the unit of a number; text has none."""
    return kind.unit if isinstance(kind, Number) else ""


def _join(dotted: str, name: str) -> str:
    return f"{dotted}.{name}" if dotted else name
