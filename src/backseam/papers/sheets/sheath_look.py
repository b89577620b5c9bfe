"""Line and tone: a body seen from one side as a flat colour, a few washes of one brown, hatching on the dark side.

No gradient. Light comes from the upper left; each wash ends where the light falls to a level, so grooves and collar
bend the shade.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from backseam.ground.units import Mm, Radian
from backseam.papers.screen import Item, line
from backseam.papers.sheets.sheath_solid import Rings

Array = NDArray[np.float64]

TILT = 0.1  # seen so much from above
FRONT: Radian = -0.30
BACK: Radian = 0.50
LIGHT = np.array([-0.52, 0.40, 0.76])
LEVELS = (0.30, 0.42, 0.54, 0.66, 0.78, 0.90)
ACROSS = 40  # points of a body from its left edge to its right
THIN: Mm = 0.4  # washes narrower than this are left out
HATCH: Mm = 2.1  # hatching, line to line
FROM = 0.70  # as dark as where it begins


@dataclass(frozen=True)
class Camera:
    """From the front or the back, turned by an angle about the upright."""

    back: bool
    turn: Radian

    @property
    def right(self) -> Array:
        """What lies to the right in the picture."""
        c, s = cos(self.turn), sin(self.turn)
        return np.array([-c, s, 0.0] if self.back else [c, -s, 0.0])

    @property
    def towards(self) -> Array:
        """Towards the eye."""
        c, s = cos(self.turn), sin(self.turn)
        return np.array([s, c, 0.0] if self.back else [-s, -c, 0.0])

    def seen(self, points: Array) -> Array:
        """Points of space on the picture, (..., 2)."""
        depth = points @ self.towards
        return np.stack([points @ self.right, points[..., 2] - TILT * depth], axis=-1)

    def tone(self, normals: Array) -> Array:
        """0 in full light, 1 in the dark."""
        seen = np.stack([normals @ self.right, normals[..., 2], normals @ self.towards], axis=-1)
        return np.asarray(1 - np.maximum(seen @ LIGHT, 0.0))


@dataclass(frozen=True)
class Band:
    """A strip of a body from its left edge to its right, row by row from below: at (rows, ACROSS, 2), tone (rows,
    ACROSS)."""

    u: Array
    at: Array
    tone: Array

    @property
    def left(self) -> Array:
        """The left edge, upward."""
        return self.at[:, 0]

    @property
    def right(self) -> Array:
        """The right edge, upward."""
        return self.at[:, -1]

    @property
    def outline(self) -> Array:
        """Round the strip."""
        return np.concatenate([self.left, self.at[-1], self.right[::-1], self.at[0, ::-1]])

    def ring(self, u: Mm) -> Array:
        """The level line at a height, left to right."""
        row = float(np.interp(u, self.u, np.arange(len(self.u))))
        i = min(int(row), len(self.u) - 2)
        return np.asarray(self.at[i] + (row - i) * (self.at[i + 1] - self.at[i]))


def whole(rings: Rings, camera: Camera) -> Band:
    """The near side of a body with nothing before it, from edge to edge."""
    points, normals = rings.points, rings.normals
    if camera.back:  # the seam comes to the middle
        points, normals = (
            np.concatenate([v[:, rings.middle :], v[:, 1 : rings.middle + 1]], axis=1)
            for v in (points, normals)
        )
    x = points @ camera.right
    return _strip(rings.u, points, normals, camera, x.argmin(axis=1), x.argmax(axis=1))


def halves(rings: Rings, camera: Camera) -> tuple[Band, Band]:
    """The leather from the back: left edge to the seam, and seam to right edge."""
    x = rings.points @ camera.right
    first, last = np.zeros(len(rings.u), dtype=int), np.full(len(rings.u), rings.points.shape[1] - 1)
    near = _strip(rings.u, rings.points, rings.normals, camera, x.argmin(axis=1), last)
    far = _strip(rings.u, rings.points, rings.normals, camera, first, x.argmax(axis=1))
    return near, far


def _strip(
    u: Array, points: Array, normals: Array, camera: Camera, first: NDArray[np.intp], last: NDArray[np.intp]
) -> Band:
    """Columns first to last of each row, as many points in each."""
    column = first[:, None] + np.linspace(0.0, 1.0, ACROSS) * (last - first)[:, None]
    i = np.minimum(column.astype(int), points.shape[1] - 2)
    f = (column - i)[..., None]
    row = np.arange(len(u))[:, None]

    def between(field: Array) -> Array:
        return np.asarray(field[row, i] * (1 - f) + field[row, i + 1] * f)

    return Band(u, camera.seen(between(points)), camera.tone(between(normals)))


def body(band: Band, look: str, **data: str) -> Iterator[Item]:
    """Flat colour, washes, edges."""
    yield line(band.outline, look, closed=True, **data)
    yield from washes(band)
    yield line([band.left, band.right], "edge")


def washes(band: Band) -> Iterator[Item]:
    """From both edges inward, one for each level of light."""
    back = Band(band.u, band.at[:, ::-1], band.tone[:, ::-1])
    for level in LEVELS:
        once = np.asarray((band.tone > level).all(axis=1))  # a row that is dark all over is drawn once
        parts = [*_wash(band, level, np.zeros_like(once)), *_wash(back, level, once)]
        if parts:
            yield line(parts, "wash", closed=True)


def _wash(band: Band, level: float, skip: NDArray[np.bool_]) -> Iterator[Array]:
    """The dark strip along one edge."""
    dark = (band.tone > level) & ~skip[:, None]
    full = dark.all(axis=1)
    i = np.where(full, band.tone.shape[1] - 1, dark.argmin(axis=1))
    before, row = np.maximum(i - 1, 0), np.arange(len(band.u))
    a, b = band.tone[row, before], band.tone[row, i]
    share = np.clip((level - a) / np.where(b == a, 1.0, b - a), 0.0, 1.0)
    share = np.where(full, 1.0, np.where(i > 0, share, 0.0))
    end = band.at[row, before] + share[:, None] * (band.at[row, i] - band.at[row, before])
    wide = np.abs(end[:, 0] - band.left[:, 0])
    for part in _runs(wide > 1e-6):
        if wide[part].max() > THIN and part.stop - part.start > 1:
            yield np.concatenate([band.left[part], end[part][::-1]])


def _runs(keep: NDArray[np.bool_]) -> Iterator[slice]:
    """Stretches of rows that are kept, with one row more at each end."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], keep.astype(int), [0]])))
    for low, high in zip(edges[::2], edges[1::2], strict=True):
        yield slice(max(int(low) - 1, 0), min(int(high) + 1, len(keep)))


def hatching(band: Band, low: Mm, high: Mm, apart: Mm = HATCH, level: float = FROM) -> Iterator[Item]:
    """Short level strokes inward from the right edge, as far as it is dark; a hand's unevenness in their length."""
    strokes = []
    for k, u in enumerate(np.arange(low, high, apart)):
        row = float(np.interp(u, band.u, np.arange(len(band.u))))
        i = min(int(row), len(band.u) - 2)
        tone = band.tone[i] + (row - i) * (band.tone[i + 1] - band.tone[i])
        at = level + 0.055 * sin(2.4 * k) + 0.04 * sin(0.73 * k)
        light = np.flatnonzero(tone <= at)
        j = int(light[-1]) + 1 if len(light) else 0
        if len(tone) - j > 3:
            strokes.append(band.ring(float(u))[j:])
    if strokes:
        yield line(strokes, "hatch")
