"""A method sheet: its stages in order, and what is known of each for a genus."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

from graftwright.handbook.document import must_read
from graftwright.handbook.fields import Paper
from graftwright.handbook.rules import sheet_rules
from graftwright.handbook.schema import EXPERIENCES, SHEET
from graftwright.handbook.values import NOWHERE, Figure, Origin, OwnValue

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from graftwright.handbook.document import Document

Span = tuple[float, float]

ANY = "any"
FIRST_TAKE_DAY = 30  # a graft may live on its reserves until then


@dataclass(frozen=True)
class Pace:
    """How long from the step that starts the clock until half the plants are there.

    `days` are days at the optimum of the species' `response` where the kind is thermal, plain days
    where it is calendar. `spread` (between plants) and `batch_spread` are standard deviations of
    the logarithm; `worth` is how many batches the figure is worth.
    """

    kind: str
    response: str | None
    days: float
    spread: float
    batch_spread: float
    worth: float
    origin: Origin


@dataclass(frozen=True)
class Share:
    """The long-run share that pass a stage, what it is worth in grafts, and how far seasons differ."""

    mean: float
    worth: float
    rho: float
    origin: Origin


@dataclass(frozen=True)
class Survival:
    """The share for each answer to 'have you done this before?'."""

    first_time: Share
    some: Share
    practised: Share

    def of(self, experience: str) -> Share:
        """Give the share for `first_time`, `some` or `practised`."""
        shares = {"first_time": self.first_time, "some": self.some, "practised": self.practised}
        return shares[experience]


@dataclass(frozen=True)
class Light:
    """Photon flux [µmol m⁻² s⁻¹] and hours a day, each from-to."""

    ppfd: Span
    hours: Span


@dataclass(frozen=True)
class Keep:
    """The air to keep: temperature and night temperature [°C], humidity [%], light."""

    temperature: Span | None = None
    night: Span | None = None
    humidity: Span | None = None
    light: Light | None = None
    in_below: float | None = None  # °C: bring in when the night goes below it


@dataclass(frozen=True)
class StageFigures:
    """What is known of a stage for one genus; what is not known is None."""

    genus: str
    pace: Pace | None = None
    keep: Keep | None = None
    survival: Survival | None = None


@dataclass(frozen=True)
class ActWithin:
    """How many days after the milestone there are to act, and what comes of waiting longer."""

    days: float
    harm: str


@dataclass(frozen=True)
class LossShown:
    """Median days from entering the stage until a loss shows, and the log spread round it."""

    days: float
    spread: float


@dataclass(frozen=True)
class Task:
    """Work the sheet wants: `at` the start, the end or each check, every so many days, or after some.

    `only_from` limits it to scions of one sort of wood, such as side shoots.
    """

    do: str
    minutes: float
    per: str
    at: str | None = None
    every_days: float | None = None
    after_days: float | None = None
    only_from: str | None = None
    caution: tuple[str, ...] = ()


@dataclass(frozen=True)
class Use:
    """Material for one graft."""

    item: str
    each: float | None = None
    litres: float | None = None


@dataclass(frozen=True)
class Step:
    """One step of weaning or hardening: what, how open, how many hours, and the sign to look for."""

    what: str
    hours: Span
    sign: str
    variant: str = "usual"
    opening: str | None = None
    humidity: Span | None = None


@dataclass(frozen=True)
class Stage:
    """Where a unit stands; it ends at its milestone, which is the key of the next stage."""

    key: str
    of: str
    ends: str | None = None
    milestone: str | None = None
    started_by: str | None = None
    ended_by: str | None = None
    sign: str = ""
    measure: str | None = None
    at_least: float | None = None
    act_within: ActWithin | None = None
    check_every: float | None = None
    loss_shown: LossShown | None = None
    give_up_after: float | None = None
    work: tuple[Task, ...] = ()
    uses: tuple[Use, ...] = ()
    steps: tuple[Step, ...] = ()
    caution: tuple[str, ...] = ()
    by_genus: Mapping[str, StageFigures] = field(default_factory=dict)

    def figures(self, genus: str) -> StageFigures | None:
        """Give what is known of this stage for a genus."""
        return self.by_genus.get(genus)


@dataclass(frozen=True)
class PerPlace:
    """How many grafts one bag, box or pot holds."""

    kind: str
    units: int


@dataclass(frozen=True)
class Sheet:
    """A way to make and raise a graft, with all its figures and where each comes from.

    `own` are the grower's values that were laid over it; `theirs` holds, under the same paths, the
    figures of the handbook that they stand in for.
    """

    key: str
    title: str
    version: int
    text: str
    where: str
    genera: tuple[str, ...]
    take_at: str
    stages: tuple[Stage, ...]
    shown: Mapping[str, Figure]
    about: str = ""
    take_from_day: int = FIRST_TAKE_DAY
    buds_per_scion: tuple[int, int] | None = None
    per_place: PerPlace | None = None
    union_at: str | None = None
    caution: tuple[str, ...] = ()
    own: tuple[OwnValue, ...] = ()
    theirs: Mapping[str, Figure] = field(default_factory=dict)

    @property
    def path(self) -> tuple[str, ...]:
        """The keys of the stages, in order."""
        return tuple(stage.key for stage in self.stages)

    def stage(self, key: str) -> Stage:
        """Find a stage by its key."""
        return self.stages[self.path.index(key)]

    def allows(self, genus: str) -> bool:
        """Whether the sheet is meant for this genus."""
        return ANY in self.genera or genus in self.genera

    def values(self) -> Iterator[Figure]:
        """Every figure, in the order of the file, with its source."""
        return iter(self.shown.values())


def parse_sheet(text: str, where: str) -> Sheet:
    """Read a sheet; raises the first complaint, with its line."""
    return sheet_from(must_read(Paper(where, text), SHEET, sheet_rules))


def sheet_from(document: Document) -> Sheet:
    """Make the sheet of a file that is in order."""
    head = document.plain["sheet"]
    words = {
        key: head[key]
        for key in ("key", "title", "version", "take_at", "about", "take_from_day", "union_at")
        if key in head
    }
    return Sheet(
        **words,
        text=document.paper.text,
        where=document.paper.name,
        genera=tuple(head["genera"]),
        stages=tuple(
            stage_from(row, partial(_by_genus, row, document.figures)) for row in document.plain["stage"]
        ),
        shown=document.figures,
        buds_per_scion=_span(head.get("buds_per_scion")),
        per_place=made(PerPlace, head.get("per_place")),
        caution=tuple(head.get("caution", ())),
    )


def stage_from(row: Mapping[str, Any], by_genus: Callable[[], Mapping[str, StageFigures]]) -> Stage:
    """Make a stage of a sheet or of a species' seed."""
    sign = row.get("ends_when", {})
    return Stage(
        key=row["key"],
        of=row["of"],
        **{key: row.get(key) for key in ("ends", "milestone", "started_by", "ended_by")},
        sign=sign.get("sign", ""),
        measure=sign.get("measure"),
        at_least=sign.get("at_least"),
        act_within=made(ActWithin, row.get("act_within")),
        check_every=row.get("check_every", {}).get("days"),
        loss_shown=made(LossShown, row.get("loss_shown")),
        give_up_after=row.get("give_up_after", {}).get("days"),
        work=tuple(map(_task, row.get("work", ()))),
        uses=tuple(Use(**use) for use in row.get("uses", ())),
        steps=tuple(map(_step, row.get("step", ()))),
        caution=tuple(row.get("caution", ())),
        by_genus=by_genus(),
    )


