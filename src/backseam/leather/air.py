"""Moist air at sea level: what the air of a room holds, and how fast it takes water from a wet face.

Temperatures in degrees C, pressures in Pa, humidity as a share 0-1, water in air in g/m3, fluxes in g/(m2 s).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from backseam.geom.root import root
from backseam.ground.errors import NotConverged
from backseam.ground.speech import PLAIN
from backseam.ground.units import Celsius, Share

Array: TypeAlias = NDArray[np.float64]
Pascal: TypeAlias = float

# Constants of ashrae-2017, chapter 1, where no other source is named.
PRESSURE: Pascal = 101_325.0  # standard atmosphere at sea level
KELVIN = 273.15
MOLAR_RATIO = 0.621945  # water to dry air
DRY_AIR = 287.042  # gas constant, J/(kg K)
VAPOUR = 461.52  # gas constant, J/(kg K)
OVER_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 6.5459673)
OVER_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
TRIPLE: Celsius = 0.01
COLDEST: Celsius = -90.0  # where a root is looked for
HEAT_AIR, HEAT_VAPOUR, HEAT_WATER, VAPORISED = 1.006, 1.86, 4.186, 2501.0  # kJ/(kg K), the last kJ/kg
WET_BULB_SLOPE = 2.326  # kJ/(kg K), fall of the heat of vaporisation in the wet-bulb equation
LATENT, LATENT_SLOPE = 2501.0, 2.36  # J/g and J/(g K), iapws-vaporisation
GRAMS = 1000.0  # per kg
SETTLED: Celsius = 1e-9
TURNS = 40


def saturation_pressure(temperature: ArrayLike) -> Array:
    """Pressure of saturated vapour, Pa, over water, or over ice below the triple point.

        ln p = c1/T + c2 + c3 T + c4 T^2 + c5 T^3 + c6 ln T                       T in kelvin

    -100 to 200 degrees C. Source: ashrae-2017, chapter 1, equations 5 and 6. Tested: against a library, 1e-9.

    >>> round(float(saturation_pressure(20.0)), 1)
    2338.8
    """
    t = np.asarray(temperature, dtype=float) + KELVIN
    a, b, c, d, e, f = OVER_WATER
    over_water = np.exp(a / t + b + t * (c + t * (d + t * e)) + f * np.log(t))
    a, b, c, d, e, g, f = OVER_ICE
    over_ice = np.exp(a / t + b + t * (c + t * (d + t * (e + t * g))) + f * np.log(t))
    return np.where(t <= KELVIN + TRIPLE, over_ice, over_water)


def vapour(temperature: ArrayLike, humidity: ArrayLike = 1.0) -> Array:
    """Water in air, g/m3, by the gas law.

        c = RH p_sat(T) / (R_v T)

    Source: ashrae-2017 (pressure), gas law. Tested: table of six states.

    >>> round(float(vapour(20.0, 0.5)), 3)                  # 0.5 x 2338.8 / (461.52 x 293.15) x 1000
    8.643
    """
    t = np.asarray(temperature, dtype=float)
    return np.asarray(GRAMS * np.asarray(humidity) * saturation_pressure(t) / (VAPOUR * (t + KELVIN)))


def humidity_ratio(temperature: ArrayLike, humidity: ArrayLike = 1.0, pressure: Pascal = PRESSURE) -> Array:
    """Mass of water on mass of dry air.

        W = 0.621945 p_v / (p - p_v)

    Source: ashrae-2017, chapter 1, equation 20. Tested: against a library, 1e-9.

    >>> round(float(humidity_ratio(20.0, 0.5)), 7)          # 0.621945 x 1169.4 / 100155.6
    0.0072617
    """
    p = np.asarray(humidity) * saturation_pressure(temperature)
    return np.asarray(MOLAR_RATIO * p / (pressure - p))


def enthalpy(temperature: ArrayLike, humidity: ArrayLike) -> Array:
    """Heat of moist air, kJ per kg of dry air, from dry air at 0 degrees C.

        h = 1.006 T + W (2501 + 1.86 T)

    Source: ashrae-2017, chapter 1, equation 30. Tested: against a library, 1e-9.

    >>> round(float(enthalpy(20.0, 0.5)), 2)                # 20.12 + 0.0072617 x 2538.2
    38.55
    """
    t = np.asarray(temperature, dtype=float)
    return np.asarray(HEAT_AIR * t + humidity_ratio(t, humidity) * (VAPORISED + HEAT_VAPOUR * t))


def air_density(temperature: ArrayLike, humidity: ArrayLike, pressure: Pascal = PRESSURE) -> Array:
    """Density of moist air, kg/m3.

        rho = (1 + W) p / (R T (1 + 1.6078 W))

    Source: ashrae-2017, chapter 1, equations 9b and 26. Tested: against a library, 1e-5.

    >>> round(float(air_density(20.0, 0.5)), 4)
    1.1989
    """
    t = np.asarray(temperature, dtype=float) + KELVIN
    ratio = humidity_ratio(temperature, humidity, pressure)
    return np.asarray((1 + ratio) * pressure / (DRY_AIR * t * (1 + ratio / MOLAR_RATIO)))


def dew_point(temperature: Celsius, humidity: Share) -> Celsius:
    """Temperature at which this air is saturated: where p_sat(T) is the pressure of the vapour.

    Down to -80 degrees C. Source: ashrae-2017, chapter 1. Tested: against a library, 0.001 K.

    >>> round(dew_point(20.0, 1.0), 6)
    20.0
    """
    pressure = humidity * float(saturation_pressure(temperature))
    return root(lambda t: float(saturation_pressure(t)) - pressure, COLDEST, temperature + 1.0)


def wet_bulb(temperature: Celsius, humidity: Share) -> Celsius:
    """Temperature of a wet thermometer in moving air: the heat it takes from the air evaporates its water.

        W = ((2501 - 2.326 T*) W_sat(T*) - 1.006 (T - T*)) / (2501 + 1.86 T - 4.186 T*)

    Above freezing. Source: ashrae-2017, chapter 1, equation 33. Tested: against a library, 0.001 K.

    >>> round(wet_bulb(20.0, 1.0), 6)
    20.0
    """
    ratio = float(humidity_ratio(temperature, humidity))

    def excess(t: Celsius) -> float:
        saturated = float(humidity_ratio(t))
        heat = (VAPORISED - WET_BULB_SLOPE * t) * saturated - HEAT_AIR * (temperature - t)
        return heat / (VAPORISED + HEAT_VAPOUR * temperature - HEAT_WATER * t) - ratio

    return root(excess, COLDEST, temperature)


def mass_transfer(convection: ArrayLike, air_heat: float, lewis: float) -> Array:
    """Coefficient of mass transfer, m/s, from that of heat transfer: heat and vapour leave by the same air.

        h_m = h_c / (rho c_p Le^(2/3))

    Source: incropera-2011, chapter 6 (Lewis relation). Tested: by hand; order of a lake in a summer wind.

    >>> round(float(mass_transfer(3.0, 1207.0, 0.86)), 5)   # 3 / (1207 x 0.9044)
    0.00275
    """
    return np.asarray(np.asarray(convection) / (air_heat * lewis ** (2 / 3)))


@dataclass(frozen=True)
class Film:
    """How air meets a face: heat by convection and by radiation, W/(m2 K), and vapour, m/s. Arrays of one shape."""

    convection: Array
    radiation: Array
    transfer: Array


def evaporation(
    activity: ArrayLike, temperature: Celsius, humidity: Share, film: Film
) -> tuple[Array, Array]:
    """Flux of water from a face into the room, g/(m2 s), and the temperature of the face.

    activity is the humidity in balance with the face: 1 while it is wet. The face cools until the heat that
    reaches it pays for the water that leaves:

        j = h_m (a c_sat(T_f) - c_room);   (h_c + h_r)(T - T_f) = L(T_f) j

    No heat comes through the leather. Still or gently moving air. Source: incropera-2011, chapter 6.
    Tested: 49, 34 and 55 g/(m2 h) of a wet face at 20/50, 20/65 and 23/50; none at the room's own humidity.

    >>> film = Film(np.array(3.0), np.array(5.5), mass_transfer(3.0, 1207.0, 0.86))
    >>> flux, face = evaporation(1.0, 20.0, 0.5, film)
    >>> round(3600 * float(flux)), round(float(face))
    (49, 16)
    """
    a = np.asarray(activity, dtype=float)
    room = vapour(temperature, humidity)
    heat = film.convection + film.radiation
    face = np.full(np.broadcast_shapes(a.shape, heat.shape), temperature, dtype=float)
    for _ in range(TURNS):
        saturated = vapour(face)
        flux = film.transfer * (a * saturated - room)
        latent = LATENT - LATENT_SLOPE * face
        left = heat * (temperature - face) - latent * flux
        slope = heat + latent * film.transfer * a * saturated * _log_slope(face) - LATENT_SLOPE * flux
        turn = left / slope
        face = face + turn
        worst = float(np.max(np.abs(turn)))
        if worst < SETTLED:
            return film.transfer * (a * vapour(face) - room), face
    raise NotConverged(PLAIN.say("wet.refuse.unsettled", left=worst))


def _log_slope(temperature: Array) -> Array:
    """d ln c_sat / dT, 1/K, over water."""
    t = temperature + KELVIN
    a, _, c, d, e, f = OVER_WATER
    return np.asarray(-a / t**2 + c + t * (2 * d + 3 * e * t) + (f - 1) / t)
