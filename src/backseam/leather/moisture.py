"""Water moving through the thickness of leather: implicit finite volumes for many sheets at once.

A sheet is cut into cells that grow finer towards both faces. Water is mass on dry mass; it moves between cells by
diffusion and leaves through the open faces by a law of the film, which is given to the solver as a small object.
Every face that is open has the same law, so a sheet with both faces open must have started even on both sides.

    w_i dX_i/dt = q sum (X_j - X_i)/d_ij - (face open) j(X_face)/A,    q = D/t^2,  A = dry mass on area

The cells' own modes (eigenvectors of the exchange between them) turn each implicit step into divisions and one
equation for the flux, which every law of the film here solves at once. The time step has two implicit stages of
second order that damp fast modes (alexander-1977). What leaves the cells is what passes the faces, to rounding:
the mass balance does not depend on the step, and there is nothing that could fail to settle.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from math import sqrt
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

CELLS = 10
FINEST = 0.3  # width of the outermost cell over that of the middle one
GAMMA = 1 - 1 / sqrt(2)
TINY = 1e-300


class Law(Protocol):
    """What leaves a face into its surroundings, by the water at the face, one law a sheet."""

    def through(self, face: Array, answer: Array) -> Array:
        """The flux j, g/(m2 s), that the film takes and the leather brings: j = law(face - answer j).

        face: water at the face if nothing left; answer: how far it falls for one g/(m2 s).
        """
        ...


@dataclass(frozen=True)
class Proportional:
    """Flux in proportion to the water above that of the surroundings: j = h (X - X_e), h in g/(m2 s)."""

    coefficient: Array
    surroundings: Array

    def through(self, face: Array, answer: Array) -> Array:
        """j = h (face - X_e) / (1 + h answer)."""
        return np.asarray(self.coefficient * (face - self.surroundings) / (1 + self.coefficient * answer))


@dataclass(frozen=True)
class Tabled:
    """Flux read from a table by straight lines, one row a sheet: (sheets, places) of water and of flux, both rising
    (two places may be one).

    Beyond the last place the flux stays as it is there, as on a wet face; below the first it goes on straight.
    """

    water: Array
    flux: Array

    def through(self, face: Array, answer: Array) -> Array:
        """The crossing of two lines: water + answer flux rises along the table, so its place is found by counting."""
        brought = self.water + answer[:, None] * self.flux
        last = self.water.shape[1] - 1
        passed = np.add.reduce(brought <= face[:, None], axis=1, dtype=np.intp)
        i = np.minimum(np.maximum(passed - 1, 0), last - 1)
        at = i + (last + 1) * np.arange(len(i))
        low, high = brought.ravel()[at], brought.ravel()[at + 1]
        first, second = self.flux.ravel()[at], self.flux.ravel()[at + 1]
        share = np.minimum((face - low) / np.maximum(high - low, TINY), 1.0)
        return np.asarray(first + share * (second - first))


@dataclass(frozen=True)
class Mesh:
    """Cells through the thickness. widths: shares of it, (n,). shapes: water in cell i of mode m, (n, n);
    decays: how fast each mode evens out, in units of q. Mode 0 is the mean."""

    widths: Array
    shapes: Array
    decays: Array

    @property
    def middles(self) -> Array:
        """Depth of each cell's middle, share of the thickness."""
        return np.cumsum(self.widths) - self.widths / 2

    def modes(self, water: Array) -> Array:
        """Modes of water in cells, (sheets, n)."""
        return np.asarray((water * self.widths) @ self.shapes)

    def water(self, modes: Array) -> Array:
        """Water in cells of modes, (sheets, n)."""
        return np.asarray(modes @ self.shapes.T)


