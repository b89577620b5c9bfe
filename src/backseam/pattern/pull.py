"""The pull of the seam: no row of the flat piece longer than the form round it, the mouth's own row above all.

Least strain alone leaves the rows beside a free edge slack: the shear of a swelling form has to die out there, and a
row that is gathered in front and stretched at the seam has, on the whole, too much. Sewn leather does not lie so; the
seam pulls every row to the form. So the flattening is given a tension T(u) across the piece, at the stitch line:

    minimum of E + integral of T(u) x(u, 1) du,   T(u) = sum of c_k exp(-((u - u_k)/reach)^2)

with x(u, 1) the stitch line. The c are chosen so that, as far as the system answers linearly, no row is slacker than
`slack` by its own length from stitch line to stitch line; rows that get tighter than `tight` count against it, but
little: leather may be stretched round, it may not hang. T changes over `reach`, not from row to row, for a tension that
ends with a jump would tear at the corner of the mouth; nor does it grow beyond `pull_most`, for the same reason: where
a mouth would need more, it stays slack by the rest. It is a dead load: the solver settles on it as before.

Valid for slack of a few per cent. Source: derived (virtual work; the choice of c is a regularised least-squares
problem). Tested: nothing happens to tube and cone; rows of necked and bent forms; the same for a form of another size.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from backseam.geom.blocks import Factored
from backseam.ground.sources import default
from backseam.pattern.cells import Cells
from backseam.pattern.surface import Surface

Array = NDArray[np.float64]

_BESIDE = 0.8  # of the reach: from one place of the pull to the next
_TURNS = 4  # steps of the solver in which the pull is chosen anew; after them it stays
_SORTING = 12  # rounds at most, to find which rows are slack and which are tight


class Pull:
    """The tension on one mesh. plain (n_u,): rows that count, those over the step at the flap's end left out."""

    def __init__(self, cells: Cells, surface: Surface) -> None:
        u, self.want = cells.grid.u, surface.half_length
        self.cells = cells
        wide = 2 * float(self.want.mean())
        reach = default("flattening.pull_reach") * wide
        places = np.linspace(u[0], u[-1], max(2, round((u[-1] - u[0]) / (_BESIDE * reach)) + 1))
        step = np.diff(u)
        self.high = np.concatenate([[0.0], step / 2]) + np.concatenate([step / 2, [0.0]])
        self.shape = np.exp(-(((u[:, None] - places) / reach) ** 2))
        self.size = np.zeros(len(places))
        self.weight = np.where(surface.plain, self.high / wide, 0.0)
        # Not the cell's own height: a finer mesh is to choose the same pull.
        self.weight[-1] = default("flattening.mouth_weight")
        self.load = np.zeros((cells.rows, cells.block, len(places)))
        self.load[:, 2 * cells.grid.seam] = len(cells.parts) * self.high[:, None] * self.shape
        self.turns = 0
        self.matrix: Factored | None = None
        self.answer = self.load

    def work(self, z: Array) -> float:
        """The load's share of what is made least."""
        return float(z.ravel() @ (self.load @ self.size).ravel())

    def move(self, z: Array, matrix: Factored, slope: Array) -> Array:
        """The next step of the unknowns under the pull, which is chosen with it. slope: of the energy alone."""
        if self.turns >= _TURNS:
            return matrix.solve(-slope - self.load @ self.size)
        if matrix is not self.matrix:
            self.matrix, self.answer = matrix, matrix.solve(self.load)
        still = matrix.solve(-slope)
        length, along = row_lengths(self.cells, z)
        slack = (length + (along * still).sum(axis=1)) / self.want - 1
        less = np.einsum("im,imk->ik", along, self.answer) / self.want[:, None]
        chosen, most = self._chosen(slack, less), default("flattening.pull_most")
        self.size = chosen * min(1.0, most / max(float(np.abs(chosen).max()), 1e-9))
        self.turns += 1
        return np.asarray(still - self.answer @ self.size)

    def _chosen(self, slack: Array, less: Array) -> Array:
        """The sizes that leave no row too slack: least squares on the rows out of bounds, a spring on the sizes."""
        most, least = default("flattening.row_slack"), -default("flattening.row_tight")
        spring = default("flattening.pull_spring") * np.eye(len(self.size))
        size = self.size
        for _ in range(_SORTING):
            left = slack - less @ size
            loose, tight = left > most, left < least
            weight = self.weight * (loose + default("flattening.tight_weight") * tight)
            beyond = slack - np.where(loose, most, least)
            before, size = (
                size,
                np.linalg.solve((less.T * weight) @ less + spring, (less.T * weight) @ beyond),
            )
            if np.abs(size - before).max() < 1e-6:
                break
        return size


def row_lengths(cells: Cells, z: Array) -> tuple[Array, Array]:
    """Half the flat length of each row from stitch line to stitch line (n_u,), and its slope by z (n_u, block)."""
    seam, count = cells.grid.seam, len(cells.parts)
    total, slope = np.zeros(cells.rows), np.zeros(cells.rows * cells.block)
    for part, x in zip(cells.parts, cells.nodes(z), strict=True):
        step = np.diff(x[:, : seam + 1], axis=1)
        length = np.hypot(step[..., 0], step[..., 1])
        total += length.sum(axis=1) / count
        way = np.zeros_like(x)
        way[:, 1 : seam + 1] += step / length[..., None]
        way[:, :seam] -= step / length[..., None]
        slope += np.bincount(part.at.ravel(), (part.sign * way).ravel() / count, len(slope))
    return total, slope.reshape(cells.rows, -1) * cells.free


def own_girth(cells: Cells, z: Array, want: Array) -> Array:
    """Stretch of each row by its own length: what the form takes over what the flat piece has, less 1, (n_u,)."""
    return np.asarray(want / row_lengths(cells, z)[0] - 1)
