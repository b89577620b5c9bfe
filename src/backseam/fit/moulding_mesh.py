"""The flat piece as drawn, cut into triangles of six nodes: the rest shape of virtual moulding.

A piece is known by its drawn outline alone: mouth edge, bottom edge, stitch line. The mesh is laid into that
outline by blending opposite edges (Coons), so it knows nothing of the mesh that the outline may have come from.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.form.form import Form
from backseam.ground.units import Mm
from backseam.pattern.draft import Layout
from backseam.pattern.stations import heights
from backseam.pattern.upper import HandLine

Array = NDArray[np.float64]
Index = NDArray[np.intp]

ROW: Mm = 6.0  # height of a row of triangles, which have a node half way
NEXT: Mm = 4.0  # beside the step at the flap's end
CLOSE: Mm = 1.4  # over it
BESIDE: Mm = 12.0  # what counts as beside it, below
WALL, BACK, FLANGE = 8, 2, 1  # triangles across one half: wall, near the stitch line, flange
NEAR = 0.93  # share of the half width where those near the stitch line begin

# Points (barycentric) where strain is taken, with equal weights: exact for a strain energy of second degree.
POINTS = np.array([[4.0, 1.0, 1.0], [1.0, 4.0, 1.0], [1.0, 1.0, 4.0]]) / 6.0
_MIDS = ((0, 1), (1, 2), (2, 0))
SHAPE = np.concatenate(
    [POINTS * (2 * POINTS - 1), np.stack([4 * POINTS[:, i] * POINTS[:, j] for i, j in _MIDS], axis=-1)],
    axis=1,
)
TO_NODES = (
    np.array([[5, -1, -1], [-1, 5, -1], [-1, -1, 5], [2, 2, -1], [-1, 2, 2], [2, -1, 2]]) / 3.0
)  # linear


@dataclass(frozen=True)
class Piece:
    """The right half of a flat piece, mm, allowance out. All lines (n, 2).

    mouth, bottom: from the centre line to the stitch line; stitch: from bottom to mouth. marks: name, height on the
    form, where it is marked on the centre line and on the stitch line (y). step: heights on the centre line between
    which the flap ends, or None.
    """

    name: str
    stitch: Array
    mouth: Array
    bottom: Array
    marks: tuple[tuple[str, Mm, Mm, Mm], ...]
    step: tuple[Mm, Mm] | None = None

    @property
    def height(self) -> Mm:
        """On the centre line."""
        return float(self.mouth[0, 1] - self.bottom[0, 1])


@dataclass(frozen=True)
class Mesh:
    """Triangles of six nodes on the flat piece. rest (rows, columns, 2), row 0 at the bottom, columns left to right.

    share (columns,): where each column starts on the form, v; seams: columns of the stitch lines, right first;
    triangles (m, 6): corners, then middles of the sides, nodes counted row by row; gradient (m, 3, 6, 2): of the
    shape functions at the points; area (m, 3): of the points, mm2; patch (m,): 0 wall, 1 right flange, -1 left;
    band (m,): row of triangles.
    """

    rest: Array
    share: Array
    seams: tuple[int, ...]
    triangles: Index
    gradient: Array
    area: Array
    patch: Index
    band: Index

    @property
    def rows(self) -> int:
        """Rows of nodes."""
        return int(self.rest.shape[0])

    @property
    def columns(self) -> int:
        """Columns of nodes."""
        return int(self.rest.shape[1])

    @property
    def mirrored(self) -> bool:
        """True if only the right half is meshed."""
        return len(self.seams) == 1


def computed_piece(form: Form, layout: Layout) -> Piece:
    """The computed pattern as drawn: its stitch line, edges and station marks."""
    scale = np.array(layout.scale)
    u = np.linspace(0.0, form.marks.mouth, 400)
    v = np.linspace(0.0, 1.0, 120)

    def drawn(u: Array | float, v: Array | float) -> Array:
        return np.asarray(layout.place(u, v) / scale)

    marks = []
    for name, at in _stations(form):
        (_, seam), (_, front) = drawn(at, np.array([1.0, 0.0]))
        marks.append((name, at, float(front), float(seam)))
    step = _step(form, lambda at: float(drawn(at, 0.0)[0, 1]))
    return Piece("computed", drawn(u, 1.0), drawn(form.marks.mouth, v), drawn(0.0, v), tuple(marks), step)


def hand_piece(form: Form, hand: HandLine) -> Piece:
    """The maker's own piece: half the butted strap each side at its height as counted, dots joined, edges
    straight."""
    low, high = 0.0, form.as_read(form.marks.mouth)
    dots = hand.dots[np.argsort(hand.dots[:, 1])]
    inner = dots[(dots[:, 1] > low + 0.01) & (dots[:, 1] < high - 0.01), 1]
    y = np.concatenate([[low], inner, [high]])
    stitch = np.stack([_joined(dots, y), y], axis=-1)

    def edge(end: Array) -> Array:
        return np.array([[0.0, end[1]], end])

    marks = tuple((name, at, form.as_read(at), form.as_read(at)) for name, at in _stations(form))
    return Piece("hand", stitch, edge(stitch[-1]), edge(stitch[0]), marks, _step(form, form.as_read))


def _joined(dots: Array, y: Array) -> Array:
    """x of the joined dots at y, the first and last straight drawn on."""
    x = np.interp(y, dots[:, 1], dots[:, 0])
    if len(dots) > 1:
        for a, b, beyond in ((0, 1, y < dots[0, 1]), (-1, -2, y > dots[-1, 1])):
            slope = (dots[b, 0] - dots[a, 0]) / (dots[b, 1] - dots[a, 1])
            x = np.where(beyond, dots[a, 0] + slope * (y - dots[a, 1]), x)
    return x


def _stations(form: Form) -> list[tuple[str, Mm]]:
    """Name and height on the axis of what is marked on the piece: the rows of the table."""
    return [(name, float(np.clip(u, 0.0, form.marks.mouth))) for u, name in heights(form).items()]


def _step(form: Form, drawn: Callable[[Mm], Mm]) -> tuple[Mm, Mm] | None:
    """Heights on the drawn centre line between which the flap ends, or None without one."""
    if form.laid.flap == 0:
        return None
    end = form.marks.mouth - form.laid.depth
    return drawn(end - form.laid.runout), drawn(end)


def mesh(piece: Piece, trimmed: Mm, mirrored: bool, finer: float = 1.0) -> Mesh:
    """Triangles on the piece, flange of width `trimmed` outside the stitch line; the right half alone if mirrored.

    finer: 2 halves every length of a cell.
    """
    r = _row_shares(piece, finer)
    wall, back, flange = (2 * round(n * finer) for n in (WALL, BACK, FLANGE))
    s = np.concatenate([np.linspace(0, NEAR, wall + 1)[:-1], np.linspace(NEAR, 1, back + 1)])
    inside = _coons(piece, r, s)
    out = np.linspace(0, 1, flange + 1)[1:]
    rest = np.concatenate([inside, _outside(inside, out * trimmed)], axis=1)
    share = np.concatenate([s, 1 + out])
    seam = len(s) - 1
    if mirrored:
        return _triangles(rest, share, (seam,))
    both = np.concatenate([rest[:, :0:-1] * (-1, 1), rest], axis=1)
    n = len(share) - 1
    return _triangles(both, np.concatenate([-share[:0:-1], share]), (n + seam, n - seam))


def _row_shares(piece: Piece, finer: float) -> Array:
    """Rows of nodes as shares of the height, closer over the step at the flap's end."""
    height = piece.height
    stops, pitch = [0.0, height], [ROW]
    if piece.step is not None and piece.step[0] > BESIDE + ROW:
        low, high = piece.step
        stops, pitch = [0.0, low - BESIDE, low, high, height], [ROW, NEXT, CLOSE, NEXT]
    parts = []
    for low, high, p in zip(stops, stops[1:], pitch, strict=False):
        count = 2 * max(1, round(finer * (high - low) / p))
        parts.append(np.linspace(low, high, count + 1)[:-1])
    return np.concatenate([*parts, [height]]) / height


