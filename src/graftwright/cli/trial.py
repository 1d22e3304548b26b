"""`trial`: design a comparison, lay it out, read it."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from graftwright.cli.output import answer

if TYPE_CHECKING:
    from graftwright.actions.trial import Layout, TrialAnswer
    from graftwright.science.trials.read import Pair
    from graftwright.science.trials.size import TrialSize

LAYOUTS = ("apart", "bags", "within")
UNITS = ("graft", "bag", "shelf", "sitting")


@click.group()
def trial() -> None:
    """Design a comparison, lay it out, read it."""


@trial.command()
@click.option("--usual", type=float, required=True, metavar="P", help="What takes now.")
@click.option("--better", type=float, required=True, metavar="P", help="The rate that would matter.")
@click.option("--power", type=float, default=0.8, show_default=True, metavar="P", help="Chance of seeing it.")
@click.option("--alpha", type=float, default=0.05, show_default=True, metavar="P", help="False alarms.")
@click.option(
    "--layout", type=click.Choice(LAYOUTS), default="apart", show_default=True, help="How arms are given."
)
@click.option("--per-bag", type=int, metavar="M", help="Grafts in a bag.")
@click.option("--alike", type=float, metavar="R", help="How alike bag-mates fare, 0 to 1.")
@click.pass_context
def size(
    ctx: click.Context,
    *,
    usual: float,
    better: float,
    power: float,
    alpha: float,
    layout: str,
    per_bag: int | None,
    alike: float | None,
) -> None:
    """Say how many grafts each arm needs."""
    from graftwright.actions.trial import size_trial

    bag = None if per_bag is None or alike is None else (per_bag, alike)
    found = size_trial((usual, better), power, alpha, layout, bag)
    answer(ctx, asdict(found), _size_line(found, usual, better))


def _size_line(found: TrialSize, usual: float, better: float) -> str:
    return (
        f"{found.per_arm} grafts in each arm show {better:.0%} against {usual:.0%} with "
        f"{found.power:.0%} chance; false alarms {found.size:.1%} (test: {found.test})."
    )


@trial.command("lay-out")
@click.option("--arms", required=True, metavar="A,B", help="Names of the arms.")
@click.option("--blocks", type=int, required=True, metavar="N", help="How many blocks.")
@click.option("--each", type=int, default=1, show_default=True, metavar="K", help="Units an arm in a block.")
@click.option(
    "--unit", type=click.Choice(UNITS), default="graft", show_default=True, help="What one arm is given to."
)
@click.option("--seed", type=int, required=True, metavar="N", help="Whole number; makes the layout again.")
@click.option("--to", metavar="FILE.csv", help="Write the layout to a file.")
@click.pass_context
def lay_out(
    ctx: click.Context, *, arms: str, blocks: int, each: int, unit: str, seed: int, to: str | None
) -> None:
    """Say which unit gets which arm."""
    from graftwright.actions.trial import lay_out_trial

    found = lay_out_trial(unit, [arm.strip() for arm in arms.split(",")], blocks, each, seed)
    if to:
        from graftwright.adapters.files.layout import write_layout

        write_layout(to, unit, found.units)
    answer(ctx, asdict(found), _layout_lines(found))


def _layout_lines(found: Layout) -> str:
    rows = [f"{found.unit} {unit.number}: block {unit.block}, {unit.arm}" for unit in found.units]
    return "\n".join([*rows, f"Seed {found.seed} makes this layout again."])


@trial.command("answer")
@click.argument("file")
@click.option("--arm", required=True, metavar="COL", help="The column that names the arm.")
@click.option("--taken", required=True, metavar="COL", help="The column that counts grafts that took.")
@click.option("--made", required=True, metavar="COL", help="The column that counts grafts made.")
@click.option("--bag", metavar="COL", help="The column that names the bag, where grafts shared one.")
@click.option("--planned", type=int, metavar="N", help="Grafts planned in each arm: no answer before.")
@click.pass_context
def read(
    ctx: click.Context, file: str, *, arm: str, taken: str, made: str, bag: str | None, planned: int | None
) -> None:
    """Read a trial with the test that fits its layout."""
    from graftwright.actions.trial import answer_trial
    from graftwright.adapters.files.columns import read_columns

    names = {"arm": arm, "taken": taken, "made": made} | ({"bag": bag} if bag else {})
    columns = read_columns(file, list(names.values()))
    found = answer_trial(columns.values, columns.lines, names, planned)
    answer(ctx, asdict(found), _answer_lines(found))


def _answer_lines(found: TrialAnswer) -> str:
    arms = [
        f"{arm.arm}: {arm.taken} of {arm.made}" + (f", {arm.rate:.0%}" if arm.rate is not None else "")
        for arm in found.arms
    ]
    return "\n".join([*(_pair_line(pair) for pair in found.comparisons), *arms, *found.notes])


def _pair_line(pair: Pair) -> str:
    proof = f"p {pair.p_all:.2g}, {pair.test}"
    if pair.p_all > 0.05:
        return f"It cannot be told whether {pair.first} or {pair.second} is better ({proof})."
    better, worse = (pair.first, pair.second) if pair.lead > 0 else (pair.second, pair.first)
    return f"{better} is better than {worse}, by {abs(pair.lead):.0%} ({proof})."
