"""Handbook: sheets and species, each figure with its source and how far to trust it."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from graftwright.web.models import Figure, HandbookListPage, HandbookSheetPage, SheetLine, SheetStage
from graftwright.web.pages import figures
from graftwright.web.pages.cautions import cautions, handbook
from graftwright.web.troubles import NoSuchPage
from graftwright.web.wording import capital

if TYPE_CHECKING:
    from collections.abc import Iterator

    from starlette.responses import Response

    from graftwright.handbook.sheets import Sheet, Stage
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
    """Answer with a sheet or a species."""
    key, known = visit.path("sheet"), handbook()
    species = next((one for one in known.species.values() if one.genus.lower() == key), None)
    if key in known.sheets:
        page = _sheet(known.sheets[key])
    elif species:
        page = _species(species)
    else:
        raise NoSuchPage
    return visit.page("handbook_sheet.html", page, here="handbook")


def _sheet(sheet: Sheet) -> HandbookSheetPage:
    by_stage = _by_head(sheet.values())
    stages = [_stage(stage, by_stage.get(stage.key, [])) for stage in sheet.stages]
    head, further = by_stage.get("sheet", []), by_stage.get("figure", [])
    return HandbookSheetPage(
        title=sheet.title,
        genera=", ".join(sheet.genera),
        stages=(*_chapter("Before you begin", head), *stages, *_chapter("What others found", further)),
        about=sheet.about,
        version=f"Version {sheet.version}. A book keeps the version its grafts were made with.",
        cautions=cautions(sheet.caution),
    )


def _stage(stage: Stage, known: list[Known]) -> SheetStage:
    ends = _ENDS.get(stage.ends or "", "The last stage")
    sign = f": {stage.sign}" if stage.sign else ""
    harm = (
        f" Left longer than {stage.act_within.days:g} days, {stage.act_within.harm}."
        if stage.act_within
        else ""
    )
    work = tuple(task.do for task in stage.work)
    return SheetStage(stage.key.capitalize(), f"{ends}{sign}.{harm}", tuple(map(_figure, known)), work)


def _species(species: Species) -> HandbookSheetPage:
    chapters = [
        chapter
        for head, known in _by_head(species.values()).items()
        for chapter in _chapter(figures.head(head), known)
    ]
    return HandbookSheetPage(
        title=species.common.capitalize(),
        genera=", ".join(name for name, _ in species.members) or species.genus,
        stages=tuple(chapters),
        version=f"Version {species.version}.",
        cautions=cautions(species.caution),
    )


def _chapter(name: str, known: list[Known]) -> Iterator[SheetStage]:
    if known:
        yield SheetStage(name, "", tuple(map(_figure, known)))


def _by_head(values: Iterator[Known]) -> dict[str, list[Known]]:
    """Figures by the part of the file they stand in."""
    ordered = sorted(enumerate(values), key=lambda pair: (figures.part(pair[1].path), pair[0]))
    grouped = groupby((known for _, known in ordered), key=lambda known: figures.part(known.path))
    return {part: list(known) for part, known in grouped}


def _figure(known: Known) -> Figure:
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
