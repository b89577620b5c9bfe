"""The mesh of the flattening: bilinear cells on the lines of the form, their strain, energy, slope and stiffness.

Unknowns stand row by row of the grid, so that a row hangs together only with its neighbours and the system is block
tridiagonal. One half of the form is enough where both are the same. Else both are there, as sewn leather is: tied to
each other on the stitch line, in the flange, and along mouth and bottom edge, whose outlines are each other's mirror
image; free in the wall between, where only the leather itself joins them across the front.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from backseam.ground.sources import default
from backseam.pattern.surface import Grid, Half, Surface

Array = NDArray[np.float64]
Index = NDArray[np.intp]

T = TypeVar("T", np.float64, np.intp)

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
class Strained:
    """Strains (cells, 4) of one half and the gradients of x and y along e1, e2, each (cells, 4, 2): last axis x, y."""

    xx: Array
    yy: Array
    xy: Array
    d1: Array
    d2: Array

    @property
    def folded(self) -> bool:
        """True if the map turns over anywhere."""
        return bool(np.any(self.d1[..., 0] * self.d2[..., 1] - self.d2[..., 0] * self.d1[..., 1] <= 0))


@dataclass(frozen=True)
class _Part:
    """One half: where its nodes stand among the unknowns, and the gradient at its Gauss points.

    at, sign (n_u, n_q, 2): unknown and factor of x and y of each node; places, signs (cells, 8): x of a cell's four
    corners, then y; slots, kept: where a cell's stiffness goes; g1, g2 (cells, 4 points, 4 corners): gradient along
    e1 and e2; area (cells, 4), mm2.
    """

    at: Index
    sign: Array
    places: Index
    signs: Array
    slots: Index
    kept: NDArray[np.bool_]
    g1: Array
    g2: Array
    area: Array


class Cells:
    """The mesh of one surface. Unknowns z (n_u, block): the right half's nodes, x before y, then what the left half
    has of its own; `free` (n_u, block) marks those that may move."""

    def __init__(self, surface: Surface) -> None:
        grid = surface.grid
        self.grid = grid
        self.rows, self.columns = len(grid.u), len(grid.q)
        both = len(surface.halves) == 2
        own = np.arange(1, grid.seam)  # columns of the wall that the left half has to itself
        self.block = 2 * self.columns + (2 * len(own) if both else 0)
        self.free = np.ones((self.rows, self.block), dtype=bool)
        ends = [0, -1]
        self.free[ends if both else slice(None), 0] = False  # the centre line's x
        self.free[0, 1] = False
        right = np.arange(self.rows * self.block).reshape(self.rows, -1)[:, : 2 * self.columns]
        at = [right.reshape(self.rows, self.columns, 2)]
        sign = [np.ones(at[0].shape)]
        if both:
            self.free[ends, 2 * self.columns :] = False
            left = at[0].copy()
            left[1:-1, own] = (
                np.arange(self.rows)[1:-1, None] * self.block + 2 * self.columns + np.arange(2 * len(own))
            ).reshape(-1, len(own), 2)
            flipped = np.ones(left.shape)
            flipped[:, 0, 0] = -1.0  # what is right of the centre line is left of it seen from the other side
            at.append(left)
            sign.append(flipped)
        d_q, d_u = _slopes(grid)
        self.parts = tuple(
            self._part(*where, half, d_q, d_u)
            for where, half in zip(zip(at, sign, strict=True), surface.halves, strict=True)
        )

    def _part(self, at: Index, sign: Array, half: Half, d_q: Array, d_u: Array) -> _Part:
        places = _corners(at)
        row, column = np.broadcast_arrays(places[:, :, None], places[:, None, :])
        m = self.block
        here = (column // m) * m * m + (row % m) * m + column % m  # in the blocks on the diagonal
        down = (
            row // m - column // m
        )  # 1: in the blocks below, which follow; -1: their mirror image, not kept
        q1, u1, u2 = (v.reshape(-1, 4, 1) for v in (half.q1, half.u1, half.u2))
        along = d_q / q1
        return _Part(
            at=at,
            sign=sign,
            places=places,
            signs=_corners(sign),
            slots=(here + down * self.rows * m * m)[down >= 0],
            kept=down >= 0,
            g1=along,
            g2=(d_u - u1 * along) / u2,
            area=half.area.reshape(-1, 4),
        )

    def unknowns(self, nodes: Array, left: Array | None = None) -> Array:
        """z of nodes (n_u, n_q, 2), the left half's alike unless given."""
        z = np.zeros(self.rows * self.block)
        for part, x in list(zip(self.parts, (nodes, nodes if left is None else left), strict=False))[::-1]:
            z[part.at] = part.sign * x
        return z.reshape(self.rows, -1)

    def nodes(self, z: Array) -> tuple[Array, ...]:
        """Nodes (n_u, n_q, 2) of each half, the left one's x counted to the left."""
        return tuple(part.sign * z.ravel()[part.at] for part in self.parts)

    def strains(self, z: Array) -> tuple[Strained, ...]:
        """Strain of each half."""
        done = []
        for part in self.parts:
            corners = (part.signs * z.ravel()[part.places]).reshape(-1, 2, 4).transpose(0, 2, 1)
            d1, d2 = part.g1 @ corners, part.g2 @ corners
            xx, yy = ((1 - d1[..., i] ** 2 - d2[..., i] ** 2) / 2 for i in (0, 1))
            done.append(Strained(xx, yy, -(d1[..., 0] * d1[..., 1] + d2[..., 0] * d2[..., 1]), d1, d2))
        return tuple(done)

    def energy(self, law: Law, strained: tuple[Strained, ...]) -> float:
        """Energy of all halves, mm2 in units of the law; infinite where the map turns over."""
        total = 0.0
        for part, e in zip(self.parts, strained, strict=True):
            if e.folded:
                return float(np.inf)
            d_xx, d_yy, d_xy, shear = _stiffness(law, e)
            density = d_xx * e.xx**2 + d_yy * e.yy**2 + 2 * d_xy * e.xx * e.yy + shear * e.xy**2
            total += float(np.sum(density * part.area) / 2)
        return total

    def assemble(
        self, law: Law, strained: tuple[Strained, ...], *, matrix: bool = True
    ) -> tuple[Array, tuple[Array, Array] | None]:
        """Slope of the energy (n_u, block) and, if asked for, the Gauss-Newton matrix: blocks on and below the
        diagonal."""
        m, size = self.block, self.rows * self.block
        slope, entries = np.zeros(size), np.zeros((2 * self.rows - 1) * m * m)
        for part, e in zip(self.parts, strained, strict=True):
            force, local = _cell(law, e, part, matrix=matrix)
            slope += np.bincount(part.places.ravel(), (force * part.signs).ravel(), size)
            if local is not None:
                local *= part.signs[:, :, None] * part.signs[:, None, :]
                entries += np.bincount(part.slots, local[part.kept], len(entries))
        slope = slope.reshape(self.rows, m) * self.free
        if not matrix:
            return slope, None
        blocks = entries.reshape(-1, m, m)
        return slope, self._held(blocks[: self.rows], blocks[self.rows :])

    def _held(self, diagonal: Array, below: Array) -> tuple[Array, Array]:
        """Rows and columns of what may not move: 1 on the diagonal, 0 elsewhere."""
        free = self.free.astype(float)
        diagonal *= free[:, :, None] * free[:, None, :]
        below *= free[1:, :, None] * free[:-1, None, :]
        i, k = np.nonzero(~self.free)
        diagonal[i, k, k] = 1.0
        return diagonal, below


