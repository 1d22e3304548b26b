"""One container in one room: from an opening to the air inside, and from wanted air to an opening."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from graftwright.science.air import saturation_vapour_pressure_kpa, vapour_pressure_kpa
from graftwright.science.bag import source_vapour_kpa, vented_bag
from graftwright.science.limits import check_within
from graftwright.science.openings import (
    diffusivity_m2_s,
    hole_conductance_m3_s,
    hole_diameter_mm,
    slit_conductance_m3_s,
)

if TYPE_CHECKING:
    from graftwright.science.bag import BagAir, Wet

MOST_HOLES = 24
DRAUGHT_M_S = 0.05  # first guess: nobody in a closed room would feel it
INTERVAL_SDS = 1.2815515655446004  # 10 and 90 % of a normal law

How = Literal["holes", "mouth", "room"]


@dataclass(frozen=True)
class Container:
    """What holds the grafts, and the smallest hole one can make in it.

    `leak_m3_s` is what the closed wall and tie let through, `mouth_mm` the length of the mouth or
    lid and `widest_mm` how far it opens.
    """

    leak_m3_s: float
    wall_mm: float
    mouth_mm: float
    widest_mm: float
    hole_mm: float

    def __post_init__(self) -> None:
        """Refuse what cannot be built."""
        check_within("leak of the closed container", self.leak_m3_s, 0.0, math.inf, "m³/s")
        check_within("wall thickness", self.wall_mm, 0.0, 100.0, "mm")
        check_within("length of the mouth", self.mouth_mm, 1.0, 10_000.0, "mm")
        check_within("widest opening", self.widest_mm, 1.0, 10_000.0, "mm")
        check_within("hole diameter", self.hole_mm, 0.1, 500.0, "mm")


@dataclass(frozen=True)
class Surroundings:
    """The room, what gives off water inside, and how well that is known.

    `wet_log_sd` is the standard deviation of the logarithm of the conductance inside.
    """

    room_c: float
    room_humidity_pct: float
    wet: Wet
    wet_log_sd: float

    @property
    def room_kpa(self) -> float:
        """Vapour pressure of the room [kPa]."""
        return vapour_pressure_kpa(self.room_c, self.room_humidity_pct)

    @property
    def room_vpd_kpa(self) -> float:
        """Deficit the leaves meet in the open room, where they have its temperature [kPa]."""
        return max(saturation_vapour_pressure_kpa(self.room_c) - self.room_kpa, 0.0)


@dataclass(frozen=True)
class Opening:
    """How to open: `count` holes of `size_mm`, the mouth `size_mm` wide, or out in the room.

    A count such as 7.4 lies between 7 and 8 holes; the air is foretold for what it says.
    """

    how: How
    count: float = 0.0
    size_mm: float = 0.0


def mouth_conductance_m3_s(
    mouth_mm: float, gap_mm: float, wall_mm: float, diffusivity: float
) -> tuple[float, float]:
    """Return between what bounds an open mouth exchanges air.

    Parameters
    ----------
    mouth_mm, gap_mm : float
        Length of the mouth and how far it stands open [mm], at least 0.
    wall_mm : float
        Thickness of the wall [mm], at least 0.
    diffusivity : float
        Diffusivity of vapour [m² s⁻¹], above 0.

    Returns
    -------
    tuple of float
        Still air, and a draught of 0.05 m s⁻¹ through half the opening [m³ s⁻¹].

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.

    Notes
    -----
    The lower bound is `slit_conductance_m3_s`; the draught is a first guess, not a measurement.

    Examples
    --------
    >>> still, draught = mouth_conductance_m3_s(200.0, 10.0, 0.05, 2.42e-5)
    >>> f"{still:.2g} {draught:.2g}"
    '1.8e-06 5.2e-05'
    """
    still = slit_conductance_m3_s(mouth_mm, gap_mm, wall_mm, diffusivity)
    return still, still + DRAUGHT_M_S * mouth_mm * gap_mm * 1e-6 / 2


@dataclass(frozen=True)
class Vents:
    """A container in its surroundings."""

    container: Container
    around: Surroundings

    @cached_property
    def diffusivity(self) -> float:
        """Diffusivity of vapour at the temperature of the room [m² s⁻¹]."""
        return diffusivity_m2_s(self.around.room_c)

    @cached_property
    def closed_vpd_kpa(self) -> float:
        """Deficit against the leaf while all is shut [kPa]."""
        return self.air(self.container.leak_m3_s).vpd_kpa

    @property
    def widest(self) -> Opening:
        """The mouth as far open as it goes."""
        return Opening("mouth", size_mm=self.container.widest_mm)

    def air(self, out_m3_s: float) -> BagAir:
        """Return the air inside with this conductance to the room [m³ s⁻¹]."""
        return vented_bag(self.around.wet, out_m3_s, self.around.room_c, self.around.room_kpa)

    def vpd_kpa(self, opening: Opening) -> float:
        """Return the deficit against the leaf behind an opening [kPa]."""
        return self.air(self.out_m3_s(opening)[0]).vpd_kpa

    def out_m3_s(self, opening: Opening) -> tuple[float, float]:
        """Return the conductance to the room [m³ s⁻¹] and the standard deviation of its logarithm.

        Still air and draught count as the 10 and 90 % points of an open mouth.
        """
        box = self.container
        if opening.how == "holes":
            one = hole_conductance_m3_s(opening.size_mm, box.wall_mm, self.diffusivity)
            return box.leak_m3_s + opening.count * one, 0.0
        still, draught = mouth_conductance_m3_s(box.mouth_mm, opening.size_mm, box.wall_mm, self.diffusivity)
        low, high = box.leak_m3_s + still, box.leak_m3_s + draught
        return math.sqrt(low * high), math.log(high / low) / (2 * INTERVAL_SDS)

    def opening_for(self, target_kpa: float) -> Opening:
        """Return the widest opening that keeps the deficit at or below the target [kPa]."""
        if self.vpd_kpa(self.widest) <= target_kpa:
            return self.widest
        room = self._conductance_for(target_kpa) - self.container.leak_m3_s
        one = hole_conductance_m3_s(self.container.hole_mm, self.container.wall_mm, self.diffusivity)
        if room < one:
            size = hole_diameter_mm(max(room, 0.0), self.container.wall_mm, self.diffusivity)
            return Opening("holes", 1.0, size)
        if room <= MOST_HOLES * one:
            return Opening("holes", room / one, self.container.hole_mm)
        return self._mouth_for(target_kpa)

    def _conductance_for(self, target_kpa: float) -> float:
        """Invert the balance of the bag."""
        vapour = saturation_vapour_pressure_kpa(self.around.wet.leaf_c) - target_kpa
        spare = source_vapour_kpa(self.around.wet) - vapour
        return self.around.wet.total_m3_s * spare / (vapour - self.around.room_kpa)

    def _mouth_for(self, target_kpa: float) -> Opening:
        """Halve the interval: the deficit rises with the gap."""
        low, high = 0.0, self.container.widest_mm
        for _ in range(60):
            gap = (low + high) / 2
            kept = self.vpd_kpa(Opening("mouth", size_mm=gap)) <= target_kpa
            low, high = (gap, high) if kept else (low, gap)
        return Opening("mouth", size_mm=low)
