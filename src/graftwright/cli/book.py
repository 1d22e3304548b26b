"""Notebooks as a whole: new, demo, serve, backup, restore."""

from __future__ import annotations

import os
from pathlib import Path

import click

from graftwright.cli.books import the_book
from graftwright.cli.output import answer


@click.command()
@click.option("--name", default="My book", show_default=True, help="What the bench is called.")
@click.option(
    "--time-zone",
    default="",
    metavar="ZONE",
    help="Its time zone, such as Europe/Paris; this machine's if left out.",
)
@click.option("--latitude", type=float, help="Its latitude, south negative.")
@click.option(
    "--free-days",
    default="",
    help="Days of the week you are at the bench, such as 'sat sun'; all if left out.",
)
@click.pass_context
def new(ctx: click.Context, name: str, time_zone: str, latitude: float | None, free_days: str) -> None:
    """Make your own notebook."""
    from graftwright import settings
    from graftwright.bootstrap import new_book

    path = Path(ctx.obj.notebook) if ctx.obj.notebook else settings.own_notebook()
    new_book(path, name, time_zone, latitude, free_days)
    answer(
        ctx,
        {"notebook": str(path)},
        f"Made {path}. Begin with: graftwright record receive, or graftwright serve.",
    )


@click.command()
@click.option("--again", is_flag=True, help="Make the demo afresh.")
@click.pass_context
def demo(ctx: click.Context, again: bool) -> None:
    """Make the demo: a season in progress, on its own date."""
    from graftwright import settings
    from graftwright.bootstrap import make_demo

    path = Path(ctx.obj.notebook) if ctx.obj.notebook else settings.demo_notebook()
    made = make_demo(path, again=again)
    said = f"Made the demo: {path}" if made else f"The demo is there: {path}"
    answer(ctx, {"notebook": str(path), "made": made}, said)


@click.command()
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8765, show_default=True, help="The port on this machine."
)
@click.pass_context
def serve(ctx: click.Context, port: int) -> None:
    """The pages, on this machine only."""
    import uvicorn

    from graftwright import bootstrap

    path = bootstrap.which(ctx.obj.notebook)
    the_book(ctx).notebook.close()
    os.environ["GRAFTWRIGHT_SERVE"] = str(path)
    click.echo(f"Your book is open at http://127.0.0.1:{port} (Ctrl+C closes it).", err=True)
    uvicorn.run(
        "graftwright.web.app:from_environment", factory=True, host="127.0.0.1", port=port, log_level="warning"
    )


@click.command()
@click.argument("target", type=click.Path(path_type=Path))
@click.pass_context
def backup(ctx: click.Context, target: Path) -> None:
    """Copy the notebook to a new file, and prove the copy by opening it."""
    from graftwright.bootstrap import back_up

    proof = back_up(the_book(ctx), target)
    answer(
        ctx, {"backup": str(target), "entries": proof.entries}, f"{target}: {proof.entries} entries, proved."
    )


@click.command()
@click.argument("source", type=click.Path(path_type=Path))
@click.pass_context
def restore(ctx: click.Context, source: Path) -> None:
    """Bring a backup back; what is there now is kept under a dated name."""
    from graftwright import bootstrap

    path = bootstrap.which(ctx.obj.notebook)
    kept = bootstrap.bring_back(source, path)
    was = f" What was there is now {kept}." if kept else ""
    answer(ctx, {"notebook": str(path), "kept": str(kept) if kept else None}, f"Brought back {path}.{was}")