def _coons(piece: Piece, r: Array, s: Array) -> Array:
    """Points (rows, columns, 2) blended from the four edges."""
    left = np.stack([np.zeros_like(r), piece.bottom[0, 1] + r * piece.height], axis=-1)
    right, low, high = _along(piece.stitch, r), _along(piece.bottom, s), _along(piece.mouth, s)
    a, b = r[:, None, None], s[None, :, None]
    ruled = (1 - b) * left[:, None] + b * right[:, None] + (1 - a) * low[None] + a * high[None]
    corners = (1 - a) * ((1 - b) * low[0] + b * low[-1]) + a * ((1 - b) * high[0] + b * high[-1])
    return np.asarray(ruled - corners)


def _along(line: Array, share: Array) -> Array:
    """Points of a line at shares of its length."""
    length = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    return np.stack([np.interp(share * length[-1], length, line[:, i]) for i in (0, 1)], axis=-1)


def _outside(inside: Array, out: Array) -> Array:
    """Each row drawn straight on past the stitch line, so far that the flange is `out` wide square to it."""
    seam = inside[:, -1]
    way = seam - inside[:, -3]
    way = way / np.hypot(way[:, 0], way[:, 1])[:, None]
    tangent = np.gradient(seam, axis=0)
    square = (way[:, 0] * tangent[:, 1] - way[:, 1] * tangent[:, 0]) / np.hypot(tangent[:, 0], tangent[:, 1])
    return np.asarray(seam[:, None] + out[None, :, None] * (way / square[:, None])[:, None])


