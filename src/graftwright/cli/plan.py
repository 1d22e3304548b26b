"""`graftwright plan`: how many to start, and the plan of a season."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from graftwright.cli.output import answer
from graftwright.cli.plan_size import plan_size
from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from datetime import datetime

    from graftwright.actions.plan_parts import Plan
    from graftwright.actions.wish_file import Wishes
    from graftwright.handbook import Handbook


class _SizeOrSeason(click.Group):
    """A group whose words may also be the name of a wish file and options, or nothing."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Take everything that begins with no command as a season's plan."""
        if not args or (args[0] not in self.commands and args[0] != "--help"):
            args = ["season", *args]
        return super().parse_args(ctx, args)


@click.group(cls=_SizeOrSeason, subcommand_metavar="[FILE.toml | size] [OPTIONS]...")
def plan() -> None:
    """How many to start, and the plan of a season.

    graftwright plan FILE.toml plans the wishes of a file; graftwright plan those of the notebook.
    """


@plan.command("season")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option("--keep", is_flag=True, help="Keep the plan in the notebook, with the wishes of FILE.")
@click.option("--today", "day", metavar="DAY", help="Plan FILE as on another day, such as 2026-10-20.")
@click.option(
    "--calendar",
    "out",
    type=click.Path(path_type=Path),
    metavar="OUT.ics",
    help="Write the plan as a calendar file, too.",
)
@click.pass_context
def plan_season(ctx: click.Context, file: Path | None, keep: bool, day: str | None, out: Path | None) -> None:
    """Plan a season from the wishes in FILE, or from those in the notebook."""
    from datetime import UTC, datetime

    from graftwright.actions.plan_json import as_json
    from graftwright.bootstrap import write_calendar
    from graftwright.cli import season
    from graftwright.cli.plan_table import table

    now = datetime.now(UTC)
    if file:
        made, wishes, handbook = _of_file(ctx, file, day, now)
        value = as_json(made, handbook)
        if keep:
            value["kept_as"] = season.keep_file(ctx, wishes, value)
    else:
        if day:
            raise NotForTheNotebook
        made, value = season.plan_book(ctx, keep=keep)
    if out:
        write_calendar(made, out, now)
    answer(ctx, value, "\n".join(table(value)))


class NotForTheNotebook(ValueComplaint):
    """Another day for wishes that live in a notebook, which has a day of its own."""

    def __init__(self) -> None:
        super().__init__(
            "The notebook is planned as of its own day.",
            where="--today",
            do="Leave it out, or name a wish file.",
        )


def _of_file(ctx: click.Context, file: Path, day: str | None, now: datetime) -> tuple[Plan, Wishes, Handbook]:
    from graftwright.actions.plan import place
    from graftwright.actions.wish_file import read_wishes, today_in
    from graftwright.bootstrap import handbook_with_own, practice_in, wish_paper, with_weather
    from graftwright.ledger.days import read_day

    notebook = ctx.find_object(object).notebook  # type: ignore[attr-defined]
    paper, handbook = wish_paper(file), handbook_with_own(notebook, ())
    wishes = with_weather(read_wishes(paper, handbook, practice_in(notebook)), file)
    made = place(wishes, handbook, read_day(day) if day else today_in(wishes.time_zone, now))
    return made, wishes, handbook


plan.add_command(plan_size)
