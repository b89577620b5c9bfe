"""The neutral layer of the upper as a surface over (u, q), with its metric at the Gauss points of a mesh.

u runs along the axis from the bottom edge to the mouth. q runs round one half: 0 on the centre line (front), 1 on the
stitch line, and past 1 the flange: q = 1 + w / trimmed for a width w outside the stitch line. Positions round a section
come exactly from its outline; only along u is there a spline.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.form.axis import Plane
from backseam.form.fillet import Path, neutral_path
from backseam.form.form import Form
from backseam.geom.spline import Spline, spline

Array = NDArray[np.float64]

_GAUSS = np.array([-1.0, 1.0]) / np.sqrt(3.0)


@dataclass(frozen=True)
class Grid:
    """Nodes of the mesh. u (n_u,) ascending; q (n_q,) ascending from 0; seam: index of q = 1."""

    u: Array
    q: Array
    seam: int


@dataclass(frozen=True)
class Half:
    """Metric of one half at the Gauss points, (n_u - 1, n_q - 1, 2, 2): cell row and column, Gauss row and column.

    The surface's derivatives along q and u in a tangent frame (e1 along q, e2 across it): q1 = |S_q|, u1 = S_u . e1,
    u2 = S_u . e2 (S_q . e2 = 0). area: weight of the point, mm2.
    """

    q1: Array
    u1: Array
    u2: Array
    area: Array


@dataclass(frozen=True)
class Surface:
    """Both halves' metrics (one if they are the same), the front line's heights and the half lengths at the rows."""

    grid: Grid
    halves: tuple[Half, ...]
    half_length: Array  # (n_u,) L/2 at the rows
    front: Array  # (n_u,) length of the front line from the bottom edge
    seam_length: tuple[float, ...]  # of the stitch line in space, each half
    plain: NDArray[np.bool_]  # (n_u,) rows clear of the run-out below the flap


def grid_for(form: Form, rows: int = 30, wall: int = 8, fillet: int = 3, flange: int = 3) -> Grid:
    """Rows uniform along u, closer over the run-out below the flap; columns: wall, fillet, flange."""
    mouth, laid = form.marks.mouth, form.laid
    if laid.flap > 0 and mouth - laid.depth - laid.runout > 2 * laid.runout:
        flap_end = mouth - laid.depth
        stops = [0.0, flap_end - laid.runout, flap_end, mouth]
        step = mouth / (rows - 1)
        counts = [max(round(stops[1] / step), 4), 3, max(round(laid.depth / step), 3)]
        parts = [np.linspace(a, b, n + 1)[:-1] for a, b, n in zip(stops, stops[1:], counts, strict=False)]
        u = np.concatenate([*parts, [mouth]])
    else:
        u = np.linspace(0.0, mouth, rows)
    q = [
        np.linspace(0.0, 0.93, wall)[:-1],
        np.linspace(0.93, 1.0, fillet + 1),
        np.linspace(1.0, 2.0, flange + 1)[1:],
    ]
    return Grid(u, np.concatenate(q), wall - 1 + fillet)


def surface(form: Form, grid: Grid) -> Surface:
    """Positions and derivatives of the neutral layer on the grid's Gauss points."""
    stations = np.sort(np.concatenate([grid.u, (grid.u[1:] + grid.u[:-1]) / 2]))
    sections, wrap = form.sections(stations), form.wrap(stations)
    path = neutral_path(sections, wrap)
    q_mid = (grid.q[1:] + grid.q[:-1]) / 2
    q_gauss = (q_mid[:, None] + np.diff(grid.q)[:, None] / 2 * _GAUSS).ravel()
    u_mid = (grid.u[1:] + grid.u[:-1]) / 2
    u_gauss = (u_mid[:, None] + np.diff(grid.u)[:, None] / 2 * _GAUSS).ravel()
    points, tangents, speed = _round_section(path, np.concatenate([q_gauss, [0.0, 1.0]]), form.laid.trimmed)
    frame = form.axis.frame(stations)
    cell = np.diff(grid.u)[:, None] * np.diff(grid.q)[None, :] / 4
    sides = (1,) if form.axis.bend.straight or form.axis.bend.plane is Plane.SEAM else (1, -1)
    skins = [_skin(points, tangents, speed, frame, stations, side) for side in sides]
    fine = np.linspace(0.0, stations[-1], 8 * len(stations) + 1)
    lengths = [_lengths(skin.only(slice(-2, None), slice(3))(fine, 1), fine, grid.u) for skin in skins]
    return Surface(
        grid=grid,
        halves=tuple(_half(skin, u_gauss, cell) for skin in skins),
        half_length=path.half[::2],
        front=lengths[0][:, 0],
        seam_length=tuple(float(length[-1, 1]) for length in lengths),
        plain=plain_rows(form, grid.u),
    )


