"""The form's neutral layer as the moulded piece feels it: the metric of (u, v), and where a point lies in space.

u is the height along the axis, v the share of the half girth: 0 on the centre line, 1 on the right stitch line, -1 on
the left one, beyond them the flange, |v| = 1 + w/width. Only lengths on the surface matter to leather that slides on
it without friction:

    ds^2 = uu du^2 + 2 uv du dv + vv dv^2,   uu = S_u . S_u, uv = S_u . S_v, vv = |S_v|^2 = (L/2)^2

The tables stand on heights and columns of their own, not on those of the flattening mesh.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline, RectBivariateSpline

from backseam.form.axis import Plane
from backseam.form.fillet import neutral_path
from backseam.form.form import Form
from backseam.ground.units import Mm

Array = NDArray[np.float64]

_BEYOND: Mm = 16.0  # how far past bottom edge and mouth the form is known: ends of the piece slide there
_PITCH: Mm = 2.0  # heights of the tables
_FINE: Mm = 0.75  # and over the run-out below the flap
_COLUMNS, _BACK, _BREAK = 56, 24, 0.9  # columns of the tables, denser near the fillet
_FLANGE = np.array([1.0, 1.5, 2.0])  # exact there: the metric is a quadratic of q


@dataclass(frozen=True)
class Metric:
    """uu, uv, vv at points, and their slopes in u and in v: value, du, dv, each (n, 3) in that order."""

    value: Array
    du: Array
    dv: Array


@dataclass(frozen=True)
class Patch:
    """Tables of one region: the wall, or one side's flange. vv depends on u alone."""

    uu: RectBivariateSpline
    uv: RectBivariateSpline
    vv: CubicSpline

    def at(self, u: Array, v: Array) -> Metric:
        """The metric at points (n,)."""
        value, du, dv = (
            [table.ev(u, v, dx=a, dy=b) for table in (self.uu, self.uv)] for a, b in ((0, 0), (1, 0), (0, 1))
        )
        return Metric(
            np.stack([*value, self.vv(u)], axis=-1),
            np.stack([*du, self.vv(u, 1)], axis=-1),
            np.stack([*dv, np.zeros_like(u)], axis=-1),
        )


@dataclass(frozen=True)
class Skin:
    """The neutral layer: of one half if both are the same, else of both.

    patches: 0 the wall, 1 the right flange, -1 the left one. front: length of the front line at u, 0 at u = 0.
    half: L/2 at u, mm. turn: curvature of the section at (u, |v|), 1/mm, positive where leather is pressed on the
    form. section: a and b at (u, |v|) of the right half, wall only. low, high: heights between which the tables
    hold. width: of the flange.
    """

    form: Form
    patches: dict[int, Patch]
    front: CubicSpline
    half: CubicSpline
    turn: RectBivariateSpline
    section: tuple[RectBivariateSpline, RectBivariateSpline]
    low: Mm
    high: Mm
    width: Mm

    @property
    def mirrored(self) -> bool:
        """True if the left half is the right one's mirror image."""
        return -1 not in self.patches

    def space(self, u: Array, v: Array) -> Array:
        """Where points lie, (n, 3): x to the right, y towards the seam, z up at the bottom edge."""
        q = np.abs(v)
        across, deep = (table.ev(u, np.minimum(q, 1.0)) for table in self.section)
        deep = deep + np.maximum(q - 1.0, 0.0) * self.width
        origin, a, b, _ = self.form.axis.frame(u)
        return np.asarray(origin + (np.sign(v) * across)[:, None] * a + deep[:, None] * b)


