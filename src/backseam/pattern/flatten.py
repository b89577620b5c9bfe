"""Flattening: the flat piece whose moulding strains the leather least, girth kept.

Unknown are the flat positions of the mesh nodes. Strain is that of the inverse map, in the flat leather's own axes
(its fibres are fixed there): with the gradients of x and y on the surface in an orthonormal tangent frame,

    e_xx = (1 - |grad x|^2)/2,  e_yy = (1 - |grad y|^2)/2,  g_xy = -grad x . grad y        (positive = stretched)
    E = sum over Gauss points of (1/2 e^T D e + compression terms) dA

with D plane-stress orthotropic and k times as stiff in compression. The outline of the left half is the right one's
mirror image, its seam line as long, by construction. Where both halves of the form are alike one is enough, and the
centre line lies straight on its front; for a sideways bend both are there, each with a wall of its own (see `cells`).
Least strain alone would leave the mouth slack: the seam pulls it to the form (see `pull`).

Valid while strains stay below some 15 %: Gauss-Newton leaves out the second derivative of strain. Source: derived;
the method is Gauss-Newton on a finite-element energy. Tested: cylinder, cone (sheet-metal development), uniform bend,
a fine mesh, reference parameterisations (libigl), and virtual moulding.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.geom.blocks import Factored, factored
from backseam.geom.spline import Patch, patch
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.units import Mm, Strain
from backseam.pattern.cells import Cells
from backseam.pattern.cells import Law as Law
from backseam.pattern.pull import Pull, own_girth
from backseam.pattern.surface import Grid, Surface

Array = NDArray[np.float64]

_SETTLED: Mm = 3e-3  # a third of what a hole is given to
_STEPS = 40
_FRESH = 4  # steps with a matrix of their own; then it is kept as long as each step is below _SLOW of the one before
_SLOW = 0.5
_LEAST = 1e-4  # of a step that is halved until it does not go uphill


@dataclass(frozen=True)
class Flat:
    """The flattened mesh. nodes (n_u, n_q, 2) mm, right half, allowance not in; strains in the middle of each cell,
    where bilinear cells are truest.

    stretch, squeeze: principal strains (n_u - 1, n_q - 1), the worse of the two halves; girth (n_u,): stretch of each
    row by its own length, stitch line to stitch line, negative = slack, the mouth's own row last; flange: strain along
    at the trimmed edge (n_u - 1,). residual: what one step more would move a node. left: nodes of the left half, x
    counted to the left, if the form's halves differ.
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
    left: Array | None = None

    def patches(self) -> tuple[Patch, ...]:
        """x and y over (u, q), bicubic, wall and fillet only (q up to 1); then the left half's if it is another."""
        wall = self.grid.seam + 1
        halves = (self.nodes,) if self.left is None else (self.nodes, self.left)
        return tuple(patch(self.grid.u, self.grid.q[:wall], x[:, :wall, i]) for x in halves for i in (0, 1))

    def strains(self) -> tuple[Strain, Strain]:
        """Largest stretch and largest squeeze in the wall, flange left out."""
        s = self.grid.seam
        return float(self.stretch[:, :s].max()), float(self.squeeze[:, :s].min())


def flatten(
    surface: Surface,
    law: Law,
    start: Array | None = None,
    progress: Progress = SILENT,
    *,
    pulled: bool = True,
) -> Flat:
    """The flat piece of least strain, no row of it slack. start: right half's nodes to begin from (a neighbouring
    solution); default half girths. pulled: False for least strain alone."""
    cells = Cells(surface)
    z = cells.unknowns(_hand_start(surface) if start is None else start)
    pull = Pull(cells, surface) if pulled else None
    residual, left, before, steps = np.inf, np.inf, np.inf, 0
    matrix: Factored | None = None
    strained = cells.strains(z)
    energy = cells.energy(law, strained)
    for steps in range(1, _STEPS + 1):
        step(progress, steps, _STEPS, "flattening")
        slope, blocks = cells.assemble(law, strained, matrix=steps <= _FRESH or residual > _SLOW * before)
        matrix = matrix if blocks is None else factored(*blocks)
        assert matrix is not None
        move = matrix.solve(-slope) if pull is None else pull.move(z, matrix, slope)
        here, share = energy + (0.0 if pull is None else pull.work(z)), 1.0
        while share > _LEAST:
            tried = z + share * move
            strained = cells.strains(tried)
            energy = cells.energy(law, strained)
            if energy + (0.0 if pull is None else pull.work(tried)) <= here:
                break
            share /= 2
        else:
            break
        z = tried
        before, residual = residual, float(np.abs(share * move).max())
        left = residual * (min(residual / before, 1.0) if steps > 1 else 1.0)  # what the next step would move
        if left < _SETTLED:
            break
    return _result(surface, cells, law, z, steps, left)


def _hand_start(surface: Surface) -> Array:
    """Half lengths each side, heights along the front line; the flange straight outward."""
    grid = surface.grid
    wall = np.minimum(grid.q, 1.0) * surface.half_length[:, None]
    trimmed = surface.halves[0].q1[:, -1].mean()
    x = wall + np.maximum(grid.q - 1.0, 0.0) * trimmed
    return np.stack([x, np.broadcast_to(surface.front[:, None], x.shape)], axis=-1)


def _result(surface: Surface, cells: Cells, law: Law, z: Array, steps: int, residual: Mm) -> Flat:
    rows, columns = cells.rows - 1, cells.columns - 1
    stretch, squeeze, flange = [], [], []
    strained = cells.strains(z)
    for e in strained:
        xx, yy, xy = (v.mean(axis=1).reshape(rows, columns) for v in (e.xx, e.yy, e.xy))
        middle, spread = (xx + yy) / 2, np.hypot((xx - yy) / 2, xy / 2)
        stretch.append(_stretch(middle + spread))
        squeeze.append(_stretch(middle - spread))
        flange.append(_stretch(yy)[:, -1])
    worst = np.abs(flange).argmax(axis=0)
    nodes = cells.nodes(z)
    return Flat(
        grid=surface.grid,
        nodes=nodes[0],
        stretch=np.max(stretch, axis=0),
        squeeze=np.min(squeeze, axis=0),
        girth=own_girth(cells, z, surface.half_length),
        flange=np.take_along_axis(np.array(flange), worst[None], axis=0)[0],
        energy=cells.energy(law, strained),
        steps=steps,
        residual=residual,
        left=nodes[1] if len(nodes) > 1 else None,
    )


def _stretch(e: Array) -> Array:
    """Inverse-map strain e = (1 - 1/l^2)/2 as engineering stretch l - 1."""
    return np.asarray(1 / np.sqrt(np.maximum(1 - 2 * e, 1e-6)) - 1)
