"""A plane sheet taking up or giving off water, in closed form: to read soaking times from and to check the solver.

F = D t / l^2, with l half the thickness if both faces are open, the whole if one is sealed. Uniform at the start,
constant diffusivity.
"""

from __future__ import annotations

from functools import cache
from math import cos, erfc, pi, sin

import numpy as np
from numpy.typing import ArrayLike, NDArray

from backseam.geom.root import root
from backseam.ground.units import Share

Array = NDArray[np.float64]

TERMS = 60
_erfc = np.vectorize(erfc, otypes=[float])
NEVER = 1e-9  # an F before which nothing has moved
DONE = 20.0  # an F at which all is in
SWITCH = 0.21  # below it the series of short times, above it that of long times


def uptake(fourier: ArrayLike) -> Array:
    """Share of the change that is done when the faces are held at one water from the start.

    Two series for the same thing, each used where it is short:

        short: 2 sqrt(F) (1/sqrt(pi) + 2 sum (-1)^n ierfc(n/sqrt(F))),   ierfc z = exp(-z^2)/sqrt(pi) - z erfc z
        long:  1 - 8/pi^2 sum exp(-(2n+1)^2 pi^2 F/4) / (2n+1)^2

    Exact. Source: crank-1975, equations 4.18 and 4.20. Tested: table of 37 values, a value of 15 digits.

    >>> round(float(uptake(0.25)), 5)
    0.56223
    """
    f = np.maximum(np.asarray(fourier, dtype=float), 0.0)
    n = np.arange(TERMS)
    odd = (2 * n + 1.0) ** 2
    long = 1 - 8 / pi**2 * np.sum(np.exp(-np.multiply.outer(f, odd) * pi**2 / 4) / odd, axis=-1)
    root = np.sqrt(np.maximum(f, NEVER))
    z = np.divide.outer(1.0, root)[..., None] * (n[1:])
    images = np.sum((-1.0) ** n[1:] * (np.exp(-(z**2)) / np.sqrt(pi) - z * _erfc(z)), axis=-1)
    short = 2 * root * (1 / np.sqrt(pi) + 2 * images)
    return np.where(f < SWITCH, np.where(f > 0, short, 0.0), long)


@cache
def uptake_time(share: Share) -> float:
    """F at which that share is done: the inverse of `uptake`.

    Source: crank-1975. Tested: seven printed values, round trip.

    >>> round(uptake_time(0.9), 5)
    0.84809
    """
    return root(lambda f: float(uptake(f)) - share, 0.0, DONE)


def soaked_profile(depth: ArrayLike, fourier: float) -> Array:
    """Share of the change that is done at a depth, 0 at one face to 1 at the other, both held at one water.

        1 - 4/pi sum sin((2n+1) pi z) exp(-(2n+1)^2 pi^2 F/4) / (2n+1)            z = depth, F on half the thickness

    Trusted for F over 0.01. Source: crank-1975, equation 4.17. Tested: its mean is `uptake`.

    >>> round(float(soaked_profile(0.5, 0.84809)), 3)       # 1 - 4/pi exp(-2.0926)
    0.843
    """
    odd = 2 * np.arange(TERMS) + 1.0
    waves = np.sin(np.multiply.outer(np.asarray(depth, dtype=float), odd) * pi) / odd
    return np.asarray(1 - 4 / pi * (waves @ np.exp(-(odd**2) * pi**2 * fourier / 4)))


def uptake_with_film(fourier: ArrayLike, biot: float) -> Array:
    """The same share with a film on the face, Bi = h l / D.

        1 - sum 2 Bi^2 exp(-b^2 F) / (b^2 (b^2 + Bi^2 + Bi)),   b tan b = Bi

    Exact for a flux in proportion to the water at the face. Source: crank-1975, equation 4.53. Tested: table of 35.

    >>> round(float(uptake_with_film(1.0, 1.0)), 5)
    0.5296
    """
    f = np.asarray(fourier, dtype=float)
    roots = np.array([_film_root(n, biot) for n in range(TERMS)])
    weights = 2 * biot**2 / (roots**2 * (roots**2 + biot**2 + biot))
    return np.asarray(1 - np.exp(-np.multiply.outer(f, roots**2)) @ weights)


def _film_root(n: int, biot: float) -> float:
    """The root of b tan b = Bi between n pi and (n + 1/2) pi, as a zero of b sin b - Bi cos b."""
    low, high = n * pi, (n + 0.5) * pi
    sign = -1.0 if n % 2 else 1.0
    return root(lambda b: sign * (b * sin(b) - biot * cos(b)), low, high)
