"""Virtual moulding: the flat piece as drawn, sewn up on the form, sliding without friction until it lies easiest.

The check of the flattening, and for that reason made of other stuff:

| | flattening | here |
|---|---|---|
| unknown | where a point of the form lies on the piece | where a point of the piece lies on the form, (u, v) |
| rest shape | the form's surface | the drawn outline: mouth, bottom edge, stitch line |
| mesh | bilinear cells on lines of the form, 4 Gauss points | six-node triangles inside the outline, 3 points |
| strain | of the inverse map, (I - C^-1)/2 | Green's, (C - I)/2 |
| geometry | slopes at the Gauss points | tables of the metric on heights of their own |
| solver | Gauss-Newton with halving, banded Cholesky | Levenberg-Marquardt, sparse LU |

With J the gradients of u and v on the piece and a the metric of the form, both at the points of a triangle,

    C = J^T a J,   e = (C - I)/2,   E = sum of (1/2 e^T D e + compression terms) x area on the piece

which is F = sum S(u_i, v_i) grad N_i for small triangles, but without the chord's error: a chord over an arris would
read as two or three per cent of squeeze that is not there. Bounds: v = +-1 on the stitch lines with u shared by each
pair of holes, v = 0 on the centre line of a mirrored form, ends free, a weak spring against drift along the axis.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from backseam.fit.moulding_mesh import SHAPE, Mesh
from backseam.fit.moulding_skin import Skin
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import default
from backseam.ground.units import Mm
from backseam.pattern.flatten import Law

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STEPS = 40
SETTLED: Mm = 2e-3
# Damping, as a share of the diagonal: first, least, after a good step, after a bad one, light enough, given up.
_START, _LEAST, _EASIER, _HARDER, _LIGHT, _STUCK = 1e-4, 1e-9, 0.2, 8.0, 1e-2, 1e8


@dataclass(frozen=True)
class Lying:
    """The piece at rest on the form. place (nodes, 2): u, v; strain (m, 3, 3): Green's xx, yy, 2xy at the points of
    the triangles.

    steps: taken; residual: last movement, mm; settled: True if that was small enough.
    """

    place: Array
    strain: Array
    energy: float
    steps: int
    residual: Mm
    settled: bool


def lay(mesh: Mesh, skin: Skin, law: Law, progress: Progress = SILENT, steps: int = STEPS) -> Lying:
    """Let the piece slide to rest. Raises Stopped if `progress` asks for it."""
    system = _System(mesh, skin, law)
    place = start(mesh, skin)
    state = system.state(place)
    energy, damping, residual, taken, settled = system.energy(state, place), _START, np.inf, 0, False
    for taken in range(1, steps + 1):
        step(progress, taken, steps, "moulding")
        slope, stiff = system.assemble(state, place)
        while damping < _STUCK:
            move = system.move(slope, stiff, damping)
            tried = place + move
            state_there = system.state(tried)
            energy_there = system.energy(state_there, tried)
            if energy_there <= energy:
                break
            damping *= _HARDER
        else:
            break
        place, state, energy = tried, state_there, energy_there
        residual = system.length(move)
        settled = residual < SETTLED and damping <= _LIGHT  # a small step under heavy damping says nothing
        damping = max(damping * _EASIER, _LEAST)
        if settled:
            break
    return Lying(place, state.strain, energy, taken, residual, settled)


def start(mesh: Mesh, skin: Skin) -> Array:
    """Where the hand would lay it: rows at their height on the centre line, columns at their share of the girth."""
    middle = mesh.rest[:, int(np.abs(mesh.share).argmin()), 1]
    fine = np.linspace(skin.low, skin.high, 400)
    u = np.interp(middle, skin.front(fine), fine)
    return np.stack(np.broadcast_arrays(u[:, None], mesh.share[None, :]), axis=-1).reshape(-1, 2)


@dataclass(frozen=True)
class _State:
    """At every point: strain (m, 3, 3), T = a J (m, 3, 2, 2), and a,k J J for xx, yy, xy in u and v (m, 3, 3, 2)."""

    strain: Array
    pull: Array
    drag: Array
    turned: bool


class _System:
    """Energy, slope and band matrix of one piece on one skin."""

    def __init__(self, mesh: Mesh, skin: Skin, law: Law) -> None:
        self.mesh, self.skin, self.law = mesh, skin, law
        self.regions = [(np.flatnonzero(mesh.patch == key), skin.patches[key]) for key in skin.patches]
        self.equation, self.size = _equations(mesh)
        self.places = self.equation[
            (2 * mesh.triangles[:, :, None] + np.arange(2)).reshape(len(mesh.triangles), 12)
        ]
        row, column = np.broadcast_arrays(self.places[:, :, None], self.places[:, None, :])
        self.used = (row >= 0) & (column >= 0)
        keys = column[self.used] * self.size + row[self.used]
        diagonal = np.arange(self.size) * (self.size + 1)
        pattern, self.slots = np.unique(np.concatenate([keys, diagonal]), return_inverse=True)
        self.rows, columns = pattern % self.size, pattern // self.size
        self.diagonal = self.slots[-self.size :]
        self.starts = np.searchsorted(columns, np.arange(self.size + 1))
        self.spring = self._spring()
        self.anchor = start(mesh, skin)[:, 0]
        self.half = float(np.mean(skin.half(self.anchor)))

    def _spring(self) -> Array:
        """Weak springs on u, so that a tube does not slide away: a share of the stiffness along, per height
        squared."""
        mesh = self.mesh
        share = np.repeat(mesh.area.sum(axis=1) / 6, 6)
        node = np.bincount(mesh.triangles.ravel(), share, mesh.rest.size // 2)
        height = mesh.rest[-1, :, 1].max() - mesh.rest[0, :, 1].min()
        return np.asarray(default("moulding.spring") * self.law.along / height**2 * node)

    def state(self, place: Array) -> _State:
        """Strain and its ingredients at a trial place."""
        corners = place[self.mesh.triangles]
        jacobian = np.einsum("mni,mpna->mpia", corners, self.mesh.gradient)
        at = np.einsum("pn,mni->mpi", SHAPE, corners)
        a, du, dv = (np.empty((*at.shape[:2], 3)) for _ in range(3))
        for members, patch in self.regions:
            metric = patch.at(at[members, :, 0].ravel(), at[members, :, 1].ravel())
            for whole, part in ((a, metric.value), (du, metric.du), (dv, metric.dv)):
                whole[members] = part.reshape(-1, 3, 3)
        tensor = a[..., [0, 1, 1, 2]].reshape(*at.shape[:2], 2, 2)
        pull = tensor @ jacobian
        (ux, uy), (vx, vy) = np.moveaxis(jacobian, (2, 3), (0, 1))
        square = np.stack(
            [
                np.stack([ux * ux, 2 * ux * vx, vx * vx], -1),
                np.stack([uy * uy, 2 * uy * vy, vy * vy], -1),
                np.stack([ux * uy, ux * vy + uy * vx, vx * vy], -1),
            ],
            axis=-2,
        )
        squared = (square @ a[..., None])[..., 0]
        strain = squared * [0.5, 0.5, 1.0] - [0.5, 0.5, 0.0]
        drag = square @ np.stack([du, dv], axis=-1) * [[0.5], [0.5], [1.0]]
        return _State(strain, pull, drag, bool(np.any(ux * vy - uy * vx >= 0)))

    def energy(self, state: _State, place: Array) -> float:
        """Strain energy, and the springs' share of it; infinite where the piece has turned over."""
        if state.turned:
            return float(np.inf)
        density = (stress(self.law, state.strain)[0] * state.strain).sum(axis=2)
        springs = self.spring * (place[:, 0] - self.anchor) ** 2
        return float((density * self.mesh.area).sum() / 2 + springs.sum() / 2)

    def assemble(self, state: _State, place: Array) -> tuple[Array, Array]:
        """Slope of the energy, and the entries of the Gauss-Newton matrix, its diagonal apart at their end."""
        g, area = self.mesh.gradient, self.mesh.area
        gx, gy = g[..., :1], g[..., 1:]
        tx, ty = state.pull[:, :, None, :, 0], state.pull[:, :, None, :, 1]
        rise = np.stack([gx * tx, gy * ty, gx * ty + gy * tx], axis=2)  # point, strain, node, u or v
        rise += SHAPE[None, :, None, :, None] * state.drag[:, :, :, None, :]
        b = rise.reshape(len(area), 3, 3, 12)
        force, stiff = stress(self.law, state.strain)
        weighed = stiff @ b * area[:, :, None, None]
        local = b.reshape(-1, 9, 12).transpose(0, 2, 1) @ weighed.reshape(-1, 9, 12)
        pull = ((force * area[..., None])[:, :, None, :] @ b).sum(axis=1)[:, 0]
        held = self.places >= 0
        slope = np.asarray(np.bincount(self.places[held], pull[held], self.size), dtype=float)
        u = self.equation[::2]
        slope += np.bincount(u, self.spring * (place[:, 0] - self.anchor), self.size)
        return slope, np.concatenate([local[self.used], np.bincount(u, self.spring, self.size)])

    def move(self, slope: Array, stiff: Array, damping: float) -> Array:
        """The damped step, node by node (nodes, 2)."""
        entries = np.asarray(np.bincount(self.slots, stiff), dtype=float)
        entries[self.diagonal] *= 1 + damping
        matrix = csc_array((entries, self.rows, self.starts), shape=(self.size, self.size))
        solver = splu(
            matrix,
            permc_spec="MMD_AT_PLUS_A",
            diag_pivot_thresh=0.0,
            relax=1,
            options={"SymmetricMode": True},
        )
        free = np.append(solver.solve(-slope), 0.0)
        return np.asarray(free[self.equation].reshape(-1, 2))

    def length(self, move: Array) -> Mm:
        """The largest movement on the form, mm."""
        return float(np.hypot(move[:, 0], move[:, 1] * self.half).max())