def _by_genus(row: Mapping[str, Any], figures: Mapping[str, Figure]) -> dict[str, StageFigures]:
    return {
        genus: stage_figures(genus, block, f"{row['key']}.for.{genus}", figures)
        for genus, block in row.get("for", {}).items()
    }


def stage_figures(
    genus: str, block: Mapping[str, Any], dotted: str, figures: Mapping[str, Figure]
) -> StageFigures:
    """Make what a block says of a stage; a part that lacks a sound value is left out."""
    return StageFigures(
        genus=genus,
        pace=_pace(block.get("pace", {}), f"{dotted}.pace", figures),
        keep=_keep(block.get("keep")),
        survival=_survival(block.get("survival", {}), f"{dotted}.survival", figures),
    )


def _pace(block: Mapping[str, Any], dotted: str, figures: Mapping[str, Figure]) -> Pace | None:
    days = "days_at_optimum" if block.get("kind") == "thermal" else "days"
    if days not in block:
        return None
    return Pace(
        kind=block["kind"],
        response=block.get("response"),
        days=block[days],
        spread=block["spread"],
        batch_spread=block["batch_spread"],
        worth=block["worth"],
        origin=_origin(f"{dotted}.{days}", figures),
    )


def _survival(block: Mapping[str, Any], dotted: str, figures: Mapping[str, Figure]) -> Survival | None:
    practised = _rho(block.get("practised", {}))
    shares = {
        name: Share(
            mean=part["mean"],
            worth=part["worth"],
            rho=rho,
            origin=_origin(f"{dotted}.{name}.mean", figures),
        )
        for name, part in block.items()
        if (rho := _rho(part, practised)) is not None
    }
    return Survival(**shares) if len(shares) == len(EXPERIENCES) else None


def _rho(part: Mapping[str, float], usual: float | None = None) -> float | None:
    """Compare the variance between seasons with the largest there can be; `usual` where none is given."""
    if "between_seasons" not in part:
        return usual
    return part["between_seasons"] ** 2 / (part["mean"] * (1 - part["mean"]))


def _origin(dotted: str, figures: Mapping[str, Figure]) -> Origin:
    return figures[dotted].origin if dotted in figures else NOWHERE


def _keep(block: Mapping[str, Any] | None) -> Keep | None:
    if not block:
        return None
    return Keep(
        temperature=_span(block.get("temperature")),
        night=_span(block.get("night")),
        humidity=_span(block.get("humidity")),
        light=made(Light, block.get("light")),
        in_below=block.get("in_below"),
    )


def _task(row: Mapping[str, Any]) -> Task:
    rest = {key: row[key] for key in ("at", "every_days", "after_days") if key in row}
    return Task(
        do=row["do"],
        minutes=row["minutes"],
        per=row["per"],
        only_from=row.get("from"),
        caution=tuple(row.get("caution", ())),
        **rest,
    )


def _step(row: Mapping[str, Any]) -> Step:
    return Step(
        what=row["what"],
        hours=_span(row["hours"]),
        sign=row["sign"],
        variant=row.get("variant", "usual"),
        opening=row.get("opening"),
        humidity=_span(row.get("humidity")),
    )


def _span(pair: Any) -> Any:
    return None if pair is None else tuple(pair)


def made(kind: Any, block: Mapping[str, Any] | None) -> Any:
    """Make a thing of its block, pairs of its spans; a block of which nothing may be used makes none."""
    if not block:
        return None
    return kind(**{key: tuple(value) if isinstance(value, list) else value for key, value in block.items()})