def _corners(x: NDArray[T]) -> NDArray[T]:
    """Of something (n_u, n_q, 2) at the nodes, (cells, 8): x of the four corners, then y."""
    four = np.stack([x[:-1, :-1], x[:-1, 1:], x[1:, :-1], x[1:, 1:]], axis=-1)
    return four.reshape(-1, 8)


def _slopes(grid: Grid) -> tuple[Array, Array]:
    """Slopes along q and along u of a cell's four shape functions at its four Gauss points, (cells, 4, 4)."""
    s, r = np.meshgrid(_GAUSS, _GAUSS)  # s along q, r along u
    low_s, high_s, low_r, high_r = (1 - s) / 2, (1 + s) / 2, (1 - r) / 2, (1 + r) / 2
    d_q = np.stack([-low_r, low_r, -high_r, high_r], axis=-1).reshape(4, 4)
    d_u = np.stack([-low_s, -high_s, low_s, high_s], axis=-1).reshape(4, 4)
    rows, columns = len(grid.u) - 1, len(grid.q) - 1
    return (
        d_q[None] / np.tile(np.diff(grid.q), rows)[:, None, None],
        d_u[None] / np.repeat(np.diff(grid.u), columns)[:, None, None],
    )


def _stiffness(law: Law, e: Strained) -> tuple[Array, Array, float, float]:
    """D_xx and D_yy with the compression factor, D_xy, shear."""
    scale = 1 - law.poisson**2 * law.across / law.along
    d_xx, d_yy, d_xy = law.across / scale, law.along / scale, law.poisson * law.across / scale
    return (
        d_xx * np.where(e.xx < 0, law.compression, 1.0),
        d_yy * np.where(e.yy < 0, law.compression, 1.0),
        d_xy,
        law.shear,
    )


def _cell(law: Law, e: Strained, part: _Part, *, matrix: bool) -> tuple[Array, Array | None]:
    """Slope (cells, 8) and stiffness (cells, 8, 8) of each cell: e_xx moves with x along tx, e_yy with y along ty, g_xy
    with both, crosswise."""
    d_xx, d_yy, d_xy, shear = _stiffness(law, e)
    w = part.area[..., None]
    tx = e.d1[..., :1] * part.g1 + e.d2[..., :1] * part.g2
    ty = e.d1[..., 1:] * part.g1 + e.d2[..., 1:] * part.g2
    s_xx, s_yy, s_xy = d_xx * e.xx + d_xy * e.yy, d_yy * e.yy + d_xy * e.xx, shear * e.xy
    force = np.empty((len(w), 8))
    force[:, :4] = -((s_xx[..., None] * tx + s_xy[..., None] * ty) * w).sum(axis=1)
    force[:, 4:] = -((s_yy[..., None] * ty + s_xy[..., None] * tx) * w).sum(axis=1)
    if not matrix:
        return force, None
    local = np.empty((len(w), 8, 8))
    both = np.concatenate([tx, ty], axis=1).transpose(0, 2, 1)
    sheared_x, sheared_y = shear * w * tx, shear * w * ty
    local[:, :4, :4] = both @ np.concatenate([d_xx[..., None] * w * tx, sheared_y], axis=1)
    local[:, 4:, 4:] = both @ np.concatenate([sheared_x, d_yy[..., None] * w * ty], axis=1)
    local[:, 4:, :4] = both @ np.concatenate([sheared_y, d_xy * w * tx], axis=1)
    local[:, :4, 4:] = local[:, 4:, :4].transpose(0, 2, 1)
    return force, local
