"""`graftwright plan`: how many to start, and the plan of a season."""

from __future__ import annotations

from pathlib import Path

import click

from graftwright.cli.output import answer
from graftwright.cli.plan_size import plan_size


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
    from graftwright.bootstrap import handbook_with_own, practice_in, wish_paper, with_weather, write_calendar
    from graftwright.cli.plan_table import table
    from graftwright.ledger.days import read_day

    now = datetime.now(UTC)
    notebook = ctx.find_object(object).notebook  # type: ignore[attr-defined]
    paper, handbook = wish_paper(file), handbook_with_own(notebook, ())
    wishes = with_weather(read_wishes(paper, handbook, practice_in(notebook)), file)
    made = place(wishes, handbook, read_day(day) if day else today_in(wishes.time_zone, now))
    value = as_json(made, handbook)
    if out:
        write_calendar(made, out, now)
    answer(ctx, value, "\n".join(table(value)))


plan.add_command(plan_size)
