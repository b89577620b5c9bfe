"""A flat piece as it is, laid on a form it was not drawn for, or with rows that are not where they were drawn.

    off = (stitch to stitch it has - stitch to stitch it was drawn with) + (what its form takes - what this form takes)

so a piece as drawn on its own form is off by nothing, though its rows are a little shorter or longer than the form by
what the flattening asks of the leather. Heights are on the form, along the axis; lengths stitch to stitch, mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from backseam.fit import forecast
from backseam.fit.hold import Fit
from backseam.fit.tested import Measured
from backseam.form.form import Form
from backseam.ground.units import Mm
from backseam.job.document import Job
from backseam.job.forecast import leather_of
from backseam.job.paths import put_all
from backseam.job.recipe import Worked, work
from backseam.pattern.draft import Layout

Array = NDArray[np.float64]

ROWS = 60
ROUND = 33  # points round a row
SAMPLES = 2_000  # of a forecast that is held against others


@dataclass(frozen=True)
class Piece:
    """Stitch to stitch (n,) by height (n,) on the piece, 0 at its bottom edge; height: bottom edge to mouth."""

    at: Array
    have: Array
    height: Mm

    def __call__(self, y: Array) -> Array:
        """Stitch to stitch at heights y; beyond its ends as there."""
        return np.interp(y, self.at, self.have)

    def as_high(self, height: Mm) -> Piece:
        """The same folded at another height; above its rows as wide as at their end."""
        at = np.linspace(0.0, height, len(self.at))
        return Piece(at, self(at), height)

    def changed(self, by: Array) -> Piece:
        """The same with `by` (n,) more at its heights."""
        return replace(self, have=self.have + by)


@dataclass(frozen=True)
class Laid(Layout):
    """A layout whose rows have the lengths of another piece, stitch to stitch; what the form takes is its own."""

    at: Array
    have: Array

    def place(self, u: Array | float, v: Array | float) -> Array:
        """Points of straight rows as long as the piece has them; for lengths, not for drawing."""
        u, v = np.broadcast_arrays(np.atleast_1d(u).astype(float), np.atleast_1d(v).astype(float))
        return np.stack([v * np.interp(u, self.at, self.have) / 2, u], axis=-1)


def drawn(worked: Worked) -> Piece:
    """The piece as a job draws it."""
    at = np.linspace(0.0, worked.form.marks.mouth, ROWS)
    return Piece(at, row_lengths(worked.layout, at), worked.form.marks.mouth)


def row_lengths(layout: Layout, at: Array) -> Array:
    """Stitch to stitch of the flat piece's rows at heights (n,) on the form, allowance included."""
    v = np.linspace(-1.0, 1.0, ROUND)
    row = layout.place(np.repeat(at, ROUND), np.tile(v, len(at))).reshape(len(at), ROUND, 2)
    return np.asarray(np.hypot(*np.moveaxis(np.diff(row, axis=1), -1, 0)).sum(axis=1))


def takes(worked: Worked, at: Array) -> Array:
    """Stitch to stitch that the form takes at heights (n,); beyond its mouth and foot as there."""
    inside = np.clip(at, 0.0, worked.form.marks.mouth)
    return 2 * np.asarray(worked.layout.half_length(inside), dtype=float)


def on_axis(form: Form, height: Mm) -> Mm:
    """A height as the maker counts it (from the bottom edge), along the axis."""
    if form.along == "axis":
        return height
    u = np.linspace(0.0, max(form.marks.mouth, form.rows[-1].station), 60)
    counted = np.array([form.as_read(float(one)) for one in u])
    if height <= counted[0] or height >= counted[-1]:
        i = 0 if height <= counted[0] else -1
        return float(u[i] + height - counted[i])
    return float(np.interp(height, counted, u))


def laid(piece: Piece, worked: Worked, lift: Mm = 0.0) -> Laid:
    """The piece on the form of a job, its bottom edge `lift` above the job's own."""
    old = worked.layout
    at = np.linspace(0.0, worked.form.marks.mouth, ROWS)
    return Laid(old.flat, old.scale, old.patches, old.half_length, at, piece(at - lift))


def hold_of(
    piece: Piece,
    worked: Worked,
    lift: Mm = 0.0,
    *,
    tested: Measured | None = None,
    samples: int = SAMPLES,
    seed: int = 0,
) -> Fit:
    """Forecast of the piece on the form of a job."""
    return forecast.forecast(
        worked.form,
        laid(piece, worked, lift),
        worked.inputs.leather,
        worked.inputs.construction,
        leather_of(worked),
        tested=tested,
        knife=worked.job.knife.weight_g,
        seed=seed,
        samples=samples,
    )


def with_mouth(worked: Worked, mouth: Mm) -> Worked:
    """The same job with its mouth at another height on the axis; the thickest stays where it was taken to be."""
    marks, lift = worked.form.marks, _lift(worked.job)
    heights = [
        ("form.landmarks.mouth_mm", worked.form.as_read(mouth) - lift),
        ("form.landmarks.thickest_mm", worked.form.as_read(marks.thickest) - lift),
    ]
    return work(_put(worked.job, heights))


def with_leather(worked: Worked, thickness: Mm | None, flap: Mm | None) -> Worked:
    """The same job with leather, or a flap, of another thickness. The seam's radius and the flap stay as decided."""
    made = worked.inputs.construction
    changes: list[tuple[str, object]] = [("construction.seam_inside_radius_mm", made.seam_inside_radius)]
    if thickness is not None:
        changes.append(("leather.thickness_mm", thickness))
    if made.collar.folded:
        changes.append(
            ("construction.collar_flap_mm", flap or min(made.collar.flap, thickness or made.collar.flap))
        )
    return work(_put(_with_straps(worked), changes))


def _with_straps(worked: Worked) -> Job:
    """The job with the thickness of every instrument written down, so that another leather does not change it."""
    return _put(
        worked.job,
        [
            (f"form.girths[{row.index}].instrument_mm", row.thickness)
            for row in worked.inputs.form.readings
            if row.reading is not None
        ],
    )


def _lift(job: Job) -> Mm:
    """What was added to heights as noted so that they count from the bottom edge."""
    return (job.form.reach_mm or 0.0) if job.form.heights_from == "junction" else 0.0


def _put(job: Job, changes: Sequence[tuple[str, object]]) -> Job:
    return put_all(job, list(changes)) if changes else job
