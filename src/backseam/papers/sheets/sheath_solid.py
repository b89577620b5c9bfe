"""The finished sheath in space: leather, liner below and handle above as rings round the axis.

Leather is the grain side of the same neutral layer that is flattened: one flap thicker at the collar, pressed into the
grooves, rounded at the fold. What nobody measured, the handle's end and the liner's tip, is drawn as most are.

Space as `form.axis` has it: x to the right half, y towards the seam, z up along the lower end of the form. Rings run
from the seam round the left half to the front and round the right half to the seam.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.form.fillet import neutral_path
from backseam.form.form import Form
from backseam.geom.curve import smooth_monotone
from backseam.ground.sources import default
from backseam.ground.units import Mm
from backseam.pattern.construction import Construction

Array = NDArray[np.float64]

# How it is drawn, not how it is made.
ROWS_APART: Mm = 3.0
ROUND = 40  # points on a half ring
HANDLE = (  # share of the way from mouth to butt, share of the section at the mouth
    (0.0, 0.19, 0.43, 0.68, 0.83, 0.92, 0.97, 1.0),
    (1.0, 0.973, 0.919, 0.946, 0.969, 0.922, 0.80, 0.58),
)
LINER = ((0.0, 0.42, 0.79, 0.94, 1.0), (1.0, 0.945, 0.845, 0.667, 0.44))  # from the bottom edge down
LINER_SHOWN = 0.21  # of the height, where the blade's length is not known
LEAST_SHOWN: Mm = 12.0
ROUNDED = 0.35  # of the edge's thickness taken off at mouth
PRESSED = 0.95  # of a groove's depth that the leather follows


@dataclass(frozen=True)
class Rings:
    """One body. u (rows,): heights on the axis; points (rows, columns, 3) mm, normals of the same shape."""

    u: Array
    points: Array
    normals: Array

    @property
    def middle(self) -> int:
        """Column of the front line."""
        return int(self.points.shape[1]) // 2


@dataclass(frozen=True)
class Flange:
    """The edges at the back, by row of the leather: foot and tip of the right and of the left face, (rows, 3) each."""

    foot: Array
    tip: Array
    tip_left: Array
    foot_left: Array


@dataclass(frozen=True)
class SheathSolid:
    """All of it. bare: rings of the form inside the leather, by its rows; half: length from front line to stitch line,
    by row; butt, tip: heights of handle's and liner's ends."""

    leather: Rings
    liner: Rings
    handle: Rings
    flange: Flange
    bare: Array
    half: Array
    butt: Mm
    tip: Mm

    @property
    def rim(self) -> Array:
        """The ring of the bare form at the mouth."""
        return np.asarray(self.bare[-1])

    def at(self, u: Array | Mm, share: Array | float) -> tuple[Array, Array]:
        """Points and normals (n, 3) of the leather at heights and shares of the half girth: -1 left seam, +1 right."""
        rings = self.leather
        rows, columns = rings.points.shape[:2]
        column = (np.atleast_1d(share) + 1) / 2 * (columns - 1)
        row = np.interp(np.atleast_1d(u), rings.u, np.arange(rows))
        i, j = np.minimum(row.astype(int), rows - 2), np.minimum(column.astype(int), columns - 2)
        f, g = (row - i)[:, None], (column - j)[:, None]

        def between(field: Array) -> Array:
            low = field[i, j] * (1 - g) + field[i, j + 1] * g
            high = field[i + 1, j] * (1 - g) + field[i + 1, j + 1] * g
            return np.asarray(low * (1 - f) + high * f)

        return between(rings.points), between(rings.normals)


def solid(
    form: Form, construction: Construction, blade: Mm | None = None, handle: Mm | None = None
) -> SheathSolid:
    """The sheath of a form. blade, handle: lengths of the knife's parts, where measured, mm."""
    marks, laid = form.marks, form.laid
    u = _heights(form)
    wrap = form.wrap(u)
    path = neutral_path(form.sections(u), wrap)
    shares = np.linspace(0.0, 1.0, ROUND + 1)
    inner, way = path.at(shares)
    outward = np.stack([way[..., 1], -way[..., 0]], axis=-1)
    thick = (1 - laid.neutral) * wrap.thickness - _pressed(form, u) - _rounded(form, u)
    half = inner + thick[:, None, None] * outward
    leather = _rings(form, u, _whole(half))
    flange = _flange(form, u, wrap.thickness, path.stitch, construction.flange.trimmed)
    top = _butt(form, handle)
    low = _tip(form, blade)
    return SheathSolid(
        leather=leather,
        liner=_wood(form, np.linspace(low, min(4.0, 0.2 * marks.mouth), 22), 0.0, low, LINER),
        handle=_wood(form, _handle_heights(marks.mouth, top), max(marks.mouth, _read(form)), top, HANDLE),
        flange=flange,
        bare=_placed(form, u, _bare(form, u)),
        half=path.half,
        butt=top,
        tip=low,
    )


