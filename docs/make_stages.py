"""Write docs/reference/stages.md: the stages of each sheet and of each genus' seed, as a diagram."""

from __future__ import annotations

from typing import TYPE_CHECKING

from _generated import keep

from graftwright.handbook.load import load_handbook

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.handbook.stages import Stage

HEAD = """# Stages

A unit stands at a stage; the arrow says what ends it: growth (with the sign to look for) or a step of yours.
"""


def diagram(title: str, stages: Sequence[Stage]) -> str:
    """Draw one path."""
    lines = [f"## {title}\n", "```mermaid", "flowchart TD"]
    lines += [f'    s{n}["{stage.key}"]' for n, stage in enumerate(stages)]
    for n, stage in enumerate(stages[:-1]):
        why = f"you {stage.ended_by}" if stage.ends == "by you" else (stage.sign or "growth")
        lines.append(f'    s{n} -->|"{why}"| s{n + 1}')
    return "\n".join([*lines, "```", ""])


if __name__ == "__main__":
    handbook = load_handbook()
    drawn = [diagram(sheet.title, sheet.stages) for _, sheet in sorted(handbook.sheets.items())]
    drawn += [
        diagram(f"Seed of {genus}", known.seed_stages) for genus, known in sorted(handbook.species.items())
    ]
    keep("reference/stages.md", "\n".join([HEAD, *drawn]))
