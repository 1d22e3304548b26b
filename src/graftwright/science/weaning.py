"""Steps from the closed bag to the room, each a bounded rise of the pull on the leaves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from graftwright.errors import ValueComplaint
from graftwright.science.air import absolute_humidity_g_m3, saturation_vapour_pressure_kpa
from graftwright.science.limits import check_within
from graftwright.science.vents import INTERVAL_SDS, Container, Opening, Surroundings, Vents

LEAST_DEFICIT_KPA = 0.1
USUAL_STEPS = 4
MOST_STEPS = 60
HOURS_A_DOUBLING = 30.0  # first guess, near the days of common practice in a mild room
SECONDS_A_DAY = 86_400
ROOM = Opening("room")


class RatioTooSmall(ValueComplaint):
    """A ratio that does not let the air dry."""

    def __init__(self, ratio: float) -> None:
        super().__init__(
            f"The ratio between two steps must be above 1, not {ratio:g}.",
            do="Take 1.5 for a gentle way and 2 for a quick one.",
        )


@dataclass(frozen=True)
class Range:
    """A figure with its 80 % interval."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True)
class Step:
    """One step: when it starts and lasts [h], what to open, and the air that is to be expected.

    `ratio` compares its deficit with that of the step before, counted as 0.1 kPa at least.
    """

    start_h: int
    hours: int
    opening: Opening
    humidity_pct: Range
    vpd_kpa: Range
    water_g_per_day: Range
    ratio: float


@dataclass(frozen=True)
class WeaningPlan:
    """The closed container, the ratio that the steps were to keep, and the steps."""

    closed_vpd_kpa: float
    ratio: float
    steps: tuple[Step, ...]

    @property
    def largest_jump(self) -> int:
        """The number of the step with the largest ratio, counted from 1."""
        return 1 + max(range(len(self.steps)), key=lambda i: self.steps[i].ratio)

    @property
    def keeps_ratio(self) -> bool:
        """Whether no step is a larger jump than allowed; a rounding error is none."""
        return _within(self.steps[self.largest_jump - 1].ratio, self.ratio)


def plan_weaning(
    container: Container,
    around: Surroundings,
    *,
    ratio: float | None = None,
    steps: int | None = None,
    tolerated_kpa: float = 0.0,
) -> WeaningPlan:
    """Lay out the openings that lead from the closed container to the room.

    Parameters
    ----------
    container : Container
        Bag or box.
    around : Surroundings
        Room, leaves and medium.
    ratio : float, optional
        Largest ratio between the deficits of two steps [1], above 1. Without it the one that
        spreads the way from the closed container to the room evenly over the steps.
    steps : int, optional
        Number of steps, 1 to 60. Without it 4, or as many as a given `ratio` needs.
    tolerated_kpa : float
        Highest deficit at which the last look saw no flagging [kPa], 0 to 10.

    Returns
    -------
    WeaningPlan
        Each step with humidity [%], deficit [kPa] and water lost [g d⁻¹] with 80 % intervals. The
        last step is the room itself; where the mouth cannot open far enough its ratio is larger
        than allowed and `keeps_ratio` is false.

    Raises
    ------
    RatioTooSmall
        Where `ratio` is not above 1.
    OutOfRange
        Where another number lies outside its range.
    NothingWet
        Where nothing inside gives off water.

    Notes
    -----
    Deficit of step i at most ratio · max(deficit of step i-1, 0.1 kPa), by the balance of
    `vented_bag`. The rule, 0.1 kPa and the length of the steps (30 hours for each doubling of the
    deficit, a day at least) are first guesses. Conductances are log-normal; the interval of the
    water is that of their small errors.

    Examples
    --------
    >>> from graftwright.science.bag import Wet
    >>> bag = Container(leak_m3_s=2e-7, wall_mm=0.05, mouth_mm=200.0, widest_mm=100.0, hole_mm=5.0)
    >>> wet = Wet(leaf_m3_s=2e-5, medium_m3_s=3e-5, leaf_c=22.0, medium_c=22.0)
    >>> plan = plan_weaning(bag, Surroundings(22.0, 50.0, wet, wet_log_sd=0.7))
    >>> [round(step.humidity_pct.likely) for step in plan.steps], plan.keeps_ratio
    ([93, 86, 76, 50], False)
    """
    if ratio is not None and not 1 < ratio < math.inf:
        raise RatioTooSmall(ratio)
    if steps is not None:
        check_within("number of steps", steps, 1, MOST_STEPS, "")
    check_within("deficit the leaves bore", tolerated_kpa, 0.0, 10.0, "kPa")
    vents = Vents(container, around)
    start = max(vents.closed_vpd_kpa, tolerated_kpa, LEAST_DEFICIT_KPA)
    way = _Way(vents, start)
    number = steps or (USUAL_STEPS if ratio is None else len(way.openings(ratio, MOST_STEPS)) + 1)
    even = way.even_ratio(number)
    allowed = even if ratio is None else ratio
    openings = way.openings(min(even, allowed), number)
    return WeaningPlan(vents.closed_vpd_kpa, allowed, _timed(way.steps(openings)))


