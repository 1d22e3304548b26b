"""A weaning plan in the words of the bench: what to open, for how long, what to look for."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from graftwright.science.air import absolute_humidity_g_m3, saturation_vapour_pressure_kpa
from graftwright.science.bag import Wet
from graftwright.science.limits import check_within
from graftwright.science.openings import exchange_conductance_m3_s
from graftwright.science.vents import MOST_HOLES, Container, Opening, Surroundings, Vents
from graftwright.science.weaning import plan_weaning
from graftwright.science.weighing import PRIOR_LOG_SD, conductance_inside, conductance_outward

if TYPE_CHECKING:
    from graftwright.science.weaning import Step, WeaningPlan
    from graftwright.science.weighing import Fitted

# First guesses, each known to a factor of two at best; a weighing or a sensor narrows them.
LEAF_CM2 = 20.0
LEAF_M_S = 0.0024  # about 100 mmol m⁻² s⁻¹: stomata of soft leaves stand open, still air slows them
MEDIUM_M_S = 0.003  # moist surface under 8 mm of still air
FILM_M_S = 1.5e-6  # thin polyethylene, of the order its makers state; from memory
FILM_MM, WALL_MM = 0.05, 1.0
LID_CHANGES_PER_H = 0.1
TOO_WARM_C = 30.0

SIGNS = {
    "holes": "Less dew on the film, leaves stiff. If they hang, close again to the step before.",
    "mouth": "Leaves stiff in the morning. If they hang, close again to the step before.",
    "room": "Leaves that hang in the evening stand again in the morning. If not, back under cover.",
}
ALWAYS = (
    "If leaves flag, step back for a day and go on in smaller steps.",
    "Keep it out of the sun: a closed bag cooks its grafts within an hour. Under lamps measure inside.",
)


@dataclass(frozen=True)
class Weighing:
    """Two weighings of the closed container with so many holes open."""

    lost_g: float
    hours: float
    scale_error_g: float
    holes: int


@dataclass(frozen=True)
class Sensor:
    """A reading in the closed container."""

    humidity_pct: float
    error_pct: float


@dataclass(frozen=True)
class WeaningAnswer:
    """The plan, its words, and what a weighing or a sensor told."""

    plan: WeaningPlan
    openings: tuple[str, ...]
    advice: tuple[str, ...]
    fitted: Fitted | None

    def as_json(self) -> dict[str, object]:
        """Return the value that scripts receive."""
        jump = self.plan.largest_jump
        return {
            "steps": [_step(*pair) for pair in zip(self.plan.steps, self.openings, strict=True)],
            "largest_jump": {"step": jump, "ratio": self.plan.steps[jump - 1].ratio},
            "advice": list(self.advice),
            "ratio": self.plan.ratio,
            "keeps_ratio": self.plan.keeps_ratio,
            "closed_vpd_kpa": self.plan.closed_vpd_kpa,
            "learned": self.fitted.learned if self.fitted else None,
        }


def bag(width_mm: float, height_mm: float, hole_mm: float) -> Container:
    """Describe a flat bag: both sides breathe a little, and its mouth opens to a circle."""
    check_within("width of the bag", width_mm, 10.0, 5000.0, "mm")
    check_within("height of the bag", height_mm, 10.0, 5000.0, "mm")
    leak = FILM_M_S * 2 * width_mm * height_mm * 1e-6
    return Container(leak, FILM_MM, width_mm, width_mm / math.pi, hole_mm)


def box(length_mm: float, width_mm: float, height_mm: float, hole_mm: float) -> Container:
    """Describe a box with a lid that is not quite tight and can be set ajar along its long side."""
    for what, size in (("length", length_mm), ("width", width_mm), ("height", height_mm)):
        check_within(f"{what} of the box", size, 10.0, 5000.0, "mm")
    leak = exchange_conductance_m3_s(length_mm * width_mm * height_mm * 1e-9, LID_CHANGES_PER_H)
    return Container(leak, WALL_MM, max(length_mm, width_mm), min(length_mm, width_mm), hole_mm)


def surroundings(
    leaf_area_cm2: float, medium_area_cm2: float, room: tuple[float, float], inside_c: float | None
) -> Surroundings:
    """Put leaves and medium at the inside temperature, in a room of so many °C and per cent."""
    check_within("leaf area", leaf_area_cm2, 0.0, 100_000.0, "cm²")
    check_within("area of the medium", medium_area_cm2, 0.0, 100_000.0, "cm²")
    check_within("room temperature", room[0], 0.0, 45.0, "°C")
    check_within("humidity of the room", room[1], 0.0, 100.0, "%")
    inside = room[0] if inside_c is None else inside_c
    check_within("temperature inside", inside, 0.0, 60.0, "°C")
    wet = Wet(LEAF_M_S * leaf_area_cm2 * 1e-4, MEDIUM_M_S * medium_area_cm2 * 1e-4, inside, inside)
    return Surroundings(*room, wet, PRIOR_LOG_SD)


def wean(
    container: Container,
    around: Surroundings,
    *,
    ratio: float | None = None,
    steps: int | None = None,
    tolerated_kpa: float = 0.0,
    look: Weighing | Sensor | None = None,
) -> WeaningAnswer:
    """Plan the way from closed container to open room, narrowed by a look where there was one."""
    fitted = None
    if isinstance(look, Weighing):
        fitted, around = _weighed(container, around, look)
    elif look:
        fitted, container = _sensed(container, around, look)
    plan = plan_weaning(container, around, ratio=ratio, steps=steps, tolerated_kpa=tolerated_kpa)
    advice = (*_told(fitted, look), *_advice(plan, Vents(container, around)), *ALWAYS)
    mouth = "mouth" if container.wall_mm == FILM_MM else "lid"
    return WeaningAnswer(plan, tuple(_words(step.opening, mouth) for step in plan.steps), advice, fitted)


def _weighed(container: Container, around: Surroundings, look: Weighing) -> tuple[Fitted, Surroundings]:
    check_within("number of open holes", look.holes, 0, 1000, "")
    wet = around.wet
    out, _ = Vents(container, around).out_m3_s(Opening("holes", look.holes, container.hole_mm))
    saturated = absolute_humidity_g_m3(saturation_vapour_pressure_kpa(wet.leaf_c), wet.leaf_c)
    fitted = conductance_inside(
        look.lost_g,
        look.hours,
        scale_error_g=look.scale_error_g,
        out_m3_s=out,
        difference_g_m3=saturated - absolute_humidity_g_m3(around.room_kpa, around.room_c),
        expected_m3_s=wet.total_m3_s,
        prior_log_sd=around.wet_log_sd,
    )
    share = fitted.likely / wet.total_m3_s
    wet = replace(wet, leaf_m3_s=share * wet.leaf_m3_s, medium_m3_s=share * wet.medium_m3_s)
    return fitted, replace(around, wet=wet, wet_log_sd=fitted.log_sd)


def _sensed(container: Container, around: Surroundings, look: Sensor) -> tuple[Fitted, Container]:
    saturation = saturation_vapour_pressure_kpa(around.wet.leaf_c)
    fitted = conductance_outward(
        look.humidity_pct,
        sensor_error_pct=look.error_pct,
        room_humidity_pct=100 * around.room_kpa / saturation,
        inside_m3_s=around.wet.total_m3_s,
        expected_m3_s=container.leak_m3_s,
    )
    return fitted, replace(container, leak_m3_s=fitted.likely)


def _step(step: Step, opening: str) -> dict[str, object]:
    return {
        "start": step.start_h,
        "hours": step.hours,
        "opening": opening,
        "humidity_pct": step.humidity_pct.likely,
        "low": step.humidity_pct.low,
        "high": step.humidity_pct.high,
        "vpd_kpa": step.vpd_kpa.likely,
        "vpd_low_kpa": step.vpd_kpa.low,
        "vpd_high_kpa": step.vpd_kpa.high,
        "water_g_per_day": step.water_g_per_day.likely,
        "water_low_g_per_day": step.water_g_per_day.low,
        "water_high_g_per_day": step.water_g_per_day.high,
        "ratio": step.ratio,
        "sign": SIGNS[step.opening.how],
    }


def _words(opening: Opening, mouth: str) -> str:
    if opening.how == "room":
        return "out in the room"
    if opening.how == "mouth":
        wide = f"{opening.size_mm:.0f} mm" if opening.size_mm >= 1 else "less than 1 mm"
        return f"{mouth} open {wide}"
    few, many = math.floor(opening.count + 0.1), math.ceil(opening.count - 0.1)
    holes = f"{few}" if few >= many else f"{few}-{many}"
    return f"{holes} {'hole' if holes == '1' else 'holes'} of {opening.size_mm:.2g} mm"


def _told(fitted: Fitted | None, look: Weighing | Sensor | None) -> list[str]:
    """Say what the look was worth, and how long to wait where it was worth nothing."""
    if fitted is None:
        return ["Leaves and medium are first guesses: two weighings or a sensor narrow the ranges."]
    if fitted.learned:
        return ["Your look narrowed the forecast."]
    if isinstance(look, Sensor):
        return ["Cannot tell yet: so near saturation a sensor says little. Read it again with holes open."]
    if fitted.wait_h is None:
        return ["Cannot tell yet: the closed bag loses too little. Weigh again with holes open."]
    days = math.ceil(fitted.wait_h / 24)
    return [
        f"Cannot tell yet: weigh again {days} {'day' if days == 1 else 'days'} apart, or with holes open."
    ]


def _advice(plan: WeaningPlan, vents: Vents) -> list[str]:
    return [*_holes(plan, vents), *_jump(plan, vents), *_warm(vents.around.wet.leaf_c)]


def _holes(plan: WeaningPlan, vents: Vents) -> list[str]:
    """Pin holes hardly dry the air; where the plan starts with the mouth, say why."""
    if plan.steps[0].opening.how != "mouth":
        return []
    size = vents.container.hole_mm
    air = vents.air(vents.out_m3_s(Opening("holes", MOST_HOLES, size))[0])
    humidity = 100 * air.vapour_kpa / saturation_vapour_pressure_kpa(vents.around.wet.leaf_c)
    return [
        f"Even {MOST_HOLES} holes of {size:g} mm leave the air at {humidity:.0f} %: what dries is the mouth.",
        "Draughts decide how much an open mouth dries: believe the leaves before the figure.",
    ]


def _jump(plan: WeaningPlan, vents: Vents) -> list[str]:
    if plan.keeps_ratio:
        return []
    jump = plan.largest_jump
    ratio = plan.steps[jump - 1].ratio
    wide = len(plan.steps) > 1 and plan.steps[-2].opening == vents.widest
    remedy = "Mist the leaves, stand a box over the pots" if wide else "Take more steps"
    return [
        f"Step {jump} raises the pull on the leaves {ratio:.1f}-fold, more than {plan.ratio:.1f}-fold.",
        f"{remedy}, or wait for moister air.",
    ]


def _warm(inside_c: float) -> list[str]:
    if inside_c <= TOO_WARM_C:
        return []
    return [f"{inside_c:g} °C inside is too warm: shade it, lift the lamp or open the mouth now."]