def _heights(form: Form) -> Array:
    """Rows closer at grooves, at the flap's end and at the mouth."""
    marks, laid = form.marks, form.laid
    u = [np.linspace(0.0, marks.mouth, max(int(marks.mouth / ROWS_APART), 8) + 1)]
    u += [g.station + np.linspace(-4.0, 4.0, 13) for g in marks.grooves]
    if laid.flap > 0:
        u.append(marks.mouth - laid.depth + np.linspace(-laid.runout - 1, 1.0, 7))
    u.append(marks.mouth - np.array([2.4, 1.8, 1.2, 0.8, 0.4, 0.15]))
    every = np.unique(np.concatenate(u).round(3))
    return np.asarray(every[(every >= 0) & (every <= marks.mouth)])


def _pressed(form: Form, u: Array) -> Array:
    """How far the leather is pressed in at the grooves."""
    dip = np.zeros_like(u)
    for groove in form.marks.grooves:
        wide = 0.5 * groove.width + 0.25 * form.laid.thickness
        dip += PRESSED * groove.depth * np.exp(-(((u - groove.station) / wide) ** 2))
    return dip


def _rounded(form: Form, u: Array) -> Array:
    """What the round of the fold takes off at the mouth."""
    thick = form.laid.thickness + form.laid.flap
    near = np.clip(1 - (form.marks.mouth - u) / thick, 0.0, 1.0)
    return ROUNDED * thick * (1 - np.sqrt(1 - near**2))


def _flange(form: Form, u: Array, thick: Array, stitch: Array, trimmed: Mm) -> Flange:
    corners = [(thick, stitch), (thick, stitch + trimmed), (-thick, stitch + trimmed), (-thick, stitch)]
    at = _placed(form, u, np.stack([np.stack(c, axis=-1) for c in corners], axis=1))
    return Flange(*(at[:, k] for k in range(4)))


# --- wood ----------------------------------------------------------------------------------------------------------


def _read(form: Form) -> Mm:
    return form.rows[-1].station


def _butt(form: Form, handle: Mm | None) -> Mm:
    """Height of the handle's end: from its length, else as much above the mouth as a hand needs to draw it."""
    marks = form.marks
    free = marks.mouth + default("hang.handle_free")
    if handle is not None:
        base = marks.junction if marks.junction is not None else marks.mouth - default("fit.handle_in")
        free = base + handle
    return max(free, _read(form) + LEAST_SHOWN, marks.mouth + LEAST_SHOWN)


def _tip(form: Form, blade: Mm | None) -> Mm:
    """Height of the liner's tip, below 0."""
    marks = form.marks
    shown = LINER_SHOWN * marks.mouth
    if blade is not None and marks.junction is not None:
        shown = blade + default("hang.tip_gap") + default("hang.tip_wall") - marks.junction
    return -max(shown, LEAST_SHOWN)


def _handle_heights(mouth: Mm, top: Mm) -> Array:
    along = np.linspace(mouth - 0.5, top, 22)
    end = top - (top - mouth) * np.array([0.14, 0.1, 0.07, 0.05, 0.03, 0.02, 0.01, 0.004])
    return np.unique(np.concatenate([along, end]))


def _wood(form: Form, u: Array, start: Mm, end: Mm, shape: tuple[Sequence[float], Sequence[float]]) -> Rings:
    """A wooden end: the section where it was last read, drawn in as most are."""
    away = np.clip((u - start) / (end - start), 0.0, 1.0)
    share = smooth_monotone(np.array(shape[0]), np.array(shape[1]))(away)
    inside = np.minimum(u, start) if end > start else np.maximum(u, start)
    return _rings(form, u, _bare(form, inside) * share[:, None, None])


def _bare(form: Form, u: Array) -> Array:
    """Rings of the bare form, in the sections' own frame, (n, columns, 2)."""
    sections = form.sections(u)
    fine = np.broadcast_to(np.linspace(np.pi, 0.0, 2 * ROUND + 1), (len(u), 2 * ROUND + 1))
    half = sections.points(fine)
    along = np.concatenate(
        [np.zeros((len(u), 1)), np.cumsum(np.hypot(*np.moveaxis(np.diff(half, axis=1), -1, 0)), axis=1)],
        axis=1,
    )
    want = np.linspace(0.0, 1.0, ROUND + 1)
    made = np.empty((len(u), ROUND + 1, 2))
    for i, length in enumerate(along):
        for k in range(2):
            made[i, :, k] = np.interp(want * length[-1], length, half[i, :, k])
    return _whole(made)


def _whole(half: Array) -> Array:
    """Both halves as one ring, from the seam round the left to the front and round the right."""
    return np.concatenate([(half * (-1, 1))[:, :0:-1], half], axis=1)


def _placed(form: Form, u: Array, section: Array) -> Array:
    origin, a, b, _ = form.axis.frame(u)
    return np.asarray(origin[:, None] + section[..., :1] * a[:, None] + section[..., 1:] * b[:, None])


def _rings(form: Form, u: Array, section: Array) -> Rings:
    points = _placed(form, u, section)
    round_, along = np.gradient(points, axis=1), np.gradient(points, axis=0)
    normal = np.cross(round_, along)
    length = np.linalg.norm(normal, axis=2, keepdims=True)
    return Rings(u, points, normal / np.maximum(length, 1e-9))
