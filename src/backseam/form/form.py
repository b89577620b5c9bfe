"""The form: sections along an axis. `build` makes it from readings; here is what it answers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from backseam.form.axis import Axis, Bend
from backseam.form.fillet import Wrap
from backseam.form.girth import Reading
from backseam.form.landmarks import Landmarks, MarksRead
from backseam.form.section import Body, Oval, Sections, fitted, octagon, polygon
from backseam.geom.curve import Curve, smooth_step
from backseam.ground.findings import Finding
from backseam.ground.sources import default
from backseam.ground.units import Mm, Share

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Shape:
    """Kind of section at a station (None: everywhere): round, oval, egg, octagon, polygon."""

    kind: str
    station: Mm | None = None
    corner: Mm | None = None
    arris: Mm | None = None
    egg_share: Share | None = None
    points: tuple[tuple[Mm, Mm], ...] = ()

    def body(self, width: Array, depth: Array) -> Body:
        """Bodies of this kind for widths and depths (n,)."""
        match self.kind:
            case "octagon":
                arris = np.full_like(width, default("form.arris") if self.arris is None else self.arris)
                arris = np.minimum(arris, np.minimum(width, depth) / 4)
                share = default("form.octagon_corner_share")
                corner = (
                    share * np.minimum(width, depth)
                    if self.corner is None
                    else np.full_like(width, self.corner)
                )
                return octagon(width, depth, corner, arris)
            case "egg":
                back = default("form.egg_share") if self.egg_share is None else self.egg_share
                return Oval(width / 2, back * depth, (1 - back) * depth)
            case "polygon":
                return polygon(np.array(self.points), width, depth)
        return Oval(width / 2, depth / 2, depth / 2)


@dataclass(frozen=True)
class Laid:
    """The leather that is laid on the form, as far as the form must know it.

    thickness: of one layer; flap: of the turned-in layer, 0 for a plain mouth; depth and runout: of the collar; radius:
    grain-side radius of the seam fillet; neutral: place of the neutral layer, share; film: all turns, mm.
    """

    thickness: Mm
    radius: Mm
    neutral: Share
    film: Mm = 0.0
    flap: Mm = 0.0
    depth: Mm = 0.0
    runout: Mm = 4.0
    trimmed: Mm = 5.0


@dataclass(frozen=True)
class FormInput:
    """Everything that `build` needs. heights_along: axis, front or side."""

    readings: tuple[Reading, ...]
    shapes: tuple[Shape, ...]
    bend: Bend
    marks: MarksRead
    laid: Laid
    heights_along: str = "axis"


@dataclass(frozen=True)
class FormRow:
    """One height of the table once readings there are merged.

    station: along the axis; read_at: as the maker counts heights; girth: of the form as laid, film included; bare: as
    it was read (over film or not); spread: of the girth, half width 95 %; roundness: mixing weight towards the box or
    the rhombus; over_film: how it was read; hand: half of what a butted strap reads there, or, where stitch to stitch
    was read, half of that: where the maker puts his dot.
    """

    name: str
    station: Mm
    read_at: Mm
    girth: Mm
    bare: Mm
    spread: Mm
    width: Mm
    depth: Mm
    roundness: float
    over_film: bool
    index: int
    hand: Mm


@dataclass(frozen=True)
class Form:
    """The solid that the leather is moulded on. Curves over the station u, mm from the bottom edge along the axis;
    along: what the maker counts heights along (axis, front, side), for whatever is said to him."""

    width: Curve
    depth: Curve
    girth: Curve
    shapes: tuple[Shape, ...]
    axis: Axis
    marks: Landmarks
    laid: Laid
    rows: tuple[FormRow, ...]
    findings: tuple[Finding, ...]
    along: str = "axis"

    def sections(self, u: Array) -> Sections:
        """Sections at stations u (n,)."""
        width, depth = self.width(u), self.depth(u)
        return fitted(base(self.shapes, u, width, depth), width, depth, self.girth(u))[0]

    def collar_share(self, u: Array) -> Array:
        """1 where the flap lies under the outer layer, run out to 0 below its end; (n,)."""
        if self.laid.flap == 0:
            return np.zeros_like(u)
        end = self.marks.mouth - self.laid.depth
        return smooth_step((u - end) / self.laid.runout + 1)

    def wrap(self, u: Array) -> Wrap:
        """What is wrapped at stations u: one layer, or at the collar two as one plate."""
        thickness = self.laid.thickness + self.laid.flap * self.collar_share(u)
        return Wrap(thickness, np.full_like(u, self.laid.radius), self.laid.neutral)

    def spread(self, u: Array) -> Array:
        """Half width (95 %) of the girth at u: between readings, interpolated."""
        return np.interp(u, [r.station for r in self.rows], [r.spread for r in self.rows])

    def as_read(self, u: Mm) -> Mm:
        """The height u on the axis as the maker counts heights (along the axis, the front or the side)."""
        return u if self.along == "axis" else float(np.interp(u, *self._counted))

    @cached_property
    def _counted(self) -> tuple[Array, Array]:
        """Heights on the axis and as the maker counts them; asked for at every word that names a height."""
        u = np.linspace(
            min(0.0, self.rows[0].station), 1.1 * max(self.marks.mouth, self.rows[-1].station), 800
        )
        return u, heights_along(u, self.along, self.axis, self.width, self.depth)


def base(shapes: tuple[Shape, ...], u: Array, width: Array, depth: Array) -> tuple[tuple[Array, Body], ...]:
    """The kinds of section at u, mixed by a smooth step between the stations where they were given."""
    return tuple((w, shape.body(width, depth)) for w, shape in _mixed(shapes, u))


def _mixed(shapes: tuple[Shape, ...], u: Array) -> list[tuple[Array, Shape]]:
    if len(shapes) == 1:
        return [(np.ones_like(u), shapes[0])]
    at = np.array([shape.station or 0.0 for shape in shapes])
    i = np.clip(np.searchsorted(at, u, side="right") - 1, 0, len(at) - 2)
    up = smooth_step((u - at[i]) / np.maximum(at[i + 1] - at[i], 1e-9))
    weights: dict[tuple[object, ...], tuple[Array, Shape]] = {}
    for j, shape in enumerate(shapes):
        w = np.where(i == j, 1 - up, 0.0) + np.where(i == j - 1, up, 0.0)
        key = (shape.kind, shape.corner, shape.arris, shape.egg_share, shape.points)
        so_far = weights[key][0] if key in weights else 0.0
        weights[key] = (so_far + w, shape)
    return [(w, shape) for w, shape in weights.values() if np.any(w > 0)]


def heights_along(u: Array, along: str, axis: Axis, width: Curve, depth: Curve) -> Array:
    """Length along the axis, the front line or the right side line from u = 0 to u (n,).

    A line at distance c from the axis, on the hollow side positive, runs ds^2 = ((1 - kappa c)^2 + c'^2) du^2 (exact
    for a planar bend in the line's plane; out of that plane kappa does not count).
    """
    if along == "axis":
        return u
    fine = np.linspace(min(float(u.min()), 0.0), max(float(u.max()), 1.0), 800)
    in_plane = (along == "front") == (axis.bend.plane.value == "seam")
    off = -depth(fine) / 2 if along == "front" else width(fine) / 2
    slope = -depth.slope(fine) / 2 if along == "front" else width.slope(fine) / 2
    kappa = axis.curvature(fine) if in_plane else 0.0
    speed = np.sqrt((1 - kappa * off) ** 2 + slope**2)
    length = np.r_[0.0, np.cumsum((speed[1:] + speed[:-1]) / 2 * np.diff(fine))]
    length -= np.interp(0.0, fine, length)
    return np.interp(u, fine, length)
