"""A sheet or a species as a page: sections with their words, and figures with their sources."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

from graftwright.handbook import Sheet, untried

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from graftwright.handbook import Figure, Handbook, Species, Stage
    from graftwright.handbook.sources import Caution, Source

# The last part of a path that goes without saying once the row is told in words.
_SAID_BY_UNIT = {"minutes", "each", "litres", "hours", "value", "says", "fit"}
_TITLES = {"sheet": "the sheet", "figure": "shown, feeding no plan", "plant_health": "plant health"}


@dataclass(frozen=True)
class Line:
    """A figure with its name, and the handbook's own figure where a grower's replaces it."""

    name: str
    figure: Figure
    theirs: Figure | None

    def as_json(self) -> dict[str, Any]:
        """Return the value that scripts receive."""
        theirs = _figure_json(self.theirs) if self.theirs else None
        return {"name": self.name, **_figure_json(self.figure), "theirs": theirs}


@dataclass(frozen=True)
class Section:
    """A part of a page: what is said in words, and the figures under it."""

    title: str
    words: tuple[str, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Page:
    """A sheet or a species as it is read."""

    key: str
    title: str
    version: int
    words: tuple[str, ...]
    sections: tuple[Section, ...]
    sources: tuple[Source, ...]
    cautions: tuple[Caution, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the value that scripts receive."""
        return {
            "key": self.key,
            "title": self.title,
            "version": self.version,
            "words": list(self.words),
            "sections": [
                {
                    "title": one.title,
                    "words": list(one.words),
                    "values": [line.as_json() for line in one.lines],
                }
                for one in self.sections
            ],
            "sources": [{"key": one.key, "cited": one.cited, "seen": one.seen} for one in self.sources],
            "cautions": [{"key": one.key, "title": one.title, "says": one.says} for one in self.cautions],
        }


def sheet_page(sheet: Sheet, handbook: Handbook) -> Page:
    """Lay out a method sheet."""
    stages = {stage.key: stage for stage in sheet.stages}
    words = list(_sheet_words(sheet, handbook))
    return _page(sheet, (sheet.key, sheet.title), words, stages, handbook)


def species_page(species: Species, handbook: Handbook) -> Page:
    """Lay out what is known of a genus."""
    stages = {f"seed: {stage.key}": stage for stage in species.seed_stages}
    words = [f"{name}: {common}." for name, common in species.members]
    return _page(species, (species.genus, species.common), words, stages, handbook)


def _page(
    thing: Sheet | Species,
    name: tuple[str, str],
    words: Sequence[str],
    stages: Mapping[str, Stage],
    handbook: Handbook,
) -> Page:
    used = {figure.origin.source for figure in (*thing.values(), *thing.theirs.values())}
    named = [*thing.caution, *(key for stage in stages.values() for key in _stage_cautions(stage))]
    return Page(
        key=name[0],
        title=name[1],
        version=thing.version,
        words=tuple(words),
        sections=tuple(_sections(thing, stages, handbook)),
        sources=tuple(source for source in handbook.sources.values() if source.key in used),
        cautions=tuple(handbook.cautions[one] for one in dict.fromkeys(named)),
    )


def _sections(thing: Sheet | Species, stages: Mapping[str, Stage], handbook: Handbook) -> Iterator[Section]:
    placed = [(*_place(figure, stages), figure) for figure in thing.values()]
    for title, group in groupby(placed, key=lambda one: one[0]):
        lines = tuple(Line(name, figure, thing.theirs.get(figure.path)) for _, name, figure in group)
        words = _stage_words(stages[title], handbook) if title in stages else ()
        yield Section(_TITLES.get(title, title), tuple(words), lines)


def _place(figure: Figure, stages: Mapping[str, Stage]) -> tuple[str, str]:
    """Say which section a figure stands in, and its name there."""
    first, *rest = figure.path.split(".")
    if rest[0] == "for":
        return f"{first}, {rest[1]}", _name(rest[2:], figure.about)
    if f"{first}: {rest[0]}" in stages or first == "response":
        return f"{first}: {rest[0]}", _name(rest[1:], figure.about)
    return first, _name(rest, figure.about)


def _name(parts: Sequence[str], about: str) -> str:
    """Name a figure by its path, or by its row's words; the unit tells what a last part only repeats."""
    last = parts[-1]
    if about:
        return about if last in _SAID_BY_UNIT else f"{about}: {last.replace('_', ' ')}"
    kept = parts[:-1] if last == "days" and len(parts) > 1 else parts
    return " ".join(kept).replace("_", " ")


def _sheet_words(sheet: Sheet, handbook: Handbook) -> Iterator[str]:
    if sheet.about:
        yield sheet.about
    yield f"Stages: {' → '.join(sheet.path)}. Take is counted at '{sheet.take_at}'."
    genera = [*handbook.species] if sheet.allows("any") else sheet.genera
    new = [genus for genus in genera if untried(sheet, handbook.species.get(genus), genus)]
    tried = [genus for genus in genera if genus not in new]
    if tried:
        yield f"Plans for {', '.join(tried)}."
    if new:
        yield f"Untried with {', '.join(new)}: it records and reminds, and shows no windows."


def _stage_words(stage: Stage, handbook: Handbook) -> Iterator[str]:
    if stage.ends == "by you":
        yield f"Ends by you, with the step '{stage.ended_by}' to '{stage.milestone}'."
    elif stage.ends:
        yield f"Ends by growth, at '{stage.milestone}': {stage.sign}."
    if stage.started_by:
        yield f"Its clock starts with the step '{stage.started_by}'."
    if stage.act_within:
        yield f"Left too long: {stage.act_within.harm}."
    for key in _stage_cautions(stage):
        yield f"Mind: {handbook.cautions[key].title}."


def _stage_cautions(stage: Stage) -> list[str]:
    in_tasks = [key for task in stage.work for key in task.caution]
    return list(dict.fromkeys([*stage.caution, *in_tasks]))


def _figure_json(figure: Figure) -> dict[str, Any]:
    origin = figure.origin
    return {
        "path": figure.path,
        "value": figure.value,
        "unit": figure.unit,
        "source": origin.source,
        "grade": origin.grade,
        "scope": origin.scope,
        "note": origin.note,
        "doubtful": origin.doubtful,
    }
