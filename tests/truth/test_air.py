"""Moist air against the psychrolib package (ashrae-2017), against a printed table, and textbook evaporation."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest

from backseam.leather.air import (
    PRESSURE,
    Film,
    air_density,
    dew_point,
    enthalpy,
    evaporation,
    humidity_ratio,
    mass_transfer,
    saturation_pressure,
    vapour,
    wet_bulb,
)
from backseam.leather.records import known

psychrolib.SetUnitSystem(psychrolib.SI)

# T, RH, p_sat, W, wet bulb, dew point, density, enthalpy, vapour g/m3: psychrolib 2.5.0, vapour with 461.52 J/(kg K)
STATES = [
    (20, 0.40, 2338.80, 0.0057959, 12.3551, 6.0043, 1.19995, 34.831, 6.9147),
    (20, 0.50, 2338.80, 0.0072617, 13.7834, 9.2724, 1.19890, 38.552, 8.6434),
    (20, 0.65, 2338.80, 0.0094734, 15.7997, 13.2272, 1.19732, 44.165, 11.2364),
    (23, 0.50, 2810.44, 0.0087467, 16.2469, 12.0284, 1.18570, 45.388, 10.2812),
    (25, 0.50, 3169.22, 0.0098810, 17.8894, 13.8640, 1.17696, 50.322, 11.5159),
    (27, 0.65, 3567.31, 0.0145661, 22.0035, 19.8611, 1.16589, 64.323, 16.7388),
]


@pytest.mark.parametrize("state", STATES)
def test_the_table_of_moist_air(state):
    t, rh, p_sat, ratio, wet, dew, density, heat, water = state
    assert float(saturation_pressure(t)) == pytest.approx(p_sat, abs=0.006)
    assert float(humidity_ratio(t, rh)) == pytest.approx(ratio, abs=6e-8)
    assert wet_bulb(t, rh) == pytest.approx(wet, abs=1e-3)  # the library halves its interval down to 0.001 K
    assert dew_point(t, rh) == pytest.approx(dew, abs=1e-3)
    assert float(air_density(t, rh)) == pytest.approx(density, abs=6e-6)
    assert float(enthalpy(t, rh)) == pytest.approx(heat, abs=6e-4)
    assert float(vapour(t, rh)) == pytest.approx(water, abs=6e-5)


@pytest.mark.parametrize("t", [-20.0, -5.0, 0.0, 5.0, 18.0, 31.0, 44.0, 60.0])
@pytest.mark.parametrize("rh", [0.05, 0.3, 0.55, 0.8, 1.0])
def test_moist_air_as_the_library_has_it(t, rh):
    ratio = psychrolib.GetHumRatioFromRelHum(t, rh, PRESSURE)
    assert float(saturation_pressure(t)) == pytest.approx(psychrolib.GetSatVapPres(t), rel=1e-9)
    assert float(humidity_ratio(t, rh)) == pytest.approx(ratio, rel=1e-9)
    assert float(enthalpy(t, rh)) * 1000 == pytest.approx(psychrolib.GetMoistAirEnthalpy(t, ratio), rel=1e-9)
    assert float(air_density(t, rh)) == pytest.approx(
        psychrolib.GetMoistAirDensity(t, ratio, PRESSURE), rel=1e-5
    )
    if rh * float(saturation_pressure(t)) > 5:
        assert dew_point(t, rh) == pytest.approx(psychrolib.GetTDewPointFromRelHum(t, rh), abs=2e-3)
    if t >= 5 and psychrolib.GetTWetBulbFromRelHum(t, rh, PRESSURE) > 0.5:
        assert wet_bulb(t, rh) == pytest.approx(psychrolib.GetTWetBulbFromRelHum(t, rh, PRESSURE), abs=2e-3)


def test_a_lake_on_a_summer_day():
    """27 degrees C, 30 % RH, 0.10 kg/(h m2): a coefficient of 1.54e-3 m/s. incropera-2011, inputs of a problem."""
    saturated = float(vapour(27.0))
    assert saturated == pytest.approx(25.75, abs=0.01)  # g/m3, the book's steam table
    assert 100 / 3600 / (saturated * (1 - 0.30)) == pytest.approx(1.54e-3, abs=0.005e-3)


def film(convection, radiation=5.5):
    transfer = mass_transfer(convection, known("film.air_heat").value, known("film.lewis").value)
    return Film(np.array(float(convection)), np.array(float(radiation)), transfer)


@pytest.mark.parametrize(
    ("t", "rh", "h_c", "h_r", "flux", "face"),
    [  # heat balance reckoned apart: g/(m2 h), temperature of the face to 0.1 K where it was given
        (20, 0.50, 3, 5.5, 49, 16.0),
        (20, 0.50, 3, 0, 29, None),
        (20, 0.50, 5, 5.5, 73, None),
        (20, 0.65, 3, 5.5, 34, 17.3),
        (20, 0.65, 3, 0, 20, None),
        (23, 0.50, 3, 5.5, 55, 18.6),
        (23, 0.50, 3, 0, 32, None),
    ],
)
def test_water_leaving_a_wet_face(t, rh, h_c, h_r, flux, face):
    given, at = evaporation(1.0, t, rh, film(h_c, h_r))
    assert 3600 * float(given) == pytest.approx(flux, abs=1.0)
    if face:
        assert float(at) == pytest.approx(face, abs=0.1)


def test_a_wet_face_without_radiation_is_near_the_wet_bulb():
    # Lewis number to 2/3 against 1: the thermometer's bulb stands in fast air; textbook
    _, face = evaporation(1.0, 20.0, 0.5, film(3.0, 0.0))
    assert float(face) == pytest.approx(wet_bulb(20.0, 0.5), abs=0.6)


def test_nothing_leaves_a_face_in_balance_with_the_room():
    flux, face = evaporation(0.5, 20.0, 0.5, film(3.0))
    assert float(flux) == pytest.approx(0.0, abs=1e-12)
    assert float(face) == pytest.approx(20.0, abs=1e-9)
