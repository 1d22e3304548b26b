"""What two weighings, or a sensor in the bag, tell about its conductances.

Either is one equation, so either fits one unknown: never both.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.errors import ValueComplaint
from graftwright.science.limits import check_within

if TYPE_CHECKING:
    from collections.abc import Callable

PRIOR_LOG_SD = 0.7
GRID_POINTS = 241
GRID_SDS = 5.0
LITTLE_LEARNED = 0.9  # of the standard deviation that was there before
WANTED = 0.5
LONGEST_HOURS = 24.0 * 7


class NoDifference(ValueComplaint):
    """Inside and room do not differ, so nothing can be learned from what is lost."""

    def __init__(self) -> None:
        super().__init__(
            "The air of the room is as moist as the air inside, so a weighing tells nothing.",
            do="Weigh on a drier day.",
        )


@dataclass(frozen=True)
class Fitted:
    """A conductance [m³ s⁻¹] with its 80 % interval, and whether the look taught anything.

    `log_sd` is the standard deviation of its logarithm; `wait_h` how long a look must last [h] to
    halve that, None where more than a week would be needed.
    """

    low: float
    likely: float
    high: float
    log_sd: float
    learned: bool
    wait_h: float | None


def conductance_inside(
    lost_g: float,
    hours: float,
    *,
    scale_error_g: float,
    out_m3_s: float,
    difference_g_m3: float,
    expected_m3_s: float,
    prior_log_sd: float = PRIOR_LOG_SD,
) -> Fitted:
    """Fit what leaves and medium give off to the loss between two weighings.

    Parameters
    ----------
    lost_g : float
        Loss between the weighings [g]; a small negative one is scale error.
    hours : float
        Time between them [h], above 0, in steady light and with the same tie.
    scale_error_g : float
        Standard deviation of the error of one weighing [g], above 0.
    out_m3_s : float
        Known conductance of the openings [m³ s⁻¹], above 0.
    difference_g_m3 : float
        Absolute humidity of saturated air inside less that of the room [g m⁻³], above 0.
    expected_m3_s : float
        Median of the conductance inside before the weighing [m³ s⁻¹], above 0.
    prior_log_sd : float
        Standard deviation of its logarithm before the weighing [1], above 0.

    Returns
    -------
    Fitted
        Conductance inside after the weighing.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.
    NoDifference
        Where inside and room hold the same water.

    Notes
    -----
    Loss = time · difference / (1/G_in + 1/G_out), with a normal error of √2 scale errors and a
    log-normal prior, on a grid of 241 points over five standard deviations each way.

    Examples
    --------
    >>> fit = conductance_inside(9.0, 48.0, scale_error_g=1.0, out_m3_s=5e-6,
    ...                          difference_g_m3=10.0, expected_m3_s=5e-5)
    >>> f"{fit.likely:.2g}", fit.learned
    ('6.1e-05', True)
    """
    _check_positive(hours, scale_error_g, out_m3_s, expected_m3_s, prior_log_sd)
    if not difference_g_m3 > 0:
        raise NoDifference
    check_within("loss of weight", lost_g, -1e6, 1e6, "g")
    error = math.sqrt(2) * scale_error_g

    def loss_g(inside_m3_s: float) -> float:
        return 3600 * hours * difference_g_m3 / (1 / inside_m3_s + 1 / out_m3_s)

    fitted = _posterior(loss_g, lost_g, error, expected_m3_s, prior_log_sd)
    an_hour = loss_g(expected_m3_s) / hours * out_m3_s / (out_m3_s + expected_m3_s)
    wait = error * math.sqrt(1 / WANTED**2 - 1) / (prior_log_sd * an_hour)
    return _told(fitted, prior_log_sd, wait if wait <= LONGEST_HOURS else None)


def conductance_outward(
    humidity_pct: float,
    *,
    sensor_error_pct: float,
    room_humidity_pct: float,
    inside_m3_s: float,
    expected_m3_s: float,
    prior_log_sd: float = PRIOR_LOG_SD,
) -> Fitted:
    """Fit what a bag lets out to a sensor in it.

    Parameters
    ----------
    humidity_pct : float
        Reading in the bag [%], 0 to 105 (sensors read above 100).
    sensor_error_pct : float
        Standard deviation of its error [%], above 0.
    room_humidity_pct : float
        Vapour pressure of the room over saturation inside [%], 0 to below 100.
    inside_m3_s : float
        Conductance of leaves and medium [m³ s⁻¹], above 0, taken as known.
    expected_m3_s : float
        Median of the conductance outward before the reading [m³ s⁻¹], above 0.
    prior_log_sd : float
        Standard deviation of its logarithm before the reading [1], above 0.

    Returns
    -------
    Fitted
        Conductance to the room after the reading. Waiting does not sharpen a sensor: `wait_h` is
        None.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.
    NoDifference
        Where the room is saturated.

    Notes
    -----
    The balance of `vented_bag` for one temperature, a normal error and a log-normal prior, on the
    grid of `conductance_inside`.

    Examples
    --------
    >>> fit = conductance_outward(80.0, sensor_error_pct=2.0, room_humidity_pct=50.0,
    ...                           inside_m3_s=5e-5, expected_m3_s=2e-5)
    >>> f"{fit.likely:.2g}", fit.learned
    ('3.2e-05', True)
    """
    check_within("humidity in the bag", humidity_pct, 0.0, 105.0, "%")
    check_within("relative humidity of the room", room_humidity_pct, 0.0, math.inf, "%")
    _check_positive(1.0, sensor_error_pct, inside_m3_s, expected_m3_s, prior_log_sd)
    if room_humidity_pct >= 100:
        raise NoDifference

    def reading(out_m3_s: float) -> float:
        return 100 - (100 - room_humidity_pct) * out_m3_s / (out_m3_s + inside_m3_s)

    fitted = _posterior(reading, humidity_pct, sensor_error_pct, expected_m3_s, prior_log_sd)
    return _told(fitted, prior_log_sd, None)


def _check_positive(hours: float, error: float, first: float, second: float, log_sd: float) -> None:
    check_within("time", hours, 1e-3, math.inf, "h")
    check_within("error of scale or sensor", error, 1e-6, math.inf, "")
    check_within("conductance", first, 1e-12, math.inf, "m³/s")
    check_within("conductance", second, 1e-12, math.inf, "m³/s")
    check_within("spread of the expectation", log_sd, 1e-3, 10.0, "")


def _posterior(
    predict: Callable[[float], float], seen: float, error: float, expected: float, log_sd: float
) -> tuple[list[float], list[float]]:
    """Weigh a grid of logarithms by prior and likelihood; the weights sum to 1."""
    step = 2 * GRID_SDS / (GRID_POINTS - 1)
    scores = [-GRID_SDS + step * i for i in range(GRID_POINTS)]
    grid = [math.log(expected) + log_sd * score for score in scores]
    misfits = [(seen - predict(math.exp(g))) / error for g in grid]
    logs = [-(z * z + m * m) / 2 for z, m in zip(scores, misfits, strict=True)]
    top = max(logs)
    weights = [math.exp(value - top) for value in logs]
    total = math.fsum(weights)
    return grid, [weight / total for weight in weights]


def _told(posterior: tuple[list[float], list[float]], prior_log_sd: float, wait: float | None) -> Fitted:
    grid, weights = posterior
    mean = math.fsum(g * w for g, w in zip(grid, weights, strict=True))
    sd = math.sqrt(math.fsum((g - mean) ** 2 * w for g, w in zip(grid, weights, strict=True)))
    low, likely, high = (math.exp(_quantile(grid, weights, share)) for share in (0.1, 0.5, 0.9))
    return Fitted(low, likely, high, sd, sd < LITTLE_LEARNED * prior_log_sd, wait)


def _quantile(grid: list[float], weights: list[float], share: float) -> float:
    """Read between grid points: each weight is spread evenly over its own cell."""
    step = grid[1] - grid[0]
    below = 0.0
    for point, weight in zip(grid, weights, strict=True):
        if below + weight >= share:
            return point + step * ((share - below) / weight - 0.5)
        below += weight
    return grid[-1]
