"""Write docs/reference/handbook-tables.md: what each sheet can do for each genus, and what feeds no plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from _generated import keep

from graftwright.handbook import load_handbook, untried
from graftwright.handbook.schema import ANY

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.handbook import Handbook, Sheet, Species

HEAD = """# What the handbook holds

`graftwright handbook list` names the sheets and genera; `graftwright handbook show NAME` has every figure with its
source.
"""

PAIRS = """## Sheets and genera

Where the last column is empty there are windows and plans. Elsewhere a batch keeps its record and its next look.

| sheet | genus | what is missing |
|---|---|---|"""

FIRST = """## Days and shares

Days are medians from the step that starts the clock; a day in brackets is at the best temperature. Shares are of the
practised, for each stage by itself.

| sheet | genus | stage | days | from | grade | share that passes | grade |
|---|---|---|---|---|---|---|---|"""

DOUBTFUL = """## Doubtful figures

They are shown and feed no plan.

| of | figure | value | why |
|---|---|---|---|"""


def page(handbook: Handbook) -> Iterator[str]:
    """Give the three tables."""
    yield HEAD
    yield PAIRS
    for sheet in by_key(handbook):
        for genus in sheet.genera:
            known_why = untried(sheet, handbook.species.get(genus), genus) or ""
            why = "It holds no figures." if genus == ANY else known_why
            yield f"| {sheet.key} | {genus} | {why} |"
    yield f"\n{FIRST}"
    for sheet in by_key(handbook):
        yield from known(sheet)
    yield f"\n{DOUBTFUL}"
    yield from doubtful(handbook)


def by_key(handbook: Handbook) -> list[Sheet]:
    """Give the sheets in the order of their keys."""
    return [sheet for _, sheet in sorted(handbook.sheets.items())]


def known(sheet: Sheet) -> Iterator[str]:
    """Give a line for each stage of which something is known for a genus."""
    for genus in sheet.genera:
        for stage in sheet.stages:
            figures = stage.figures(genus)
            pace, survival = (figures.pace, figures.survival) if figures else (None, None)
            if not (pace or survival):
                continue
            days = ["", "", ""]
            if pace:
                number = f"({pace.days:g})" if pace.kind == "thermal" else f"{pace.days:g}"
                days = [number, stage.started_by or "", pace.origin.grade]
            share = ["", ""]
            if survival:
                share = [f"{survival.practised.mean:g}", survival.practised.origin.grade]
            yield f"| {' | '.join([sheet.key, genus, stage.key, *days, *share])} |"


def doubtful(handbook: Handbook) -> Iterator[str]:
    """Give a line for each doubtful figure."""
    things: list[tuple[str, Sheet | Species]] = [
        *sorted(handbook.sheets.items()),
        *sorted(handbook.species.items()),
    ]
    for name, thing in things:
        for figure in thing.values():
            if figure.origin.doubtful:
                yield f"| {name} | {figure.about or figure.path} | {figure.value} | {figure.origin.note} |"


if __name__ == "__main__":
    keep("reference/handbook-tables.md", "\n".join(page(load_handbook())) + "\n")
