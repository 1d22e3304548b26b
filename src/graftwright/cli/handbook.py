"""`graftwright handbook`: what the sheets say, on whose word, and whether they are in order."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from graftwright.actions import handbook as ask
from graftwright.cli.handbook_lines import page_lines
from graftwright.cli.handbook_own import done, own
from graftwright.cli.output import answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.handbook import Handbook

folders_ = click.option(
    "--own",
    "folders",
    metavar="FOLDER",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A folder of your own sheets and values; may be given more than once.",
)


@click.group(no_args_is_help=False)
def handbook() -> None:
    """Sheets and species, each figure with its source; your own values beside it."""


handbook.add_command(own)
handbook.add_command(done)


def _handbook(ctx: click.Context, folders: Sequence[Path]) -> Handbook:
    """Return the handbook with your own values: those of the folders, then those of the notebook."""
    from graftwright.bootstrap import handbook_with_own

    return handbook_with_own(ctx.find_object(object).notebook, folders)  # type: ignore[attr-defined]


@handbook.command("list")
@folders_
@click.pass_context
def list_(ctx: click.Context, folders: tuple[Path, ...]) -> None:
    """List the sheets and the species."""
    found = ask.list_handbook(_handbook(ctx, folders))
    sheets = [f"{one['key']:24}{one['title']}{_plans_for(one)}" for one in found["sheets"]]
    species = [f"{one['genus']:24}{one['common']}" for one in found["species"]]
    answer(ctx, found, "\n".join([*sheets, *species]))


def _plans_for(sheet: dict[str, Any]) -> str:
    genera = ", ".join(sheet["plans_for"])
    return f" (plans for {genera})" if genera else " (records only)"


@handbook.command()
@click.argument("sheet")
@folders_
@click.pass_context
def show(ctx: click.Context, sheet: str, folders: tuple[Path, ...]) -> None:
    """Show SHEET, or a genus, with the source and grade of every figure."""
    page = ask.show(sheet, _handbook(ctx, folders))
    answer(ctx, page.as_json(), "\n".join(page_lines(page)))


@handbook.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@folders_
@click.pass_context
def check(ctx: click.Context, folder: Path | None, folders: tuple[Path, ...]) -> None:
    """Check the handbook, and the sheets and values in FOLDER with it."""
    found = ask.check((*folders, folder) if folder else folders)
    counts = ", ".join(f"{count} {name.replace('_', ' ')}" for name, count in found.items())
    answer(ctx, found, f"In order: {counts}.")
