"""`graftwright wean`: from the closed bag to the room in steps."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import click

from graftwright.actions.wean import LEAF_CM2, Sensor, Weighing, bag, box, surroundings
from graftwright.actions.wean import wean as plan_for
from graftwright.cli.output import answer
from graftwright.errors import ValueComplaint, as_typed

if TYPE_CHECKING:
    from graftwright.actions.wean import WeaningAnswer
    from graftwright.science.vents import Container


class NotASize(ValueComplaint):
    """A size is not written as numbers with x between them."""

    def __init__(self, text: str, example: str) -> None:
        super().__init__(
            f"'{as_typed(text)}' is not a size.", do=f"Write it in millimetres, for example {example}."
        )


class OneOfTwo(ValueComplaint):
    """Two options say the same thing, or neither does."""

    def __init__(self, first: str, second: str) -> None:
        super().__init__(f"Give either {first} or {second}.", do="Take the one you know better.")


@click.command()
@click.option("--bag", "bag_mm", metavar="WxH", help="Flat bag, width and height in mm.")
@click.option("--box", "box_mm", metavar="LxWxH", help="Box, length, width and height in mm.")
@click.option("--leaf-area", type=float, metavar="CM2", help="Area of all leaves in cm².")
@click.option("--leaves", type=float, metavar="N", help=f"Number of leaves, {LEAF_CM2:g} cm² each.")
@click.option("--medium-area", type=float, required=True, metavar="CM2", help="Moist surface in cm².")
@click.option("--room-temperature", type=float, required=True, metavar="C", help="Room in °C.")
@click.option("--room-humidity", type=float, required=True, metavar="PCT", help="Room in per cent.")
@click.option("--hole", type=float, required=True, metavar="MM", help="Diameter of a hole you can make.")
@click.option("--ratio", type=float, metavar="R", help="Largest rise of the deficit from step to step.")
@click.option("--steps", type=int, metavar="N", help="Number of steps, the room included.")
@click.option("--inside", type=float, metavar="C", help="Temperature inside, under a lamp for instance.")
@click.option("--borne", type=float, default=0.0, metavar="KPA", help="Deficit borne at the last look.")
@click.option("--lost", type=float, metavar="G", help="Loss between two weighings of the closed bag.")
@click.option("--over", type=float, metavar="HOURS", help="Hours between the weighings.")
@click.option(
    "--scale-error", type=float, default=1.0, metavar="G", help="Error of the scale, 1 g if not said."
)
@click.option("--holes", type=int, default=0, metavar="N", help="Holes open while weighing.")
@click.option("--sensor", type=float, metavar="PCT", help="Humidity read in the closed bag.")
@click.option("--sensor-error", type=float, default=2.0, metavar="PCT", help="Error of the sensor.")
@click.pass_context
def wean(
    ctx: click.Context,
    bag_mm: str | None,
    box_mm: str | None,
    leaf_area: float | None,
    leaves: float | None,
    medium_area: float,
    room_temperature: float,
    room_humidity: float,
    hole: float,
    ratio: float | None,
    steps: int | None,
    inside: float | None,
    borne: float,
    lost: float | None,
    over: float | None,
    scale_error: float,
    holes: int,
    sensor: float | None,
    sensor_error: float,
) -> None:
    """Steps from the closed bag to the room, with the air to be expected in each."""
    if (leaf_area is None) == (leaves is None):
        raise OneOfTwo("--leaf-area", "--leaves")
    area = leaf_area if leaf_area is not None else LEAF_CM2 * (leaves or 0.0)
    around = surroundings(area, medium_area, (room_temperature, room_humidity), inside)
    weighing = _weighing(lost, over, scale_error, holes)
    if weighing and sensor is not None:
        raise OneOfTwo("--lost", "--sensor")
    look = weighing or (Sensor(sensor, sensor_error) if sensor is not None else None)
    plan = plan_for(
        _container(bag_mm, box_mm, hole), around, ratio=ratio, steps=steps, tolerated_kpa=borne, look=look
    )
    answer(ctx, plan.as_json(), _lines(plan))


def _container(bag_mm: str | None, box_mm: str | None, hole_mm: float) -> Container:
    if (bag_mm is None) == (box_mm is None):
        raise OneOfTwo("--bag", "--box")
    if bag_mm is not None:
        width, height = _sizes(bag_mm, 2, "200x300")
        return bag(width, height, hole_mm)
    length, width, height = _sizes(box_mm or "", 3, "400x300x250")
    return box(length, width, height, hole_mm)


def _sizes(text: str, count: int, example: str) -> list[float]:
    words = re.split("[xX*\u00d7]", text.replace(" ", ""))
    try:
        sizes = [float(word) for word in words]
    except ValueError:
        sizes = []
    if len(sizes) != count:
        raise NotASize(text, example)
    return sizes


def _weighing(lost: float | None, over: float | None, error: float, holes: int) -> Weighing | None:
    if lost is None and over is None:
        return None
    if lost is None or over is None:
        raise click.UsageError("--lost and --over belong together.")
    return Weighing(lost, over, error, holes)


def _lines(answered: WeaningAnswer) -> str:
    rows = [f"{'':2} {'from':>5} {'for':>5}  {'open':26} {'humidity':14} {'deficit':10} {'water':>8}"]
    for number, (step, opening) in enumerate(zip(answered.plan.steps, answered.openings, strict=True), 1):
        air = step.humidity_pct
        humidity = f"{air.likely:3.0f} % ({air.low:.0f}-{air.high:.0f})"
        rows.append(
            f"{number:2} {step.start_h:3} h {step.hours:3} h  {opening:26} {humidity:14} "
            f"{step.vpd_kpa.likely:.2f} kPa   {step.water_g_per_day.likely:4.1f} g/d"
        )
    jump = answered.plan.largest_jump
    rows.append(f"Largest jump: step {jump}, {answered.plan.steps[jump - 1].ratio:.1f}-fold.")
    return "\n".join([*rows, *answered.advice])
