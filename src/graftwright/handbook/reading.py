"""From the checked values of a file to two things: plain values for plans, figures for display.

A doubtful value is among the figures but never among the plain values, and a block that cannot do
without it goes with it: so nothing can plan with a doubtful value by accident.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from graftwright.handbook import errors
from graftwright.handbook.fields import Field, Named, Number, Rows, Table
from graftwright.handbook.values import NOWHERE, Figure, Origin

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from graftwright.errors import Trouble
    from graftwright.handbook.fields import AnyField
    from graftwright.handbook.paper import Paper
    from graftwright.handbook.toml_lines import Path


@dataclass(frozen=True)
class Spot:
    """A place in a file: its path in the TOML, its dotted name, and what holds for all inside it."""

    path: Path = ()
    dotted: str = ""
    origin: Origin = NOWHERE
    about: str = ""

    def inside(self, *path: str | int, name: str) -> Spot:
        """Go on to a part of this place."""
        dotted = f"{self.dotted}.{name}" if self.dotted else name
        return replace(self, path=(*self.path, *path), dotted=dotted)


@dataclass
class Reading:
    """What one file says, and what in it has no source."""

    paper: Paper
    figures: dict[str, Figure] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)

    def table(self, table: Table, given: Mapping[str, Any], spot: Spot) -> dict[str, Any] | None:
        """Plain values of a table without the doubtful ones; None if it cannot do without them."""
        here = replace(spot, origin=spot.origin.narrowed(given))
        plain = {key: self._any(kind, given[key], key, here) for key, kind in table.of_these(given)}
        sound = {key: value for key, value in plain.items() if value is not None}
        return sound if sound.keys() >= set(table.needs) else None

    def _any(self, kind: AnyField, given: Any, key: str, spot: Spot) -> Any:
        inside = spot.inside(key, name=key)
        if isinstance(kind, Table):
            return self.table(kind, given, inside)
        if isinstance(kind, Rows):
            return self._rows(kind, given, key, spot)
        if isinstance(kind, Named):
            return {
                name: self.table(kind.of, one, inside.inside(name, name=name)) for name, one in given.items()
            }
        return self._leaf(kind, given, inside) if kind.sourced else given

    def _rows(
        self, rows: Rows, given: Sequence[Mapping[str, Any]], key: str, spot: Spot
    ) -> list[dict[str, Any]]:
        """Read rows: a named one stands directly in its table, a numbered one under its array."""
        plain = []
        for number, row in enumerate(given):
            name = row[rows.named_by] if rows.named_by else f"{key}.{number + 1}"
            inside = spot.inside(key, number, name=name)
            plain.append(self.table(rows.of, row, replace(inside, about=rows.told_by.format_map(row))))
        return [row for row in plain if row is not None]

    def _leaf(self, kind: Field, given: Any, spot: Spot) -> Any:
        own = given if isinstance(given, dict) else {"value": given}
        origin = spot.origin.narrowed(own)
        if not origin.source:
            self.troubles.append(errors.MissingSource(spot.dotted, self.paper.place(spot.path)))
        unit = kind.unit if isinstance(kind, Number) else ""
        self.figures[spot.dotted] = Figure(spot.dotted, own["value"], unit, origin, spot.about)
        return None if origin.doubtful else own["value"]
