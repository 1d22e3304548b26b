"""Pages of the handbook as lines: figures in columns, each with the source it rests on."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from graftwright.actions.handbook_page import Line, Page, Section
    from graftwright.handbook import Figure, Origin

WIDTH = 100
_NAME, _VALUE, _GRADE = 42, 22, 9


def page_lines(page: Page) -> Iterator[str]:
    """Write a page: its words, its sections, its sources and cautions."""
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
    value = value_words(figure)
    short = len(value) <= _VALUE
    first, *more = wrap(name, _NAME - 2)
    origin = f"{figure.origin.grade:{_GRADE}} {figure.origin.source}"
    yield f"  {first:{_NAME}}{value if short else '':{_VALUE}} {origin}".rstrip()
    yield from (f"  {part}" for part in more)
    if not short:
        yield from wrap(value, WIDTH, initial_indent="    ", subsequent_indent="    ")


def value_words(figure: Figure) -> str:
    """Write a value with its unit; a question mark stands before what is doubtful."""
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
