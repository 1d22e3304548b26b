"""`graftwright handbook`: what the sheets say, on whose word, and whether they are in order."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import click

from graftwright.actions import handbook as ask
from graftwright.cli.output import answer

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from graftwright.actions.handbook_page import Line, Page, Section
    from graftwright.handbook import Figure, Origin

WIDTH = 100
_NAME, _VALUE, _GRADE = 42, 22, 9

own = click.option(
    "--own",
    "folders",
    metavar="FOLDER",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A folder of your own sheets and values; may be given more than once.",
)


@click.group(no_args_is_help=False)
def handbook() -> None:
    """Sheets and species, each figure with its source."""


@handbook.command("list")
@own
@click.pass_context
def list_(ctx: click.Context, folders: tuple[Path, ...]) -> None:
    """List the sheets and the species."""
    found = ask.list_handbook(folders)
    sheets = [f"{one['key']:24}{one['title']}{_plans_for(one)}" for one in found["sheets"]]
    species = [f"{one['genus']:24}{one['common']}" for one in found["species"]]
    answer(ctx, found, "\n".join([*sheets, *species]))


def _plans_for(sheet: dict[str, Any]) -> str:
    genera = ", ".join(sheet["plans_for"])
    return f" (plans for {genera})" if genera else " (records only)"


@handbook.command()
@click.argument("sheet")
@own
@click.pass_context
def show(ctx: click.Context, sheet: str, folders: tuple[Path, ...]) -> None:
    """Show SHEET, or a genus, with the source and grade of every figure."""
    page = ask.show(sheet, folders)
    answer(ctx, page.as_json(), "\n".join(_page_lines(page)))


@handbook.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@own
@click.pass_context
def check(ctx: click.Context, folder: Path | None, folders: tuple[Path, ...]) -> None:
    """Check the handbook, and the sheets and values in FOLDER with it."""
    found = ask.check((*folders, folder) if folder else folders)
    counts = ", ".join(f"{count} {name.replace('_', ' ')}" for name, count in found.items())
    answer(ctx, found, f"In order: {counts}.")


def _page_lines(page: Page) -> Iterator[str]:
    yield f"{page.title} ({page.key}, version {page.version})"
    for words in page.words:
        yield from wrap(words, WIDTH)
    for section in page.sections:
        yield from _section_lines(section)
    if page.sources:
        yield from ("", "Sources")
    for source in page.sources:
        yield from _hanging(f"{source.key}: {source.cited} Read: {source.seen}.")
    if page.cautions:
        yield from ("", "Cautions")
    for caution in page.cautions:
        yield from _hanging(f"{caution.title}. {caution.says}")


def _section_lines(section: Section) -> Iterator[str]:
    yield from ("", section.title)
    for words in section.words:
        yield from wrap(words, WIDTH, initial_indent="  ", subsequent_indent="  ")
    said: Origin | None = None
    for line in section.lines:
        yield from _line(line)
        if line.figure.origin != said:
            yield from _remarks(line.figure.origin)
        said = line.figure.origin


def _line(line: Line) -> Iterator[str]:
    name = f"{line.name} (yours)" if line.theirs else line.name
    yield from _row(name, line.figure)
    if line.theirs:
        yield from _row(f"{line.name} (theirs)", line.theirs)


def _row(name: str, figure: Figure) -> Iterator[str]:
    """One figure in columns; a value too long for its column stands on lines of its own."""
    value = _value(figure)
    short = len(value) <= _VALUE
    first, *more = wrap(name, _NAME - 2)
    origin = f"{figure.origin.grade:{_GRADE}} {figure.origin.source}"
    yield f"  {first:{_NAME}}{value if short else '':{_VALUE}} {origin}".rstrip()
    yield from (f"  {part}" for part in more)
    if not short:
        yield from wrap(value, WIDTH, initial_indent="    ", subsequent_indent="    ")


def _value(figure: Figure) -> str:
    value = figure.value
    if isinstance(value, bool):
        text = "yes" if value else "no"
    elif isinstance(value, list):
        text = " to ".join(f"{end:g}" for end in dict.fromkeys(value))
    else:
        text = value if isinstance(value, str) else f"{value:g}"
    text = f"{text} {figure.unit}".rstrip()
    return f"? {text}" if figure.origin.doubtful else text


def _remarks(origin: Origin) -> Iterator[str]:
    remarks = [origin.scope, origin.note, "doubtful: shown, feeds no plan" if origin.doubtful else ""]
    text = "; ".join(remark for remark in remarks if remark)
    yield from wrap(text, WIDTH, initial_indent="      ", subsequent_indent="      ") if text else ()


def _hanging(text: str) -> Sequence[str]:
    return wrap(text, WIDTH, initial_indent="  ", subsequent_indent="    ")
