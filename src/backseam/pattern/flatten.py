"""Flattening: the flat piece whose moulding strains the leather least, girth kept.

Unknown are the flat positions of the mesh nodes. Strain is that of the inverse map, in the flat leather's own axes
(its fibres are fixed there): with the gradients of x and y on the surface in an orthonormal tangent frame,

    e_xx = (1 - |grad x|^2)/2,  e_yy = (1 - |grad y|^2)/2,  g_xy = -grad x . grad y        (positive = stretched)
    E = sum over Gauss points of (1/2 e^T D e + compression terms) dA

with D plane-stress orthotropic and k times as stiff in compression. The centre line stays straight (x = 0 there), the
left half is the right one's mirror image, so both seam lines are equal by construction. For a sideways bend the two
halves of the form differ; both pull on the one mirrored piece.

Valid while strains stay below some 15 %: Gauss-Newton leaves out the second derivative of strain. Source: derived;
the method is Gauss-Newton on a finite-element energy. Tested: cylinder, cone (sheet-metal development), uniform bend,
a fine mesh, and reference parameterisations (libigl).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from backseam.geom.blocks import Factored, factored
from backseam.geom.spline import Patch, patch
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import default
from backseam.ground.units import Mm, Strain
from backseam.pattern.surface import Grid, Half, Surface

Array = NDArray[np.float64]

_SETTLED: Mm = 1e-3
_STEPS = 40
_FRESH = 2  # steps with a matrix of their own; then it is kept as long as each step is below _SLOW of the one before
_SLOW = 0.35
_GAUSS = np.array([-1.0, 1.0]) / np.sqrt(3.0)


@dataclass(frozen=True)
class Law:
    """The leather's resistance in its plane, as ratios: across and along the piece, Poisson, shear, compression."""

    across: float
    along: float
    poisson: float
    shear: float
    compression: float

    @classmethod
    def girth_kept(cls) -> Law:
        """The default: four times as stiff across, so that girth is held and the length gives."""
        names = ("stiffness_across", "stiffness_along", "poisson", "shear", "compression")
        return cls(*(default(f"flattening.{name}") for name in names))


@dataclass(frozen=True)
class Flat:
    """The flattened mesh. nodes (n_u, n_q, 2) mm, right half, allowance not in; strains in the middle of each cell,
    where bilinear cells are truest.

    stretch, squeeze: principal strains (n_u - 1, n_q - 1), the worse of the two halves; girth: strain round, in the
    wall, mean of each row of cells; flange: strain along at the trimmed edge (n_u - 1,).
    """

    grid: Grid
    nodes: Array
    stretch: Array
    squeeze: Array
    girth: Array
    flange: Array
    energy: float
    steps: int
    residual: Mm

    def patches(self) -> tuple[Patch, Patch]:
        """x and y over (u, q), bicubic, wall and fillet only (q up to 1)."""
        q = self.grid.q[: self.grid.seam + 1]
        x, y = (self.nodes[:, : self.grid.seam + 1, i] for i in (0, 1))
        return patch(self.grid.u, q, x), patch(self.grid.u, q, y)

    def strains(self) -> tuple[Strain, Strain]:
        """Largest stretch and largest squeeze in the wall, flange left out."""
        s = self.grid.seam
        return float(self.stretch[:, :s].max()), float(self.squeeze[:, :s].min())


def flatten(surface: Surface, law: Law, start: Array | None = None, progress: Progress = SILENT) -> Flat:
    """The flat piece of least strain. start: nodes to begin from (a neighbouring solution); default half girths."""
    grid = surface.grid
    x = _hand_start(surface) if start is None else start.copy()
    mesh = _Mesh(grid)
    metrics = tuple(mesh.metric(half) for half in surface.halves)
    energy, residual, before, steps = _energy(mesh, metrics, law, x), np.inf, np.inf, 0
    matrix: Factored | None = None
    for steps in range(1, _STEPS + 1):
        step(progress, steps, _STEPS, "flattening")
        slope, blocks = _assemble(mesh, metrics, law, x, matrix=steps <= _FRESH or residual > _SLOW * before)
        matrix = matrix if blocks is None else factored(*blocks)
        assert matrix is not None
        move = matrix.solve(-slope).reshape(x.shape)
        share = 1.0
        while share > 1e-4:
            tried = _energy(mesh, metrics, law, x + share * move)
            if tried <= energy:
                break
            share /= 2
        else:
            break
        x = x + share * move
        before, residual = residual, float(np.abs(share * move).max())
        energy = tried
        left = (
            residual**2 / before if np.isfinite(before) else residual
        )  # what the next step would move, at this rate
        if residual < _SETTLED or left < _SETTLED:
            break
    return _result(surface, mesh, metrics, x, energy, steps, residual)


def _hand_start(surface: Surface) -> Array:
    """Half lengths each side, heights along the front line; the flange straight outward."""
    grid = surface.grid
    wall = np.minimum(grid.q, 1.0) * surface.half_length[:, None]
    trimmed = surface.halves[0].q1[:, -1].mean()
    x = wall + np.maximum(grid.q - 1.0, 0.0) * trimmed
    return np.stack([x, np.broadcast_to(surface.front[:, None], x.shape)], axis=-1)


