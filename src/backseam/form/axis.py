"""The axis of the form: straight, or bent in one plane, by arc length u from the bottom edge.

curvature > 0 means that the hollow side is +b (the seam) for a bend in the seam plane, +a (the right half) for a
bend sideways. Frame at u: tangent T, the direction of b (towards the seam), the direction of a.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from backseam.geom.curve import smooth_step
from backseam.geom.spline import spline
from backseam.ground.units import Mm, Radian

Array = NDArray[np.float64]

_FINE = 0.25  # mm, step of the integration along the axis
_RAMP = 10.0  # mm, length over which a bend begins and ends, at most half of it


class Plane(StrEnum):
    """Plane of the bend."""

    SEAM = "seam"
    SIDE = "side"


@dataclass(frozen=True)
class Bend:
    """How the maker measured a bend.

    An angle (radians, > 0 hollow towards the seam or the right) over the heights start to end; or offsets (m, 2) of the
    axis from a straightedge laid across the hollow side, at heights. Neither: straight.
    """

    plane: Plane = Plane.SEAM
    sign: int = 1
    angle: Radian = 0.0
    start: Mm = 0.0
    end: Mm = 0.0
    offsets: tuple[tuple[Mm, Mm], ...] = ()

    @property
    def straight(self) -> bool:
        """True if nothing bends."""
        return self.angle == 0 and not any(offset for _, offset in self.offsets)

    def curvature(self, u: Array) -> Array:
        """Curvature at u, 1/mm, signed."""
        if self.straight:
            return np.zeros_like(u)
        if self.offsets:
            return self.sign * _offset_curvature(np.array(self.offsets), u)
        length = max(self.end - self.start, 1e-6)
        ramp = min(_RAMP, length / 2)
        rise = smooth_step((u - self.start) / ramp + 0.5) - smooth_step((u - self.end) / ramp + 0.5)
        return self.sign * self.angle / length * rise


def _offset_curvature(offsets: Array, u: Array) -> Array:
    """The straightedge lies on the hollow side, so offsets grow where the axis bows away from it."""
    at, off = offsets[:, 0], offsets[:, 1]
    if len(at) < 3:
        return np.zeros_like(u)
    bow = spline(at, off, natural=True)
    inside = (u >= at[0]) & (u <= at[-1])
    slope = np.clip(bow(u, 1), -0.95, 0.95)
    return np.where(inside, -bow(u, 2) / np.sqrt(1 - slope**2), 0.0)


@dataclass(frozen=True)
class Axis:
    """A bend scaled to what the form allows. share: 1, or less if the bend was cut to stay valid."""

    bend: Bend
    share: float = 1.0

    def curvature(self, u: Array) -> Array:
        """1/mm, signed."""
        return self.share * self.bend.curvature(u)

    def frame(self, u: Array) -> tuple[Array, Array, Array, Array]:
        """Origin, direction of a, direction of b, and of the tangent at u (n,): each (n, 3).

        Space: x to the right, y towards the seam, z up along the straight part at u = 0.
        """
        low, high = min(float(u.min()), 0.0), max(float(u.max()), 1.0)
        fine = np.linspace(low, high, int((high - low) / _FINE) + 2)
        turn = _integral(fine, self.curvature(fine))
        turn -= np.interp(0.0, fine, turn)
        aside, up = (
            line - np.interp(0.0, fine, line)
            for line in (_integral(fine, np.sin(turn)), _integral(fine, np.cos(turn)))
        )
        q, s, z = np.interp(u, fine, turn), np.interp(u, fine, aside), np.interp(u, fine, up)
        zero, one = np.zeros_like(u), np.ones_like(u)
        sin, cos = np.sin(q), np.cos(q)
        if self.bend.plane is Plane.SEAM:
            return (
                _stack(zero, s, z),
                _stack(one, zero, zero),
                _stack(zero, cos, -sin),
                _stack(zero, sin, cos),
            )
        return _stack(s, zero, z), _stack(cos, zero, -sin), _stack(zero, one, zero), _stack(sin, zero, cos)


def _integral(x: Array, y: Array) -> Array:
    return np.concatenate([[0.0], np.cumsum((y[1:] + y[:-1]) / 2 * np.diff(x))])


def _stack(*columns: Array) -> Array:
    return np.stack(columns, axis=-1)