def _triangles(rest: Array, share: Array, seams: tuple[int, ...]) -> Mesh:
    """Every block of 3 x 3 nodes as two triangles, diagonals turned by turns so that no direction is preferred."""
    rows, columns = rest.shape[:2]
    node = np.arange(rows * columns).reshape(rows, columns)

    def at(*steps: tuple[int, int]) -> Index:
        return np.stack([node[i : rows - 2 + i : 2, j : columns - 2 + j : 2] for i, j in steps], axis=-1)

    bands, across = (rows - 1) // 2, (columns - 1) // 2
    rising = (np.add.outer(np.arange(bands), np.arange(across)) % 2 == 0)[..., None]
    low = np.where(
        rising,
        at((0, 0), (0, 2), (2, 2), (0, 1), (1, 2), (1, 1)),
        at((0, 0), (0, 2), (2, 0), (0, 1), (1, 1), (1, 0)),
    )
    high = np.where(
        rising,
        at((0, 0), (2, 2), (2, 0), (1, 1), (2, 1), (1, 0)),
        at((0, 2), (2, 2), (2, 0), (1, 2), (2, 1), (1, 1)),
    )
    triangles = np.stack([low, high], axis=2).reshape(-1, 6)
    middle = np.repeat(share[1::2], 2)
    patch = np.tile(np.where(middle > 1, 1, np.where(middle < -1, -1, 0)), bands)
    gradient, area = _gradients(rest.reshape(-1, 2)[triangles])
    return Mesh(rest, share, seams, triangles, gradient, area, patch, np.repeat(np.arange(bands), 2 * across))


def _gradients(corners: Array) -> tuple[Array, Array]:
    """Gradients of the shape functions at the points, (m, 3, 6, 2), and the points' areas (m, 3)."""
    ends = (4 * POINTS - 1)[:, :, None] * np.eye(3)
    mids = np.stack(
        [4 * (POINTS[:, i, None] * np.eye(3)[j] + POINTS[:, j, None] * np.eye(3)[i]) for i, j in _MIDS],
        axis=1,
    )
    slopes = np.concatenate([ends, mids], axis=1)  # by the barycentric coordinates, (points, 6, 3)
    local = slopes[..., 1:] - slopes[..., :1]
    jacobian = np.einsum("pnk,mna->mpka", local, corners)
    size = jacobian[..., 0, 0] * jacobian[..., 1, 1] - jacobian[..., 0, 1] * jacobian[..., 1, 0]
    return np.einsum("pnk,mpak->mpna", local, np.linalg.inv(jacobian)), size / 6
