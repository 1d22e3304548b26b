"""`graftwright plan size`: how many to start."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from graftwright.actions.sizing import Stage, size, starts
from graftwright.cli.output import answer
from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from graftwright.actions.sizing import Size

_SPOKEN = {0.5: "even chance", 0.8: "8 in 10", 0.9: "9 in 10"}


class StageUnreadable(ValueComplaint):
    """A stage that is not NAME=MEAN or NAME=MEAN@WEIGHT."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"The stage '{text}' cannot be read.", do="Write it as in sprouted=0.8@20, or sprouted=0.8."
        )


@click.group()
def plan() -> None:
    """How many to start, and the plan of a season."""


@plan.command("size")
@click.option("--want", type=int, required=True, metavar="N", help="How many are wanted at the end.")
@click.option("--sure", type=float, default=0.9, show_default=True, metavar="P", help="How sure, 0 to 1.")
@click.option(
    "--stage",
    "stages",
    multiple=True,
    required=True,
    metavar="NAME=MEAN[@WEIGHT]",
    help="A stage, the share that passes it, and its season weight; in order. "
    "Without a weight the share is known exactly.",
)
@click.pass_context
def plan_size(ctx: click.Context, want: int, sure: float, stages: tuple[str, ...]) -> None:
    """How many to start, so that a bad season still leaves enough."""
    chain = [_read_stage(text) for text in stages]
    sized = size(want, sure, chain)
    wanted_json = ctx.find_root().meta.get("json", False)
    answer(ctx, _as_json(sized), "" if wanted_json else _table(want, sure, chain, sized))


def _read_stage(text: str) -> Stage:
    name, _, numbers = text.rpartition("=")
    mean, at, weight = numbers.partition("@")
    try:
        values = float(mean), float(weight) if at else None
    except ValueError:
        raise StageUnreadable(text) from None
    if not name.strip():
        raise StageUnreadable(text)
    return Stage(name.strip(), *values)


def _as_json(sized: Size) -> dict[str, Any]:
    return {**asdict(sized.answer), "stages": [asdict(stage) for stage in sized.stages]}


def _table(want: int, sure: float, chain: list[Stage], sized: Size) -> str:
    lines = [f"To have {want:,} at the end, start"]
    for level, start in starts(want, sure, chain):
        number = f"{start.start:,}" if start else "no number is enough"
        lines.append(f"  {_SPOKEN.get(level, f'{level:g} sure'):<12} {number:>10}")
    lines += ["", f"Of {sized.answer.start:,} started, expect (8 in 10 seasons between)"]
    width = max(len(stage.name) for stage in sized.stages)
    lines += [
        f"  {stage.name:<{width}} {stage.expected:>10,.1f}   {stage.low:,} to {stage.high:,}"
        for stage in sized.stages
    ]
    return "\n".join(lines)
