"""Handbook: sheets and species, each figure with its source and how far to trust it."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from graftwright.actions.own import key_of, own_handbook, practice
from graftwright.handbook.sheets import Sheet
from graftwright.web.models import Figure, HandbookListPage, HandbookSheetPage, SheetLine, SheetStage
from graftwright.web.pages import figures
from graftwright.web.pages.cautions import cautions, handbook
from graftwright.web.pages.own_forms import done_form, own_href, practice_words
from graftwright.web.troubles import NoSuchPage
from graftwright.web.wording import capital

if TYPE_CHECKING:
    from collections.abc import Iterator

    from starlette.responses import Response

    from graftwright.handbook import Handbook
    from graftwright.handbook.sheets import Stage
    from graftwright.handbook.species import Species
    from graftwright.handbook.values import Figure as Known
    from graftwright.web.visit import Visit

_ENDS = {"by growth": "Ends by growth", "by you": "Ends when you take the next step"}


async def handbook_list(visit: Visit) -> Response:
    """Answer with all sheets and species."""
    known = handbook()
    sheets = (SheetLine(sheet.title, ", ".join(sheet.genera), f"/handbook/{sheet.key}", sheet.about)
              for sheet in known.sheets.values())  # fmt: skip
    species = (SheetLine(one.common.capitalize(), ", ".join(name for name, _ in one.members) or one.genus,
                         f"/handbook/{one.genus.lower()}") for one in known.species.values())  # fmt: skip
    return visit.page("handbook_list.html", HandbookListPage(tuple(sheets), tuple(species)), here="handbook")


async def sheet_page(visit: Visit) -> Response:
    """Answer with a sheet or a species, your own values beside the handbook's."""
    with visit.book.notebook.reading() as reading:
        thing = named(visit.path("sheet"), own_handbook(reading, handbook()))
        said = practice(reading).get(key_of(thing), "")
    page = _sheet(thing, said) if isinstance(thing, Sheet) else _species(thing)
    return visit.page("handbook_sheet.html", page, here="handbook")


def named(key: str, known: Handbook) -> Sheet | Species:
    """Find a sheet by its key, or a species by its genus in small letters."""
    genus = next((genus for genus in known.species if genus.lower() == key), "")
    thing = known.sheets.get(key) or known.species.get(genus)
    if thing is None:
        raise NoSuchPage
    return thing


def _sheet(sheet: Sheet, said: str) -> HandbookSheetPage:
    by_stage = _by_head(sheet.values())
    stages = [_stage(sheet, stage, by_stage.get(stage.key, [])) for stage in sheet.stages]
    head, further = by_stage.get("sheet", []), by_stage.get("figure", [])
    return HandbookSheetPage(
        title=sheet.title,
        genera=", ".join(sheet.genera),
        stages=(
            *_chapter(sheet, "Before you begin", head),
            *stages,
            *_chapter(sheet, "What others found", further),
        ),
        about=sheet.about,
        version=f"Version {sheet.version}. A book keeps the version its grafts were made with.",
        cautions=cautions(sheet.caution),
        practice=practice_words(said),
        done=done_form(sheet.key),
    )


def _stage(sheet: Sheet, stage: Stage, known: list[Known]) -> SheetStage:
    ends = _ENDS.get(stage.ends or "", "The last stage")
    sign = f": {stage.sign}" if stage.sign else ""
    harm = (
        f" Left longer than {stage.act_within.days:g} days, {stage.act_within.harm}."
        if stage.act_within
        else ""
    )
    work = tuple(task.do for task in stage.work)
    return SheetStage(stage.key.capitalize(), f"{ends}{sign}.{harm}", _figures(sheet, known), work)


def _species(species: Species) -> HandbookSheetPage:
    chapters = [
        chapter
        for head, known in _by_head(species.values()).items()
        for chapter in _chapter(species, figures.head(head), known)
    ]
    return HandbookSheetPage(
        title=species.common.capitalize(),
        genera=", ".join(name for name, _ in species.members) or species.genus,
        stages=tuple(chapters),
        version=f"Version {species.version}.",
        cautions=cautions(species.caution),
    )


def _chapter(thing: Sheet | Species, name: str, known: list[Known]) -> Iterator[SheetStage]:
    if known:
        yield SheetStage(name, "", _figures(thing, known))


def _by_head(values: Iterator[Known]) -> dict[str, list[Known]]:
    """Figures by the part of the file they stand in."""
    ordered = sorted(enumerate(values), key=lambda pair: (figures.part(pair[1].path), pair[0]))
    grouped = groupby((known for _, known in ordered), key=lambda known: figures.part(known.path))
    return {part: list(known) for part, known in grouped}


def _figures(thing: Sheet | Species, known: list[Known]) -> tuple[Figure, ...]:
    return tuple(_figure(thing, one) for one in known)


def _figure(thing: Sheet | Species, known: Known) -> Figure:
    """Show the handbook's figure, and beside it your own where there is one."""
    theirs = thing.theirs.get(known.path)
    shown = _from(theirs or known)
    href = own_href(key_of(thing), known.path)
    if theirs is None and known.origin.grade != "own":
        return replace(shown, own_href=href)
    scope = f" ({known.origin.scope})" if known.origin.scope else ""
    yours = figures.value(known) + scope if theirs else ""
    return replace(shown, yours=yours, own_href=href, own_words="Change your value, or take it back")


def _from(known: Known) -> Figure:
    origin = known.origin
    source = handbook().sources.get(origin.source)
    note = f" {capital(origin.note)}." if origin.note else ""
    return Figure(
        name=figures.name(known.path),
        value=figures.value(known),
        grade=origin.grade,  # type: ignore[arg-type]
        source=(source.cited if source else f"{origin.source.capitalize()}.") + note,
        scope=origin.scope,
        doubtful="no plan uses it" if origin.doubtful else "",
    )
