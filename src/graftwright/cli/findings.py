"""`findings`: what took, how long it lasted."""

from __future__ import annotations

from dataclasses import asdict

import click

from graftwright.cli.output import answer
from graftwright.errors import ValueComplaint


class NotUsual(ValueComplaint):
    """The usual take is not written as MEAN@WEIGHT."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"The usual take is written MEAN@GRAFTS, not {text}.",
            do="0.6@12 is 60 %, worth 12 grafts.",
        )


@click.group()
def findings() -> None:
    """What took, how long it lasted, and whether it was luck."""


@findings.command()
@click.argument("file")
@click.option("--taken", required=True, metavar="COL", help="The column that counts grafts that took.")
@click.option("--made", required=True, metavar="COL", help="The column that counts grafts made.")
@click.option("--by", "by", multiple=True, metavar="COL", help="Compare these; A*B adds the interaction.")
@click.option("--batch", multiple=True, metavar="COL", help="What shares its luck: bag, sitting, season.")
@click.option("--usual", metavar="MEAN@WEIGHT", help="What usually takes, and how many grafts that is worth.")
@click.option("--flat", is_flag=True, help="No priors: contrasts and maximum likelihood.")
@click.pass_context
def rates(
    ctx: click.Context,
    file: str,
    *,
    taken: str,
    made: str,
    by: tuple[str, ...],
    batch: tuple[str, ...],
    usual: str | None,
    flat: bool,
) -> None:
    """Say what took, level by level, from a table of counts."""
    from graftwright.actions.find_rates import find_rates
    from graftwright.actions.rates_found import Question
    from graftwright.adapters.files.columns import read_columns
    from graftwright.cli.findings_lines import rates_lines

    terms = tuple(tuple(part.strip() for part in term.split("*")) for term in by)
    question = Question(taken, made, terms, batch, _usual(usual), flat)
    columns = read_columns(file, question.columns)
    found = find_rates(columns.values, columns.lines, question)
    answer(ctx, asdict(found), rates_lines(found))


def _usual(text: str | None) -> tuple[float, float] | None:
    if text is None:
        return None
    mean, _, weight = text.partition("@")
    try:
        return float(mean), float(weight)
    except ValueError:
        raise NotUsual(text) from None


@findings.command()
@click.argument("file")
@click.option("--left", required=True, metavar="COL", help="Last look that saw it alive; 0 or empty: none.")
@click.option("--right", required=True, metavar="COL", help="First look that saw it gone; empty: not yet.")
@click.option("--start", metavar="COL", help="First day of each row; then the looks are dates.")
@click.option("--count", metavar="COL", help="How many units a row stands for.")
@click.option("--group", metavar="COL", help="Compare these.")
@click.pass_context
def lasting(
    ctx: click.Context,
    file: str,
    *,
    left: str,
    right: str,
    start: str | None,
    count: str | None,
    group: str | None,
) -> None:
    """Say how long units lasted, from exact times or from times between two looks."""
    from graftwright.actions.find_lasting import Question, find_lasting
    from graftwright.adapters.files.columns import read_columns
    from graftwright.cli.findings_lines import lasting_lines

    question = Question(left, right, start, count, group)
    columns = read_columns(file, question.columns)
    found = find_lasting(columns.values, columns.lines, question)
    value = asdict(found)
    for one in value["groups"]:
        one["steps"] = [{"from": step.pop("from_"), **step} for step in one["steps"]]
    answer(ctx, value, lasting_lines(found))