def skin(form: Form) -> Skin:
    """The neutral layer of a form as tables; see the module."""
    u = _heights(form)
    q = np.concatenate([np.linspace(0, _BREAK, _COLUMNS)[:-1], np.linspace(_BREAK, 1, _BACK)])
    path = neutral_path(form.sections(u), form.wrap(u))
    points, tangents = path.at(q)
    axis = _Along(u, form.axis.frame(u))
    sides = (1,) if form.axis.bend.straight or form.axis.bend.plane is Plane.SEAM else (1, -1)
    made = [axis.slopes(points, tangents, path.half, side) for side in sides]
    (s_u, s_v), *left = made
    v = q
    if left:
        v = np.concatenate([-q[:0:-1], q])
        (l_u, l_v) = left[0]
        s_u, s_v = (np.concatenate([x[:, :0:-1], y], axis=1) for x, y in ((l_u, s_u), (-l_v, s_v)))
    width = form.laid.trimmed
    patches = {0: _patch(u, v, s_u, s_v, path.half**2)}
    for side, (edge, _) in zip(sides, made, strict=True):
        patches[side] = _patch(u, *axis.flange(edge[:, -1:], side, width), np.full_like(u, width**2))
    speed = CubicSpline(u, np.linalg.norm(made[0][0][:, 0], axis=1)).antiderivative()
    way = np.unwrap(np.arctan2(tangents[..., 1], tangents[..., 0]), axis=1)
    return Skin(
        form=form,
        patches=patches,
        front=CubicSpline(u, speed(u) - speed(0.0)),
        half=CubicSpline(u, path.half),
        turn=RectBivariateSpline(u, q, np.gradient(way, q, axis=1) / path.half[:, None], kx=1, ky=1),
        section=(RectBivariateSpline(u, q, points[..., 0]), RectBivariateSpline(u, q, points[..., 1])),
        low=float(u[0]),
        high=float(u[-1]),
        width=width,
    )


def _heights(form: Form) -> Array:
    """Heights of the tables: 2 mm apart from below the bottom edge to above the mouth, closer over the run-out."""
    low, high = -_BEYOND, form.marks.mouth + _BEYOND
    even = np.linspace(low, high, int((high - low) / _PITCH) + 1)
    if form.laid.flap == 0:
        return even
    end = form.marks.mouth - form.laid.depth
    start = end - form.laid.runout
    close = np.linspace(start, end, int(form.laid.runout / _FINE) + 2)
    apart = np.abs(even[:, None] - close[None, :]).min(axis=1) > _PITCH / 3
    return np.sort(np.concatenate([even[apart], close]))


@dataclass(frozen=True)
class _Along:
    """Heights u (n,) and the axis' frame there."""

    u: Array
    frame: tuple[Array, Array, Array, Array]

    def slopes(self, points: Array, tangents: Array, half: Array, side: int) -> tuple[Array, Array]:
        """S_u and S_q of one half, (n, m, 3) each; only along u is there a spline."""
        origin, a, b, _ = self.frame
        space = origin[:, None] + side * points[..., :1] * a[:, None] + points[..., 1:] * b[:, None]
        way = side * tangents[..., :1] * a[:, None] + tangents[..., 1:] * b[:, None]
        return CubicSpline(self.u, space, axis=0)(self.u, 1), half[:, None, None] * way

    def flange(self, edge: Array, side: int, width: Mm) -> tuple[Array, Array, Array]:
        """v, S_u and S_v of one side's flange, straight on from its stitch line along b; edge: S_u there (n, 1,
        3)."""
        b = self.frame[2]
        out = (_FLANGE - 1.0)[None, :, None] * width
        s_u = edge + out * CubicSpline(self.u, b)(self.u, 1)[:, None]
        s_v = np.broadcast_to(side * width * b[:, None], s_u.shape)
        order = slice(None, None, side)
        return (side * _FLANGE)[order], s_u[:, order], s_v


def _patch(u: Array, v: Array, s_u: Array, s_v: Array, vv: Array) -> Patch:
    uu, uv = (RectBivariateSpline(u, v, (s_u * x).sum(axis=2), ky=min(3, len(v) - 1)) for x in (s_u, s_v))
    return Patch(uu, uv, CubicSpline(u, vv))
