"""`graftwright air`: how moist air is, from a thermometer and a hygrometer."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from graftwright.cli.output import answer
from graftwright.science.air import air_state

if TYPE_CHECKING:
    from graftwright.science.air import AirState


@click.command()
@click.option("--temperature", type=float, required=True, metavar="C", help="Air temperature in °C.")
@click.option("--humidity", type=float, required=True, metavar="PCT", help="Relative humidity in per cent.")
@click.option("--leaf", type=float, metavar="C", help="Leaf temperature in °C; that of the air if not given.")
@click.pass_context
def air(ctx: click.Context, temperature: float, humidity: float, leaf: float | None) -> None:
    """Vapour pressure, deficit against the leaf, dew point and water in the air."""
    state = air_state(temperature, humidity, leaf)
    answer(ctx, asdict(state), _lines(state))


def _lines(state: AirState) -> str:
    dew = "none: the air holds no water" if state.dew_point_c is None else f"{state.dew_point_c:.1f} °C"
    rows = [
        f"deficit (VPD)    {state.vpd_kpa:.3f} kPa against the leaf",
        f"vapour           {state.vapour_kpa:.3f} kPa",
        f"saturation       {state.saturation_kpa:.3f} kPa over {state.over}",
        f"dew point        {dew}",
        f"water in the air {state.absolute_g_m3:.2f} g/m³",
    ]
    if state.vpd_kpa < 0:
        rows.append("The leaf is colder than the dew point: dew forms on it.")
    return "\n".join(rows)
