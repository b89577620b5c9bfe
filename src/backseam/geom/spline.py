"""Cubic splines through points, for many curves at once, and a bicubic patch over a grid.

Written here although scipy has them: loading scipy's took longer than the rest of a whole run (see
`docs/decisions/0003`). Checked against scipy's own, to rounding.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Spline:
    """Twice continuously differentiable cubics. knots (n,) ascending; values and bends (n, ...), bends being the
    second derivatives at the knots. Beyond its ends the last cubic goes on."""

    knots: Array
    values: Array
    bends: Array

    def only(self, *part: slice) -> Spline:
        """Some of the curves: the splines of values[:, part]."""
        return Spline(self.knots, self.values[(slice(None), *part)], self.bends[(slice(None), *part)])

    def __call__(self, x: Array | float, order: int = 0) -> Array:
        """Values at x (m,), or derivatives of order 1 or 2: (m, ...)."""
        x = np.asarray(x, dtype=float)
        i, a, b, step = on_piece(self.knots, x)
        tail = (...,) + (None,) * (self.values.ndim - 1)
        a, b, step = a[tail], b[tail], step[tail]
        return combined(
            self.values[i], self.values[i + 1], self.bends[i], self.bends[i + 1], a, b, step, order
        )


def on_piece(knots: Array, x: Array) -> tuple[NDArray[np.intp], Array, Array, Array]:
    """Index of the piece that x lies on, its shares from the right and from the left end, and the piece's length."""
    i = np.clip(np.searchsorted(knots, x, side="right") - 1, 0, len(knots) - 2)
    step = knots[i + 1] - knots[i]
    b = (x - knots[i]) / step
    return i, 1 - b, b, step


def combined(
    y0: Array, y1: Array, m0: Array, m1: Array, a: Array, b: Array, step: Array, order: int = 0
) -> Array:
    """A cubic from its end values y and end bends m: a y0 + b y1 + ((a^3 - a) m0 + (b^3 - b) m1) step^2/6, or its
    first or second derivative. Source: textbook (spline by its moments)."""
    match order:
        case 0:
            return np.asarray(a * y0 + b * y1 + ((a**3 - a) * m0 + (b**3 - b) * m1) * (step**2 / 6))
        case 1:
            return np.asarray((y1 - y0) / step + ((3 * b**2 - 1) * m1 - (3 * a**2 - 1) * m0) * (step / 6))
    return np.asarray(a * m0 + b * m1)


def spline(knots: Array, values: Array, natural: bool = False) -> Spline:
    """The cubic spline through (knots, values[...]): third derivative continuous at the last inner knots, or, natural,
    straight at both ends. Two knots give a line, three (not natural) a parabola.

    >>> made = spline(np.array([0.0, 1.0, 2.0, 4.0]), np.array([0.0, 1.0, 8.0, 64.0]))     # a cubic is kept: x^3
    >>> float(round(made(3.0).item(), 9))
    27.0
    """
    x, y = np.asarray(knots, dtype=float), np.asarray(values, dtype=float)
    return Spline(x, y, bends_of(x, y, natural))


def bends_of(x: Array, y: Array, natural: bool = False) -> Array:
    """Second derivatives at the knots of the spline through (x, y[...])."""
    n = len(x)
    if n == 2:
        return np.zeros_like(y)
    h = np.diff(x)
    matrix = np.zeros((n, n))
    i = np.arange(1, n - 1)
    matrix[i, i - 1], matrix[i, i], matrix[i, i + 1] = h[:-1], 2 * (h[:-1] + h[1:]), h[1:]
    if natural:
        matrix[0, 0] = matrix[-1, -1] = 1.0
    elif n == 3:
        matrix[0, :2] = matrix[-1, 1:] = (1.0, -1.0)
    else:
        matrix[0, :3] = (-h[1], h[0] + h[1], -h[0])
        matrix[-1, -3:] = (-h[-1], h[-2] + h[-1], -h[-2])
    right = np.zeros((n, int(np.prod(y.shape[1:], dtype=int))))
    flat = y.reshape(n, -1)
    rise = np.diff(flat, axis=0) / h[:, None]
    right[1:-1] = 6 * np.diff(rise, axis=0)
    return np.asarray(np.linalg.solve(matrix, right).reshape(y.shape))


@dataclass(frozen=True)
class Patch:
    """A bicubic spline over a grid: x (n,), y (m,), values (n, m) and the bends along x, along y, and along both."""

    x: Array
    y: Array
    values: Array
    along_x: Array
    along_y: Array
    along_both: Array

    def __call__(self, x: Array, y: Array) -> Array:
        """Values at points (k,) each."""
        i, a, b, step_x = on_piece(self.x, x)
        j, c, d, step_y = on_piece(self.y, y)

        def across(z: Array, bends: Array, row: NDArray[np.intp]) -> Array:
            return combined(z[row, j], z[row, j + 1], bends[row, j], bends[row, j + 1], c, d, step_y)

        low, high = (across(self.values, self.along_y, row) for row in (i, i + 1))
        low_bend, high_bend = (across(self.along_x, self.along_both, row) for row in (i, i + 1))
        return combined(low, high, low_bend, high_bend, a, b, step_x)


def patch(x: Array, y: Array, values: Array) -> Patch:
    """The bicubic spline through values (n, m) on the grid x (n,), y (m,)."""
    along_x = bends_of(x, values)
    along_y = bends_of(y, values.T).T
    return Patch(x, y, values, along_x, along_y, bends_of(x, along_y))
