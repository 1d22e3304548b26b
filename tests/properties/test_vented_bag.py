"""What must hold for any bag in any room."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.science.air import saturation_vapour_pressure_kpa, vapour_pressure_kpa
from graftwright.science.bag import Wet, vented_bag

conductance = st.floats(1e-9, 1e-2)
celsius = st.floats(0, 45)
humidity = st.floats(0, 100)
same = settings(derandomize=True, deadline=None, max_examples=300)


@same
@given(conductance, st.floats(0, 1e-2), celsius, humidity, conductance, st.floats(0, 1e-2))
def test_more_openings_are_never_wetter(
    leaf: float, medium: float, warm: float, moist: float, out: float, more: float
) -> None:
    wet, room = Wet(leaf, medium, warm, warm), vapour_pressure_kpa(warm, moist)
    less_air = vented_bag(wet, out, warm, room)
    more_air = vented_bag(wet, out + more, warm, room)
    assert more_air.vapour_kpa <= less_air.vapour_kpa * (1 + 1e-12)


@same
@given(conductance, conductance, conductance, celsius, humidity, st.floats(0.1, 15))
def test_a_hotter_leaf_meets_a_larger_deficit(
    leaf: float, medium: float, out: float, room_c: float, moist: float, hotter: float
) -> None:
    room = vapour_pressure_kpa(room_c, moist)
    cool = vented_bag(Wet(leaf, medium, room_c, room_c), out, room_c, room)
    hot = vented_bag(Wet(leaf, medium, room_c + hotter, room_c), out, room_c, room)
    assert hot.vpd_kpa > cool.vpd_kpa


@same
@given(conductance, conductance, celsius, humidity)
def test_a_tight_bag_is_saturated(leaf: float, medium: float, warm: float, moist: float) -> None:
    air = vented_bag(Wet(leaf, medium, warm, warm), 0.0, warm, vapour_pressure_kpa(warm, moist))
    saturated = saturation_vapour_pressure_kpa(warm)
    assert abs(air.vapour_kpa - saturated) <= 1e-12 * saturated
    assert abs(air.vpd_kpa) <= 1e-12


@same
@given(conductance, conductance, conductance, celsius, celsius, celsius, celsius, humidity)
def test_never_above_saturation_over_the_film(
    leaf: float,
    medium: float,
    out: float,
    leaf_c: float,
    medium_c: float,
    film_c: float,
    room_c: float,
    moist: float,
) -> None:
    room = vapour_pressure_kpa(room_c, moist)
    air = vented_bag(Wet(leaf, medium, leaf_c, medium_c), out, film_c, room)
    assert 0 <= air.vapour_kpa <= saturation_vapour_pressure_kpa(film_c)
    assert air.condensing == (air.vapour_kpa == saturation_vapour_pressure_kpa(film_c))


@same
@given(conductance, conductance, conductance, celsius, celsius, humidity)
def test_the_steady_air_lies_between_its_sources(
    leaf: float, medium: float, out: float, leaf_c: float, room_c: float, moist: float
) -> None:
    room = vapour_pressure_kpa(room_c, moist)
    air = vented_bag(Wet(leaf, medium, leaf_c, leaf_c), out, 60.0, room)
    low, high = sorted((room, saturation_vapour_pressure_kpa(leaf_c)))
    assert low * (1 - 1e-12) <= air.vapour_kpa <= high * (1 + 1e-12)
