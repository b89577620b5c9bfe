"""A curve through readings that rises where they rise, falls where they fall, and has no kink.

Monotone cubics jump in their second derivative at each reading, and those jumps show as peaks of strain at the edge of
the piece. So this one is a quintic Hermite: slopes of the monotone cubic, and one second derivative a reading, as near
to the cubic's own as monotony allows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# Quintic Hermite basis on [0, 1] (value, slope, second derivative at both ends), highest power first.
_BASIS = np.array(
    [
        [-6, 15, -10, 0, 0, 1],
        [-3, 8, -6, 0, 1, 0],
        [-0.5, 1.5, -1.5, 0.5, 0, 0],
        [6, -15, 10, 0, 0, 0],
        [-3, 7, -4, 0, 0, 0],
        [0.5, -1, 0.5, 0, 0, 0],
    ]
)
_SAMPLE = np.linspace(0.0, 1.0, 65)
_SLOPES = np.array([np.polyval(np.polyder(row), _SAMPLE) for row in _BASIS])


@dataclass(frozen=True)
class Curve:
    """Smooth monotone interpolant; straight beyond its ends.

    knots (n,) ascending; pieces (n - 1, 6): coefficients on each interval, of powers 0 to 5 of the share of the
    interval behind us; a single reading is a constant (pieces empty). bends (n,): second derivatives at the knots.
    """

    knots: Array
    values: Array
    slopes: Array
    bends: Array
    pieces: Array

    def __call__(self, x: Array | float) -> Array:
        """Values at x."""
        x = np.asarray(x, dtype=float)
        if len(self.knots) == 1:
            return np.full_like(x, self.values[0])
        inside, s, _, c = self._on(x)
        value = c[0] + s * (c[1] + s * (c[2] + s * (c[3] + s * (c[4] + s * c[5]))))
        beyond = x - inside
        return np.asarray(value + beyond * np.where(beyond < 0, self.slopes[0], self.slopes[-1]))

    def slope(self, x: Array | float) -> Array:
        """First derivative at x."""
        x = np.asarray(x, dtype=float)
        if len(self.knots) == 1:
            return np.zeros_like(x)
        _, s, step, c = self._on(x)
        return np.asarray((c[1] + s * (2 * c[2] + s * (3 * c[3] + s * (4 * c[4] + s * 5 * c[5])))) / step)

    def _on(self, x: Array) -> tuple[Array, Array, Array, Array]:
        """x held within the knots, its share of its interval, the interval's length, its coefficients (6, ...)."""
        inside = np.clip(x, self.knots[0], self.knots[-1])
        i = np.clip(np.searchsorted(self.knots, inside, side="right") - 1, 0, len(self.knots) - 2)
        step = self.knots[i + 1] - self.knots[i]
        return inside, (inside - self.knots[i]) / step, step, np.moveaxis(self.pieces[i], -1, 0)


def smooth_monotone(knots: Array, values: Array) -> Curve:
    """The curve through (knots, values): twice continuously differentiable, monotone between readings.

    Slopes: of the monotone cubic (Fritsch and Carlson), limited to twice the smaller neighbouring rise; second
    derivatives: the mean of the cubic's two limits, shrunk where they would break monotony.
    Source: fritsch-carlson-1980 for the slopes; quintic Hermite is textbook. Tested: monotone data stay monotone,
    the second derivative is continuous, a straight line is kept.

    >>> curve = smooth_monotone(np.array([0.0, 50.0, 100.0]), np.array([80.0, 90.0, 100.0]))
    >>> float(round(curve(25.0).item(), 6))
    85.0
    """
    x, y = np.asarray(knots, dtype=float), np.asarray(values, dtype=float)
    n = len(x)
    if n == 1:
        return Curve(x, y, np.zeros(1), np.zeros(1), np.zeros((0, 6)))
    rise = np.diff(y) / np.diff(x)
    if n == 2:
        return _curve(x, y, np.full(2, rise[0]), np.zeros(2))
    slopes = _cubic_slopes(np.diff(x), rise)
    limit = 2 * np.minimum(np.abs(np.r_[rise[0], rise]), np.abs(np.r_[rise, rise[-1]]))
    slopes = np.clip(slopes, -limit, limit)
    bends = _mean_bends(x, rise, slopes)
    return _curve(x, y, slopes, bends * _allowed(x, y, slopes, bends))


