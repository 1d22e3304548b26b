"""`graftwright mix`: bench arithmetic."""

from __future__ import annotations

from dataclasses import asdict
from typing import get_args

import click

from graftwright.actions.mix import Agent, water_medium
from graftwright.actions.mix import dilute as thin
from graftwright.cli.output import answer
from graftwright.science.mixes import daily_light_mol_m2, pots_filled


@click.group()
def mix() -> None:
    """Water, dilutions, light and pots."""


@mix.command()
@click.option("--medium", type=float, required=True, metavar="KG", help="Medium as it is, in kg.")
@click.option("--now", type=float, required=True, metavar="PCT", help="Its water, per cent of the wet mass.")
@click.option("--want", type=float, required=True, metavar="PCT", help="Water wanted, per cent.")
@click.pass_context
def water(ctx: click.Context, medium: float, now: float, want: float) -> None:
    """Water to add to a medium."""
    found = water_medium(medium, now, want)
    line = f"Add {found.water_l:.2f} l of water; it weighs {found.mass_kg:.2f} kg then."
    answer(ctx, asdict(found), "\n".join([line, *found.notes]))


@mix.command()
@click.option("--bottle", type=float, required=True, metavar="PCT", help="Strength on the bottle, per cent.")
@click.option("--total", type=float, required=True, metavar="L", help="Volume to make, in litres.")
@click.option("--agent", type=click.Choice(get_args(Agent)), required=True, help="What is in the bottle.")
@click.option("--want", type=float, metavar="PCT", help="Strength wanted, per cent active.")
@click.option("--parts", type=float, metavar="N", help="Parts of water to one of the bottle, instead.")
@click.pass_context
def dilute(
    ctx: click.Context, bottle: float, total: float, agent: Agent, want: float | None, parts: float | None
) -> None:
    """Thin a disinfectant, with its cautions."""
    found = thin(bottle, total, agent, wanted_pct=want, parts_water=parts)
    line = (
        f"{found.stock_l:.3g} l from the bottle, water to make {total:g} l "
        f"(1 + {found.parts_water:.3g}): {found.active_pct:.3g} % active."
    )
    answer(ctx, asdict(found), "\n".join([line, *found.cautions]))


@mix.command()
@click.option("--ppfd", type=float, required=True, metavar="UMOL", help="Light in µmol m⁻² s⁻¹.")
@click.option("--hours", type=float, required=True, metavar="H", help="Hours of light a day.")
@click.pass_context
def light(ctx: click.Context, ppfd: float, hours: float) -> None:
    """Light of a day."""
    found = daily_light_mol_m2(ppfd, hours)
    answer(ctx, {"dli_mol_m2_day": found}, f"{found:.2f} mol m⁻² a day.")


@mix.command()
@click.option("--mix", "mix_l", type=float, required=True, metavar="L", help="Loose mix in litres.")
@click.option("--pot", type=float, required=True, metavar="L", help="Volume of a pot in litres.")
@click.option("--settling", type=float, default=0.0, metavar="PCT", help="Volume lost by pressing, per cent.")
@click.pass_context
def pots(ctx: click.Context, mix_l: float, pot: float, settling: float) -> None:
    """Pots from a bag of mix."""
    found = pots_filled(mix_l, pot, settling)
    left = max(mix_l - found * pot / (1 - settling / 100), 0.0)
    answer(ctx, {"pots": found, "left_l": left}, f"{found} pots; {left:.1f} l of loose mix are left.")