class _Mesh:
    """Index maps of bilinear cells on a grid. Unknowns stand row by row of the grid, node by node, x before y, so that
    a row hangs together only with its neighbours: the system is block tridiagonal."""

    def __init__(self, grid: Grid) -> None:
        n_u, n_q = len(grid.u), len(grid.q)
        node = np.arange(n_u * n_q).reshape(n_u, n_q)
        corners = np.stack([node[:-1, :-1], node[:-1, 1:], node[1:, :-1], node[1:, 1:]], axis=-1)
        self.shape = (n_u, n_q)
        self.corners = corners.reshape(-1, 4)
        self.size = 2 * n_u * n_q
        self.block = 2 * n_q
        unknown = 2 * corners.reshape(-1, 4)
        self.places = np.concatenate([unknown, unknown + 1], axis=1)  # x of four corners, then y
        row, column = np.broadcast_arrays(self.places[:, :, None], self.places[:, None, :])
        m = self.block
        here = (column // m) * m * m + (row % m) * m + column % m  # in the blocks on the diagonal
        down = (
            row // m - column // m
        )  # 1: in the blocks below it, which follow; -1: their mirror image, not kept
        self.kept = down >= 0
        self.slots = (here + down * n_u * m * m)[self.kept]
        s, r = np.meshgrid(_GAUSS, _GAUSS)  # s along q, r along u
        low_s, high_s, low_r, high_r = (1 - s) / 2, (1 + s) / 2, (1 - r) / 2, (1 + r) / 2
        d_q = np.stack([-low_r, low_r, -high_r, high_r], axis=-1).reshape(4, 4)
        d_u = np.stack([-low_s, -high_s, low_s, high_s], axis=-1).reshape(4, 4)
        self.d_q = d_q[None] / np.repeat(np.tile(np.diff(grid.q), n_u - 1), 1)[:, None, None]
        self.d_u = d_u[None] / np.repeat(np.diff(grid.u), n_q - 1)[:, None, None]

    def metric(self, half: Half) -> _Metric:
        """The gradient operator of one half at each Gauss point."""
        q1, u1, u2 = (v.reshape(-1, 4, 1) for v in (half.q1, half.u1, half.u2))
        along = self.d_q / q1
        return _Metric(along, (self.d_u - u1 * along) / u2, half.area.reshape(-1, 4))

    def corner_values(self, x: Array) -> Array:
        """Positions of each cell's corners, (cells, 4, 2)."""
        return np.asarray(x.reshape(-1, 2)[self.corners])


@dataclass(frozen=True)
class _Metric:
    """Rows of the gradient along e1 and e2, (cells, 4 points, 4 corners), and the points' areas (cells, 4)."""

    g1: Array
    g2: Array
    area: Array


@dataclass(frozen=True)
class _Strain:
    """Strains (cells, 4) and the gradients of x and y along e1, e2, each (cells, 4, 2): last axis x, y."""

    xx: Array
    yy: Array
    xy: Array
    d1: Array
    d2: Array

    @property
    def folded(self) -> bool:
        """True if the map turns over anywhere."""
        return bool(np.any(self.d1[..., 0] * self.d2[..., 1] - self.d2[..., 0] * self.d1[..., 1] <= 0))


def _strain(mesh: _Mesh, metric: _Metric, x: Array) -> _Strain:
    corners = mesh.corner_values(x)
    d1, d2 = metric.g1 @ corners, metric.g2 @ corners
    xx, yy = ((1 - d1[..., i] ** 2 - d2[..., i] ** 2) / 2 for i in (0, 1))
    return _Strain(xx, yy, -(d1[..., 0] * d1[..., 1] + d2[..., 0] * d2[..., 1]), d1, d2)


Metrics: TypeAlias = tuple[_Metric, ...]


def _stiffness(law: Law, e: _Strain) -> tuple[Array, Array, float, float]:
    """D_xx and D_yy with the compression factor, D_xy, shear."""
    scale = 1 - law.poisson**2 * law.across / law.along
    d_xx, d_yy, d_xy = law.across / scale, law.along / scale, law.poisson * law.across / scale
    return (
        d_xx * np.where(e.xx < 0, law.compression, 1.0),
        d_yy * np.where(e.yy < 0, law.compression, 1.0),
        d_xy,
        law.shear,
    )


def _energy(mesh: _Mesh, metrics: Metrics, law: Law, x: Array) -> float:
    total = 0.0
    for metric in metrics:
        e = _strain(mesh, metric, x)
        if e.folded:
            return float(np.inf)
        d_xx, d_yy, d_xy, shear = _stiffness(law, e)
        density = d_xx * e.xx**2 + d_yy * e.yy**2 + 2 * d_xy * e.xx * e.yy + shear * e.xy**2
        total += float(np.sum(density * metric.area) / 2)
    return total


def _assemble(
    mesh: _Mesh, metrics: Metrics, law: Law, x: Array, *, matrix: bool = True
) -> tuple[Array, tuple[Array, Array] | None]:
    """Gradient of the energy (rows, block) and, if asked for, the Gauss-Newton matrix: its blocks on and below the
    diagonal."""
    rows, m = mesh.shape[0], mesh.block
    slope, entries = np.zeros(mesh.size), np.zeros((2 * rows - 1) * m * m)
    force, local = np.empty((len(mesh.corners), 8)), np.empty((len(mesh.corners), 8, 8))
    for metric in metrics:
        e = _strain(mesh, metric, x)
        d_xx, d_yy, d_xy, shear = _stiffness(law, e)
        w = metric.area[..., None]
        # rows of dE/dx and dE/dy: e_xx moves with x along tx, e_yy with y along ty, g_xy with both, crosswise
        tx = e.d1[..., :1] * metric.g1 + e.d2[..., :1] * metric.g2
        ty = e.d1[..., 1:] * metric.g1 + e.d2[..., 1:] * metric.g2
        s_xx, s_yy, s_xy = d_xx * e.xx + d_xy * e.yy, d_yy * e.yy + d_xy * e.xx, shear * e.xy
        force[:, :4] = -((s_xx[..., None] * tx + s_xy[..., None] * ty) * w).sum(axis=1)
        force[:, 4:] = -((s_yy[..., None] * ty + s_xy[..., None] * tx) * w).sum(axis=1)
        slope += np.bincount(mesh.places.ravel(), force.ravel(), mesh.size)
        if not matrix:
            continue
        both = np.concatenate([tx, ty], axis=1).transpose(0, 2, 1)
        sheared_x, sheared_y = shear * w * tx, shear * w * ty
        local[:, :4, :4] = both @ np.concatenate([d_xx[..., None] * w * tx, sheared_y], axis=1)
        local[:, 4:, 4:] = both @ np.concatenate([sheared_x, d_yy[..., None] * w * ty], axis=1)
        local[:, 4:, :4] = both @ np.concatenate([sheared_y, d_xy * w * tx], axis=1)
        local[:, :4, 4:] = local[:, 4:, :4].transpose(0, 2, 1)
        entries += np.bincount(mesh.slots, local[mesh.kept], len(entries))
    blocks = entries.reshape(-1, m, m)
    return _held(slope.reshape(rows, m), blocks[:rows], blocks[rows:]) if matrix else (_still(slope, m), None)


def _still(slope: Array, m: int) -> Array:
    """No force on what is held."""
    slope = slope.reshape(-1, m)
    slope[:, 0] = slope[0, 1] = 0.0
    return slope


def _held(slope: Array, diagonal: Array, below: Array) -> tuple[Array, tuple[Array, Array]]:
    """Hold x on the centre line (first unknown of each row) and y of its first node (second of the first row)."""
    for rows, k in ((slice(None), 0), (slice(0, 1), 1)):
        slope[rows, k] = 0.0
        diagonal[rows, k, :] = diagonal[rows, :, k] = 0.0
        diagonal[rows, k, k] = 1.0
        below[rows, :, k] = 0.0
        if rows == slice(None):
            below[:, k, :] = 0.0
    return slope, (diagonal, below)


def _result(
    surface: Surface, mesh: _Mesh, metrics: Metrics, x: Array, energy: float, steps: int, residual: Mm
) -> Flat:
    rows, columns = mesh.shape[0] - 1, mesh.shape[1] - 1
    seam = surface.grid.seam
    stretch, squeeze, girth, flange = [], [], [], []
    for metric in metrics:
        e = _strain(mesh, metric, x)
        xx, yy, xy = (v.mean(axis=1).reshape(rows, columns) for v in (e.xx, e.yy, e.xy))
        middle, spread = (xx + yy) / 2, np.hypot((xx - yy) / 2, xy / 2)
        stretch.append(_stretch(middle + spread))
        squeeze.append(_stretch(middle - spread))
        area = metric.area.sum(axis=1).reshape(rows, columns)[:, :seam]
        girth.append((_stretch(xx)[:, :seam] * area).sum(axis=1) / area.sum(axis=1))
        flange.append(_stretch(yy)[:, -1])
    worst = np.abs(flange).argmax(axis=0)
    return Flat(
        grid=surface.grid,
        nodes=x,
        stretch=np.max(stretch, axis=0),
        squeeze=np.min(squeeze, axis=0),
        girth=np.asarray(girth[0] if len(girth) == 1 else np.mean(girth, axis=0)),
        flange=np.take_along_axis(np.array(flange), worst[None], axis=0)[0],
        energy=energy,
        steps=steps,
        residual=residual,
    )


def _stretch(e: Array) -> Array:
    """Inverse-map strain e = (1 - 1/l^2)/2 as engineering stretch l - 1."""
    return np.asarray(1 / np.sqrt(np.maximum(1 - 2 * e, 1e-6)) - 1)