@cache
def mesh(cells: int = CELLS, finest: float = FINEST) -> Mesh:
    """Cells growing evenly from both faces to the middle, and their modes.

    >>> round(float(mesh(8).widths.sum()), 12), round(float(mesh(8).decays[0]), 9)
    (1.0, 0.0)
    """
    from_face = np.minimum(np.arange(cells), np.arange(cells)[::-1])
    raw = finest + (1 - finest) * from_face / max(1, (cells - 1) // 2)
    widths = raw / raw.sum()
    exchange = 2 / (widths[1:] + widths[:-1])
    root = np.sqrt(widths)
    matrix = np.diag(np.append(exchange, 0) + np.append(0, exchange))
    matrix -= np.diag(exchange, 1) + np.diag(exchange, -1)
    decays, vectors = np.linalg.eigh(matrix / np.outer(root, root))
    decays[0] = 0.0
    shapes = vectors / root[:, None]
    shapes[:, 0] = 1.0
    for array in (widths, shapes, decays):
        array.setflags(write=False)
    return Mesh(widths, shapes, decays)


_BY_ROW = ("modes", "rate", "area", "faces", "source", "seen", "inmost", "given_off")


@dataclass(frozen=True)
class Sheets:
    """Sheets side by side, one a row. modes: their water, (sheets, n). rate: D/t^2, 1/s. area: dry mass, g/m2.

    faces: how many are open. source: what a flux takes from each mode; seen: each mode at an open face; inmost: each
    mode where the sheet dries last, all (sheets, n). given_off: since the start, g/m2, all faces.
    """

    mesh: Mesh
    modes: Array
    rate: Array
    area: Array
    faces: Array
    source: Array
    seen: Array
    inmost: Array
    given_off: Array

    @property
    def mean(self) -> Array:
        """Mean water of each sheet."""
        return self.modes[:, 0]

    @property
    def heart(self) -> Array:
        """Water at the sealed face of each sheet, in its middle if both are open."""
        return np.asarray(np.einsum("km,km->k", self.modes, self.inmost))

    def opened(self, left: Array, right: Array) -> Sheets:
        """The same with the faces open where left and right are 1, sealed where they are 0."""
        first, last = self.mesh.shapes[0], self.mesh.shapes[-1]
        middle = self.mesh.shapes[len(last) // 2]
        source = (np.multiply.outer(left, first) + np.multiply.outer(right, last)) / self.area[:, None]
        seen = np.where((right > 0)[:, None], last, first)
        inmost = np.where((left + right == 2)[:, None], middle, np.where((left > 0)[:, None], last, first))
        return replace(self, faces=left + right, source=source, seen=seen, inmost=inmost)

    def chosen(self, rows: NDArray[np.intp]) -> Sheets:
        """Those rows only, in that order."""
        each = {name: getattr(self, name)[rows] for name in _BY_ROW}
        return replace(self, **each)

    def evened(self, mean: Array, where: NDArray[np.bool_]) -> Sheets:
        """Those of `where` at that mean through and through."""
        modes = np.where(where[:, None], 0.0, self.modes)
        modes[:, 0] = np.where(where, mean, self.modes[:, 0])
        return replace(self, modes=modes)

    def rested(self, time: Array) -> Sheets:
        """After `time`, s, with all faces closed: each mode evens out by itself, the mean stays. Exact.

        a_m(t) = a_m exp(-q lambda_m t)
        """
        fade = np.exp(-np.multiply.outer(self.rate * time, self.mesh.decays))
        return replace(self, modes=self.modes * fade)


def sheets(grid: Mesh, water: Array, rate: Array, area: Array) -> Sheets:
    """Sheets with that water in their cells, (sheets, n), both faces sealed."""
    none, flat = np.zeros(len(rate)), np.zeros_like(water)
    return Sheets(grid, grid.modes(water), rate, area, none, flat, flat, flat, none).opened(none, none)


def step(now: Sheets, time: Array, law: Law) -> Sheets:
    """All sheets one step of `time`, s (one each), further.

    Two stages of backward Euler on shares of the step, gamma = 1 - 1/sqrt(2):

        a1 = a + gamma dt f(a1);   a2 = a + (1 - gamma) dt f(a1) + gamma dt f(a2)

    Second order, stable for any step. Source: alexander-1977. Tested: closed forms of the sheet, order of
    convergence, balance.
    """
    part = GAMMA * time
    damping = 1 / (1 + np.multiply.outer(part * now.rate, now.mesh.decays))
    taken = damping * now.source
    half_cell = now.mesh.widths[0] / (2 * now.rate * now.area)
    answer = part * np.einsum("km,km->k", taken, now.seen) + half_cell
    taken *= part[:, None]
    open_ = now.faces > 0

    def stage(start: Array) -> tuple[Array, Array]:
        faded = start * damping
        through = law.through(np.einsum("km,km->k", faded, now.seen), answer) * open_
        return faded - through[:, None] * taken, through

    middle, flux1 = stage(now.modes)
    modes, flux2 = stage(now.modes + ((1 - GAMMA) / GAMMA) * (middle - now.modes))
    passed = time * ((1 - GAMMA) * flux1 + GAMMA * flux2) * now.faces
    return replace(now, modes=modes, given_off=now.given_off + passed)