@dataclass(frozen=True)
class _Way:
    """The way from the air the leaves are used to, into the room."""

    vents: Vents
    start_kpa: float

    def openings(self, ratio: float, number: int) -> list[Opening]:
        """Open as far as the ratio allows, until the room is within reach or nothing opens further."""
        found: list[Opening] = []
        level = self.start_kpa
        while len(found) < number - 1 and not _within(self.room_kpa, ratio * level):
            opening = self.vents.opening_for(ratio * level)
            if found and opening == found[-1]:
                break
            found.append(opening)
            level = max(self.vents.vpd_kpa(opening), LEAST_DEFICIT_KPA)
        return found

    def even_ratio(self, number: int) -> float:
        """Spread the way evenly, in the logarithm, over this many steps."""
        return max(math.pow(self.room_kpa / self.start_kpa, 1 / number), 1.0)

    @property
    def room_kpa(self) -> float:
        """Deficit in the open room [kPa]."""
        return self.vents.around.room_vpd_kpa

    def steps(self, openings: list[Opening]) -> list[Step]:
        """Say what air each opening gives, and how far it is from the one before."""
        found: list[Step] = []
        level = self.start_kpa
        for opening in [*openings, ROOM]:
            step = _room_step(self.vents) if opening == ROOM else _vented_step(self.vents, opening)
            ratio = step.vpd_kpa.likely / level
            found.append(replace(step, ratio=ratio, hours=_hours(ratio)))
            level = max(step.vpd_kpa.likely, LEAST_DEFICIT_KPA)
        return found


def _within(value: float, bound: float) -> bool:
    return value <= bound * (1 + 1e-9)


def _hours(ratio: float) -> int:
    return max(24, 6 * math.ceil(HOURS_A_DOUBLING / 6 * math.log2(max(ratio, 1.0)) - 1e-9))


def _timed(steps: list[Step]) -> tuple[Step, ...]:
    starts = [sum(step.hours for step in steps[:i]) for i in range(len(steps))]
    return tuple(replace(step, start_h=start) for step, start in zip(steps, starts, strict=True))


def _vented_step(vents: Vents, opening: Opening) -> Step:
    around = vents.around
    out, out_sd = vents.out_m3_s(opening)
    sd = math.hypot(around.wet_log_sd, out_sd)
    moist, likely, dry = (vents.air(out * math.exp(k * INTERVAL_SDS * sd)) for k in (-1, 0, 1))
    saturation = saturation_vapour_pressure_kpa(around.wet.leaf_c)
    humidity = Range(*(min(100 * air.vapour_kpa / saturation, 100.0) for air in (dry, likely, moist)))
    share = out / (out + around.wet.total_m3_s)
    water_sd = math.hypot(share * around.wet_log_sd, (1 - share) * out_sd)
    inside = absolute_humidity_g_m3(likely.vapour_kpa, around.wet.leaf_c)
    water = _spread(_grams_a_day(out, inside, around), water_sd)
    return Step(0, 0, opening, humidity, Range(moist.vpd_kpa, likely.vpd_kpa, dry.vpd_kpa), water, 0.0)


def _room_step(vents: Vents) -> Step:
    around = vents.around
    humidity = Range(*(around.room_humidity_pct,) * 3)
    saturated = absolute_humidity_g_m3(saturation_vapour_pressure_kpa(around.room_c), around.room_c)
    water = _spread(_grams_a_day(around.wet.total_m3_s, saturated, around), around.wet_log_sd)
    return Step(0, 0, ROOM, humidity, Range(*(around.room_vpd_kpa,) * 3), water, 0.0)


def _grams_a_day(conductance_m3_s: float, inside_g_m3: float, around: Surroundings) -> float:
    outside = absolute_humidity_g_m3(around.room_kpa, around.room_c)
    return max(conductance_m3_s * (inside_g_m3 - outside) * SECONDS_A_DAY, 0.0)


def _spread(likely: float, log_sd: float) -> Range:
    factor = math.exp(INTERVAL_SDS * log_sd)
    return Range(likely / factor, likely, likely * factor)
