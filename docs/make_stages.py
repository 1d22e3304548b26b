"""Write docs/reference/stages.md: the way through each sheet and each species' seed, drawn and in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from _generated import keep

from graftwright.handbook import load_handbook
from graftwright.ledger.stages import LOTS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from graftwright.handbook.stages import Stage

HEAD = """# Stages

A stage is where a unit stands. It ends by growth (you see the sign) or by you (you take the step), and what ends it is
called by the name of the stage that follows. A check says which stage it saw; it never moves anything back, that is
`step-back`. `graftwright handbook show SHEET` has the figures of every stage with their sources.
"""

SEED = "A lot of seed in the ledger has these stages whatever its genus; figures come from the species.\n"


def pages() -> Iterator[str]:
    """Give the head, one part for each sheet, one for each species with seed of its own."""
    handbook = load_handbook()
    yield HEAD
    for key, sheet in sorted(handbook.sheets.items()):
        yield f"## {key}\n\n{sheet.title}. A batch's grafts take these steps.\n"
        yield from part(sheet.stages)
    for genus, species in sorted(handbook.species.items()):
        if species.seed_stages:
            yield f"## Seed of {genus}\n\n{SEED}"
            yield from part(species.seed_stages)
    yield "## Wood and stocks\n"
    for lot in ("scionwood", "stock"):
        unit, path = LOTS[lot]
        yield f"A {lot} lot is counted in {unit}s and has one stage: {' · '.join(path)}.\n"


def part(stages: Sequence[Stage]) -> Iterator[str]:
    """Give the drawing and the table of one path."""
    yield "```mermaid\nflowchart TD"
    yield from (f'  {number}["{stage.key}"]' for number, stage in enumerate(stages))
    for number, stage in enumerate(stages[:-1]):
        yield f'  {number} -->|"{ending(stage)}"| {number + 1}'
    yield "```\n"
    yield "| stage | ends | when you see | then act within | look |\n|---|---|---|---|---|"
    yield "\n".join(row(stage) for stage in stages) + "\n"


def ending(stage: Stage) -> str:
    """Say what ends a stage: your step, or the sign of growth."""
    return f"you {stage.ended_by}" if stage.ends == "by you" else stage.sign or "growth"


def row(stage: Stage) -> str:
    """Give the line of one stage."""
    act = stage.act_within
    within = f"{act.days:g} days: else {act.harm}" if act else ""
    every = (
        f"every {stage.check_every:g} days" if stage.check_every and stage.check_every != 1 else "every day"
    )
    look = every if stage.check_every else ""
    ends = f"by you: {stage.ended_by}" if stage.ended_by else stage.ends or "stays there"
    return f"| {stage.key} | {ends} | {stage.sign} | {within} | {look} |"


if __name__ == "__main__":
    keep("reference/stages.md", "\n".join(pages()))
