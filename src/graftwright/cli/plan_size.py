"""`graftwright plan size`: how many to start, and what that takes."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

import click

from graftwright.actions.amounts import amount, plural
from graftwright.actions.sizing import Stage, size, starts
from graftwright.cli.output import answer
from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from graftwright.actions.size_needs import Method
    from graftwright.actions.sizing import Size
    from graftwright.science.sizing import Start

_SPOKEN = {0.5: "even chance", 0.8: "8 in 10", 0.9: "9 in 10"}
_SEASONS = "All batches are taken to share one season, which slightly overstates the risk."
_NO_SHEET = (
    "Nuts, sticks, bags, litres and hours stand in sheets: give --sheet and --species instead of --stage."
)

Levels = list[tuple[float, "Start | None"]]


class StageUnreadable(ValueComplaint):
    """A stage that is not NAME=MEAN or NAME=MEAN@WEIGHT."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"The stage '{text}' cannot be read.", do="Write it as in sprouted=0.8@20, or sprouted=0.8."
        )


@dataclass(frozen=True)
class By:
    """What the sheet's options say; all None without a sheet."""

    sheet: str | None
    species: str | None
    experience: str | None
    buds_per_stick: int | None

    @property
    def said(self) -> bool:
        """Whether any of them says something."""
        return any(value is not None for value in asdict(self).values())


def _sheet_options(command: Callable[..., None]) -> Callable[..., None]:
    for option in (
        click.option("--sheet", metavar="KEY", help="Take the stages from this sheet of the handbook."),
        click.option("--species", metavar="GENUS", help="The genus, with --sheet."),
        click.option(
            "--experience",
            type=click.Choice(("first_time", "some", "practised")),
            help="How many grafts of this sort you have done, with --sheet; first_time if not given.",
        ),
        click.option(
            "--buds-per-stick", type=int, metavar="N", help="Usable buds on a stick, with --sheet; else 5."
        ),
    )[::-1]:
        command = option(command)
    return command


@click.command("size")
@click.option("--want", type=int, required=True, metavar="N", help="How many are wanted at the end.")
@click.option("--sure", type=float, default=0.9, show_default=True, metavar="P", help="How sure, 0 to 1.")
@click.option(
    "--stage",
    "stages",
    multiple=True,
    metavar="NAME=MEAN[@WEIGHT]",
    help="A stage, the share that passes it, and its season weight; in order. "
    "Without a weight the share is known exactly.",
)
@_sheet_options
@click.pass_context
def plan_size(ctx: click.Context, /, want: int, sure: float, stages: tuple[str, ...], **by: Any) -> None:
    """How many to start, so that a bad season still leaves enough.

    Give either each --stage, or --sheet and --species.
    """
    method = _method(ctx, stages, By(**by))
    chain = list(method.stages) if method else [_read_stage(text) for text in stages]
    sized = size(want, sure, chain)
    if ctx.find_root().meta.get("json", False):
        answer(ctx, _as_json(sized, method), "")
    else:
        answer(ctx, None, "\n".join(_lines(want, starts(want, sure, chain), sized, method)))


def _method(ctx: click.Context, stages: Sequence[str], by: By) -> Method | None:
    if stages and not by.said:
        return None
    if stages or by.sheet is None or by.species is None:
        raise click.UsageError("Give either each --stage, or --sheet and --species.", ctx)
    from graftwright.actions.size_needs import USUAL_STICK, method
    from graftwright.handbook.load import load_handbook

    buds = USUAL_STICK if by.buds_per_stick is None else by.buds_per_stick
    return method(load_handbook(), by.sheet, by.species, by.experience or "first_time", buds)


def _read_stage(text: str) -> Stage:
    name, _, numbers = text.rpartition("=")
    mean, at, weight = numbers.partition("@")
    try:
        values = float(mean), float(weight) if at else None
    except ValueError:
        raise StageUnreadable(text) from None
    if not name.strip():
        raise StageUnreadable(text)
    return Stage(name.strip(), *values)


def _as_json(sized: Size, method: Method | None) -> dict[str, Any]:
    value = {**asdict(sized.answer), "stages": [asdict(stage) for stage in sized.stages]}
    return {**value, "needs": _needs(sized.answer, method)} if method else value


def _needs(start: Start, method: Method) -> dict[str, float]:
    from graftwright.actions.size_needs import needs

    return needs(start.start, method)


def _lines(want: int, levels: Levels, sized: Size, method: Method | None) -> Iterator[str]:
    yield f"To have {want:,} at the end, start"
    yield from (f"  {_spoken(level):<12} {_number(start):>10}" for level, start in levels)
    if method:
        yield from ("", *_table(levels, method), "", *_taken(method))
    yield from ("", f"Of {sized.answer.start:,} started, expect (8 in 10 seasons between)")
    width = max(len(stage.name) for stage in sized.stages)
    for stage in sized.stages:
        yield f"  {stage.name:<{width}} {stage.expected:>10,.1f}   {stage.low:,} to {stage.high:,}"
    yield from ("", _SEASONS)
    if not method:
        yield _NO_SHEET


def _spoken(level: float) -> str:
    return _SPOKEN.get(level, f"{level:g} sure")


def _number(start: Start | None) -> str:
    return f"{start.start:,}" if start else "no number is enough"


def _table(levels: Levels, method: Method) -> Iterator[str]:
    """Write a column for each chance and a line for each thing."""
    columns = {_spoken(level): _needs(start, method) for level, start in levels if start}
    yield "That takes".ljust(24) + "".join(f"{name:>13}" for name in columns)
    for name in next(iter(columns.values())):
        figures = "".join(f"{amount(needed[name]):>13}" for needed in columns.values())
        yield f"  {plural(name):<22}{figures}"


def _taken(method: Method) -> Iterator[str]:
    each = "1 bud" if method.buds == 1 else f"{method.buds} buds"
    yield f"Taken: {method.stick} usable buds on a stick and {each} on a scion; nuts of which enough sprout in"
    yield "9 seasons of 10. What is used later is for the grafts expected then; hours, in a room at its best."