def plain_rows(form: Form, u: Array) -> NDArray[np.bool_]:
    """Heights (n,) clear of the run-out below the flap, whose step is the collar's, by 1 mm."""
    end = form.marks.mouth - form.laid.depth
    if form.laid.flap == 0:
        return np.ones(len(u), dtype=bool)
    return np.asarray((u < end - form.laid.runout - 1) | (u > end + 1))


def _round_section(path: Path, q: Array, trimmed: float) -> tuple[Array, Array, Array]:
    """Section-frame points (n, m, 2), unit tangents along q (n, m, 2), and |S_q| (n, m)."""
    inner = q <= 1.0
    n = len(path.half)
    points, tangents = path.at(np.minimum(q, 1.0))
    points = points.copy()
    points[:, ~inner, 1] += (q[~inner] - 1.0) * trimmed
    tangents = np.where(inner[None, :, None], tangents, np.array([0.0, 1.0]))
    speed = np.where(inner[None, :], np.broadcast_to(path.half[:, None], (n, len(q))), trimmed)
    return points, tangents, speed


def _skin(
    points: Array,
    tangents: Array,
    speed: Array,
    frame: tuple[Array, Array, Array, Array],
    stations: Array,
    side: int,
) -> Spline:
    """Position and S_q as one field (6 numbers a point), splined along u so that one spline gives S_u too."""
    origin, a, b, _ = frame
    space = origin[:, None] + side * points[..., :1] * a[:, None] + points[..., 1:] * b[:, None]
    way = speed[..., None] * (side * tangents[..., :1] * a[:, None] + tangents[..., 1:] * b[:, None])
    return spline(stations, np.concatenate([space, way], axis=2))


def _half(skin: Spline, u_gauss: Array, cell: Array) -> Half:
    s_u = skin.only(slice(-2), slice(3))(u_gauss, 1)
    s_q = skin.only(slice(-2), slice(3, None))(u_gauss)
    q1 = np.linalg.norm(s_q, axis=2)
    u1 = (s_u * s_q).sum(axis=2) / q1
    u2 = np.sqrt(np.maximum((s_u * s_u).sum(axis=2) - u1**2, 1e-12))
    rows, columns = cell.shape

    def by_cell(x: Array) -> Array:
        return x.reshape(rows, 2, columns, 2).transpose(0, 2, 1, 3)

    return Half(by_cell(q1), by_cell(u1), by_cell(u2), by_cell(q1 * u2) * cell[:, :, None, None])


def _lengths(way: Array, fine: Array, u: Array) -> Array:
    """Arc lengths (n_u, m) from the first station of m lines whose derivatives along u are way (n_fine, m, 3)."""
    speed = np.linalg.norm(way, axis=2)
    step = np.diff(fine)[:, None] * (speed[1:] + speed[:-1]) / 2
    run = np.concatenate([np.zeros((1, speed.shape[1])), np.cumsum(step, axis=0)])
    return np.stack([np.interp(u, fine, column) for column in run.T], axis=-1)
