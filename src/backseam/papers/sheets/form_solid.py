"""The form and its upper in space, to turn on a screen: wood, leather, seam, stations, contours of stretch.

Nodes: form, upper, seam, stations, contours. Leather darkens where it is pulled and pales where it gathers.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from backseam.ground.speech import Speech
from backseam.papers import glb
from backseam.papers.glb import Lines, Surface
from backseam.papers.sheets.moulding_solid import colours
from backseam.papers.sheets.sheath_solid import SheathSolid, solid
from backseam.papers.sheets.stretch_view import Contour, stretch_field, stretch_lines
from backseam.papers.sheets.work import Drawn

Array = NDArray[np.float64]
Triangles = NDArray[np.intp]

BIRCH = (0xEE / 255, 0xE0 / 255, 0xBF / 255)
INK = (0x14 / 255, 0x21 / 255, 0x1D / 255)
THREAD = (1.0, 0.96, 0.89)
ROWS, COLUMNS = 4, 2  # of the wood under the leather, one in so many
PROUD = 0.25  # mm that lines stand off what they are drawn on


def form_solid(work: Drawn, speech: Speech) -> bytes:
    """The GLB's bytes."""
    made = solid(work.form, work.inputs.construction)
    found = stretch_lines(work.form, work.layout)
    title = work.job.title or speech.say("views.title.untitled")
    parts: list[Surface | Lines] = [
        _form(made),
        _upper(work, made),
        _seam(work, made),
        _stations(work, made),
        _contours(made, found),
    ]
    return glb.write(parts, title)


def _form(made: SheathSolid) -> Surface:
    """Liner, handle, and the bare form between them as one body of wood."""
    inner = made.bare
    u = np.concatenate([made.liner.u[made.liner.u < 0], made.leather.u[::ROWS], made.handle.u[1:]])
    points = np.concatenate([made.liner.points[made.liner.u < 0], inner[::ROWS], made.handle.points[1:]])
    order = np.argsort(u, kind="stable")
    points = points[order][:, ::COLUMNS]
    rows, columns = points.shape[:2]
    ends = np.stack([points[0].mean(axis=0), points[-1].mean(axis=0)])
    low, high = rows * columns, rows * columns + 1
    first, last = np.arange(columns - 1), (rows - 1) * columns + np.arange(columns - 1)
    caps = np.concatenate(
        [
            np.stack([np.full(columns - 1, low), first + 1, first], axis=-1),
            np.stack([np.full(columns - 1, high), last, last + 1], axis=-1),
        ]
    )
    every = np.concatenate([points.reshape(-1, 3), ends])
    return Surface(
        "form", every, np.concatenate([_cells(rows, columns), caps]), np.tile(BIRCH, (len(every), 1))
    )


def _cells(rows: int, columns: int) -> Triangles:
    node = np.arange(rows * columns).reshape(rows, columns)
    a, b, c, d = (v.ravel() for v in (node[:-1, :-1], node[:-1, 1:], node[1:, 1:], node[1:, :-1]))
    return np.concatenate([np.stack([a, b, c], axis=-1), np.stack([a, c, d], axis=-1)])


def _upper(work: Drawn, made: SheathSolid) -> Surface:
    """Left tip of the flange, wall, right tip, and the edge between the tips."""
    rings, flange = made.leather, made.flange
    points = np.concatenate(
        [
            flange.tip_left[:, None],
            rings.points,
            flange.tip[:, None],
            flange.tip_left[:, None],
        ],
        axis=1,
    )
    u, q, most, least = stretch_field(work.form, work.layout)
    share = np.abs(np.linspace(-1.0, 1.0, rings.points.shape[1]))
    share = np.concatenate([[1.0], share, [1.0, 1.0]])
    row, column = np.interp(rings.u, u, np.arange(len(u))), np.interp(share, q, np.arange(len(q)))
    i, j = np.rint(row).astype(int)[:, None], np.rint(column).astype(int)[None]
    pulled, pressed = most[i, j], least[i, j]
    rows, columns = points.shape[:2]
    return Surface(
        "upper",
        points.reshape(-1, 3),
        _cells(rows, columns),
        colours(pulled, pressed).reshape(-1, 3),
        values=(("stretch", pulled.ravel()), ("squeeze", pressed.ravel())),
        notes=(
            ("largest_stretch", round(float(most.max()), 4)),
            ("largest_squeeze", round(float(least.min()), 4)),
        ),
    )


def _seam(work: Drawn, made: SheathSolid) -> Lines:
    """The stitch line on both faces of the flange."""
    return Lines("seam", (made.flange.foot, made.flange.foot_left), THREAD)


def _stations(work: Drawn, made: SheathSolid) -> Lines:
    """A ring round the leather at each reading within it."""
    rings = made.leather
    heights = [row.station for row in work.form.rows if 0 <= row.station <= rings.u[-1]]
    share = np.linspace(-1.0, 1.0, rings.points.shape[1])
    return Lines("stations", tuple(_off(made, np.full_like(share, u), share) for u in heights), INK)


def _contours(made: SheathSolid, found: tuple[Contour, ...]) -> Lines:
    lines = tuple(_off(made, one.u, one.share) for one in found)
    return Lines("contours", lines, INK, (("levels", len({one.level for one in found})),))


def _off(made: SheathSolid, u: Array, share: Array) -> Array:
    points, normals = made.at(u, share)
    return points + PROUD * normals