def stress(law: Law, strain: Array) -> tuple[Array, Array]:
    """D e (..., 3) and D (..., 3, 3), k times as stiff where a direction is squeezed.

    >>> d_e, _ = stress(Law(4.0, 1.0, 0.0, 0.35, 3.0), np.array([[0.01, -0.01, 0.0]]))
    >>> [round(float(x), 4) for x in d_e[0]]               # 4 x 0.01, 3 x 1 x -0.01
    [0.04, -0.03, 0.0]
    """
    scale = 1 - law.poisson**2 * law.across / law.along
    squeezed = np.where(strain[..., :2] < 0, law.compression, 1.0)
    stiff = np.zeros((*strain.shape, 3))
    stiff[..., 0, 0] = law.across / scale * squeezed[..., 0]
    stiff[..., 1, 1] = law.along / scale * squeezed[..., 1]
    stiff[..., 0, 1] = stiff[..., 1, 0] = law.poisson * law.across / scale
    stiff[..., 2, 2] = law.shear
    return (stiff @ strain[..., None])[..., 0], stiff


def _equations(mesh: Mesh) -> tuple[Index, int]:
    """Number of the equation of u and v of every node in turn, -1 where held; and how many there are.

    The pairs at the seam share their u.
    """
    columns = np.arange(2 * mesh.columns).reshape(-1, 2)
    held = [(seam, 1) for seam in mesh.seams] + ([(0, 1)] if mesh.mirrored else [])
    for column, way in held:
        columns[column, way] = -1
    if not mesh.mirrored:
        columns[mesh.seams[1], 0] = columns[mesh.seams[0], 0]
    kept, one = np.unique(columns, return_inverse=True)
    one = one.reshape(columns.shape) - (kept[0] < 0)
    count = int(one.max()) + 1
    row = count * np.arange(mesh.rows)[:, None, None]
    return np.where(one >= 0, one + row, -1).reshape(-1), count * mesh.rows