def _cubic_slopes(step: Array, rise: Array) -> Array:
    """Slopes of the monotone cubic at the knots: inside, the weighted harmonic mean of the neighbouring rises (0 where
    they differ in sign); at the ends, the parabola's, held to the end interval's rise.
    Source: fritsch-butland-1984; ends as in the NAG and SLATEC routines (from memory). Tested against scipy's."""
    slopes = np.zeros(len(step) + 1)
    w1, w2 = 2 * step[1:] + step[:-1], step[1:] + 2 * step[:-1]
    same = rise[1:] * rise[:-1] > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        slopes[1:-1] = np.where(same, (w1 + w2) / (w1 / rise[:-1] + w2 / rise[1:]), 0.0)
    for end, inner in ((0, 1), (-1, -2)):
        h0, h1, r0, r1 = step[end], step[inner], rise[end], rise[inner]
        slope = ((2 * h0 + h1) * r0 - h0 * r1) / (h0 + h1)
        if slope * r0 <= 0:
            slope = 0.0
        elif r0 * r1 <= 0 and abs(slope) > 3 * abs(r0):
            slope = 3 * r0
        slopes[end] = slope
    return slopes


def _curve(x: Array, y: Array, slopes: Array, bends: Array) -> Curve:
    step = np.diff(x)
    ends = [y[:-1], slopes[:-1] * step, bends[:-1] * step**2, y[1:], slopes[1:] * step, bends[1:] * step**2]
    return Curve(x, y, slopes, bends, np.stack(ends, axis=-1) @ _BASIS[:, ::-1])


def _mean_bends(x: Array, rise: Array, slopes: Array) -> Array:
    step = np.diff(x)
    at_left = (6 * rise - 4 * slopes[:-1] - 2 * slopes[1:]) / step
    at_right = (-6 * rise + 2 * slopes[:-1] + 4 * slopes[1:]) / step
    return np.concatenate([at_left[:1], (at_right[:-1] + at_left[1:]) / 2, at_right[-1:]])


def _allowed(x: Array, y: Array, slopes: Array, bends: Array) -> Array:
    """Share of each second derivative that keeps both neighbouring intervals monotone."""
    step = np.diff(x)[:, None]
    sign = np.sign(np.diff(y))[:, None]
    base = (
        y[:-1, None] * _SLOPES[0]
        + slopes[:-1, None] * step * _SLOPES[1]
        + y[1:, None] * _SLOPES[3]
        + slopes[1:, None] * step * _SLOPES[4]
    ) * sign
    worst = np.minimum(bends[:-1, None] * step**2 * _SLOPES[2] * sign, 0) + np.minimum(
        bends[1:, None] * step**2 * _SLOPES[5] * sign, 0
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        room = np.where(worst < 0, np.maximum(base, 0) / -worst, 1.0)
    share = np.clip(room.min(axis=1), 0.0, 1.0)
    flat = sign[:, 0] == 0
    share = np.where(flat, 0.0, share)
    return np.asarray(np.minimum(np.r_[1.0, share], np.r_[share, 1.0]))


def smooth_step(x: Array | float) -> Array:
    """0 below 0, 1 above 1, 10x^3 - 15x^4 + 6x^5 between: twice differentiable."""
    s = np.clip(np.asarray(x, dtype=float), 0.0, 1.0)
    return np.asarray(s**3 * (10 - 15 * s + 6 * s**2))
