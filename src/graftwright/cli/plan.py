"""`graftwright plan`: how many to start, and the plan of a season."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
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


class _SizeOrFile(click.Group):
    """A group whose first word may also be the name of a wish file."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Take a word that is no command as a file."""
        if args[0] not in self.commands and not args[0].startswith("-"):
            return "season", plan_season, args
        return super().resolve_command(ctx, args)


@click.group(cls=_SizeOrFile)
def plan() -> None:
    """How many to start, and the plan of a season: graftwright plan FILE.toml."""


@plan.command("season")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--today", "day", metavar="DAY", help="Plan as on another day, such as 2026-10-20.")
@click.option(
    "--calendar",
    "out",
    type=click.Path(path_type=Path),
    metavar="OUT.ics",
    help="Write the plan as a calendar file, too.",
)
@click.pass_context
def plan_season(ctx: click.Context, file: Path, day: str | None, out: Path | None) -> None:
    """Plan a season from the wishes in FILE."""
    from datetime import UTC, datetime

    from graftwright.actions.plan import place
    from graftwright.actions.plan_json import as_json
    from graftwright.actions.wish_file import read_wishes, today_in
    from graftwright.bootstrap import handbook_and_paper, with_weather, write_calendar
    from graftwright.cli.plan_table import table
    from graftwright.ledger.days import read_day

    now = datetime.now(UTC)
    handbook, paper = handbook_and_paper(file)
    wishes = with_weather(read_wishes(paper, handbook), file)
    made = place(wishes, handbook, read_day(day) if day else today_in(wishes.time_zone, now))
    value = as_json(made, handbook)
    if out:
        write_calendar(made, out, now)
    answer(ctx, value, "\n".join(table(value)))


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
